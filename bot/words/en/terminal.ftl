### The terminal's own lines, and the command line.
terminal-pick-one = Type a number, or say it in your own words.
terminal-pick-several = Type the numbers that fit, like "1, 3", or say it in your own words.
terminal-say-it = Type it in your own words.
terminal-hello = This is Afterfrost in your terminal. Everything stays on this machine. Leave with Ctrl-D.
terminal-photo-help = Send a photo with: /photo and its file name.
terminal-photo-missing = I can't find a file by that name.
terminal-bye = Your place is kept. Start again any time and we go on from here.
terminal-prompt = you>
rehearse-head = A rehearsal. Everything here is made up: the Tarrow coast, its people and their lawns. On { $day } the air fell into the teens for some days. What follows is what the bot says and asks until summer.
rehearse-lawn = { $name }: { $lawn }
rehearse-end = How it ended for { $name }: { $fate }. { $done } of { $all } tasks were done.
tray-empty = Nobody is waiting for a person.
queue-empty = Nothing waits, and nothing was sent yet.
queue-channel = { $channel }: { $waiting } to send, { $due } of them now (the oldest since { $minutes } min), { $parked } given up on. { $unread } to read, { $unreadable } that could not be read. { $unreachable } people cannot be reached.
queue-counts =    { $counts }

soil-plotted = The picture is in { $file }. It shows:
soil-plotted-plain = The picture is of the weather alone, without what was read in the ground here.
soil-head = The { $n } coldest days for crowns:
soil-day = { $day } { $year }: air { $air }, crown { $crown }, soil that day 2 in down { $two }, 4 in down { $four }.
soil-day-snow = { $day } { $year }: air { $air }, crown { $crown }, soil that day 2 in down { $two }, 4 in down { $four }, under { $snow } of snow.
soil-flagged = flagged, not told
soil-setting = Worked out for { $soil }, { $moisture }, under { $cover }, { $exposure }.
soil-kind-sand = sand
soil-kind-loam = loam
soil-kind-clay = clay
soil-moisture-dry = dry
soil-moisture-moist = moist
soil-moisture-wet = wet
soil-cover-thin = thin or no grass
soil-cover-lawn = a lawn
soil-cover-thick = a lawn with thick thatch
soil-exposure-open = in the open
soil-exposure-shade = in shade or on the north side of something
soil-exposure-north = on a slope that faces north
soil-exposure-south = on a slope that faces south
soil-snow-stated = { $n ->
    [0] No day was cold enough to keep your { $snow } of snow: none has a mean at or below freezing.
    [one] Your { $snow } of snow lies on the one day with a mean at or below freezing.
   *[other] Your { $snow } of snow lies on the { $n } days with a mean at or below freezing.
 }
soil-snow-none = As you said, no snow lay.
soil-snow-guessed = Nobody measured snow here. On { $n } days I took it to lie, from rain and cold. If you know better, say so with --snow.
soil-note = Crowns sit on top, between grass and soil, and get much colder than the soil. Nobody has measured them, so take theirs as give or take { $half } { $units ->
    [metric] °C
   *[us] °F
 }. Soil is the mean of the day, that deep under that cover. Each range is meant to hold nine times in ten.
soil-thick = In thick thatch crowns stand high above the soil. So they get colder there, though the soil stays milder.
soil-learned-same = What was read in the ground here hardly moves the mean of the winter, but it narrows the range.
soil-learned-warmer = What was read in the ground here makes the soil { $by } { $units ->
    [metric] °C
   *[us] °F
 } warmer than the weather alone would. That is the mean of the winter.
soil-learned-colder = What was read in the ground here makes the soil { $by } { $units ->
    [metric] °C
   *[us] °F
 } colder than the weather alone would. That is the mean of the winter.
soil-filled = { $n } days had no reading of the air and were filled from the days around them.
soil-beyond = Some days come out colder than was ever measured two inches down under grass in the humid South. Those are flagged, and their soil is not told.

