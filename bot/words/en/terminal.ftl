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
tray-line = { $id }. { $day }, lawn { $lawn }: { $question }
tray-line-no-lawn = { $id }. { $day }: { $question }

soil-head = The { $n } coldest days for crowns:
soil-day = { $day } { $year }: air { $air }, crown { $crown }, soil 2 in down { $two } that day, 4 in down { $four }.
soil-note = Crowns sit on top, between grass and soil, and get much colder than the soil. Nobody has measured them, so take theirs as give or take { $units ->
    [metric] 2½ °C
   *[us] 5 °F
 }. Soil is the mean of the day, under grass, with the range it lies in nine times in ten.
soil-filled = { $n } days had no reading of the air and were filled from the days around them.
soil-beyond = Some days come out colder than was ever measured two inches down under grass in the humid South. Don't take those as they are.

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
check-weather = No weather source is connected. The cold is what homeowners or the facts file tell. The odds are wider for it.
check-person = Reaching a person: { $line }
check-setting = { $name } = { $now } ({ $holds })

start-listening = Afterfrost is at { $address }
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