check-python = Python { $version }
check-sqlite = SQLite { $version }
check-sqlite-old = SQLite { $version }. Before 3.51.3 two writers at once could damage a database. Afterfrost uses one writer and locks its folder, so this is safe. Keep backups all the same.
check-folder = Data folder { $folder }
check-folder-closed = The data folder { $folder } cannot be written. Make it writable, or name another one in AFTERFROST_DATA.
check-empty = Nobody has written yet.
check-contents = { $homeowners } homeowners, { $messages_in } messages came in, { $messages_waiting } wait to go out, { $reminders_waiting } reminders to come.
check-places = ZIP codes and towns are there (read in { $seconds } s, offline).
check-places-missing = The table of ZIP codes is missing. Set up again: sh deploy/start.sh
check-facts-none = No regional facts. Dates come from the built-in table, told as about. See AFTERFROST_FACTS_FILE.
check-facts = Regional facts from { $file }
check-facts-broken = The regional facts cannot be used: { $why }
check-page = The chat page will listen on { $where }
check-weather-kept = Weather is kept of { $count ->
    [0] no station. Owners are asked how cold it got, and the odds are wider for it. Add some: afterfrost weather import FILE
    [one] one station.
   *[other] { $count } stations.
  }
check-weather-broken = A weather table is left out: { $why }
check-weather-off = No weather is fetched from anywhere. See AFTERFROST_WEATHER.
check-weather-on = Weather is fetched from: { $source }
check-weather-contact = The national weather service needs to know whom to write to: { $why }
check-weather-credit = The reanalysis archive may be used free of charge for non-commercial work only, and its credit must show. A firm sets its own key or address (AFTERFROST_REANALYSIS_KEY, AFTERFROST_REANALYSIS_URL).
check-person = Reaching a person: { $line }
check-setting = { $name } = { $now } ({ $holds })

start-listening = Afterfrost is at { $address }
start-networks = Also listening on { $names }.
contact-none = reply PERSON here
start-how-to-stop = Stop it with Ctrl-C. Nothing is lost.

weather-station = Station { $name } ({ $network }), at { $latitude }, { $longitude }
weather-days = From { $first } to { $last }: { $count ->
    [one] { $count } day
   *[other] { $count } days
  }
weather-missing = Days without the low or the high: { $count }
weather-coldest = Coldest: { $air } on { $day }
weather-snow = Snow depth is in the file.
weather-snow-none = Snow depth is not in the file.
weather-soil = Soil temperature is in the file.
weather-soil-none = Soil temperature is not in the file.
weather-freezes = { $count ->
    [0] No freeze (28 °F or less) is in it.
    [one] One freeze (28 °F or less):
   *[other] { $count } freezes (28 °F or less), coldest first:
  }
weather-freeze = • { $first } to { $last }: { $air } on { $day }, below freezing on { $count ->
    [one] { $count } day
   *[other] { $count } days
  }
weather-freeze-snow = • { $first } to { $last }: { $air } on { $day }, below freezing on { $count ->
    [one] { $count } day
   *[other] { $count } days
  }, snow { $snow } deep
weather-freezes-more = And { $count } milder ones; --json lists all.

import-reading = Reading
import-kept = Kept { $name }: { $first } to { $last }, { $freezes ->
    [0] no freeze
    [one] one freeze
   *[other] { $freezes } freezes
  } (28 °F or less). A running service sees it within a minute.
near-empty = No weather is kept yet. Add some: afterfrost weather import FILE
near-none = No kept station is near enough to { $place }. The chat will ask how cold it got.
near-all = Kept stations:
near-head = Stations near { $place }, the one that speaks for it first:
near-station = • { $name } ({ $network }), { $height } high, { $first } to { $last }, { $freezes ->
    [one] one freeze
   *[other] { $freezes } freezes
  }
near-reach = • { $name } ({ $network }), { $distance } away, { $height } high, { $first } to { $last }. Its lowest air, taken for here: give or take { $doubt }, nine times in ten.
near-unreadable = Left out: { $why }

fetch-asking = Asking { $service } ...
fetch-done = { $service } has answered.
fetch-failed = { $service } gave nothing.
fetch-stretch = { $kind ->
    [model] • { $first } to { $last }: { $station } ({ $service }), a grid cell { $distance } away, worked out and not measured
   *[thermometer] • { $first } to { $last }: { $station } ({ $service }), { $distance } away
  }
fetch-missing = • { $first } to { $last }: nobody has these days. They are left out, not made up.
fetch-dropped = { $count } readings looked wrong and were left out.
fetch-filled = { $count } hours in short gaps were filled by a line.
fetch-problem = Not had: { $why }
