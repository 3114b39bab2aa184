# What holds in a region: told beside a plan, and entered at the desk. By SMS too, so in plain letters.

# --- told to homeowners ---
local-span = from { $first } to { $last }
local-hours = { $first } to { $last }
local-midnight = midnight
local-ban-nitrogen = Local rule ({ $code }): no lawn food { $times }. Local rules win over this plan.
local-ban-until = That rule holds until { $day }, { $year }.
local-ban-next = Next day to check for feeding: { $day }.
local-not-before = Not yet. Ask me about feeding again from { $day }.
local-ban-none-left = That leaves no good day for feeding this season. So leave it out.
local-ban-unread = There is a local rule on feeding lawns here, but I can't read it. So feed nothing. Your county office knows what holds.
local-ban-phosphorus = Local rule ({ $code }): no phosphate { $times }. The middle number on the bag must be 0. Local rules win over this plan.
local-ban-unread-phosphorus = There is a local rule on phosphate here, but I can't read it. So take a bag with 0 in the middle.
local-watering = Local watering rule ({ $code }): only on { $days }. Keep to that, on the day that comes next.
local-watering-hours = Local watering rule ({ $code }): only on { $days }, { $hours }. Keep to that, on the day that comes next.
local-note = From your local office: { $note }
local-weekday-0 = Monday
local-weekday-1 = Tuesday
local-weekday-2 = Wednesday
local-weekday-3 = Thursday
local-weekday-4 = Friday
local-weekday-5 = Saturday
local-weekday-6 = Sunday
feed-no-p2o5_local = a local rule bans phosphate at that time
not-now-nitrogen-next_season = • Not this season: fertilizer with nitrogen. A local rule bans it all the while.
    .sms = - Not this season: fertilizer. A local rule bans it.

# --- at the desk ---
local-tab = Local rules
local-title = Local rules
local-how = What holds in each region. Where regions overlap, the smallest one counts, line by line. But every ban counts.
local-no-regions = No region is drawn yet. Draw one under "Regions".
local-region-title = Local rules: { $name }
local-holds = What holds now
local-change = Change it
local-change-how = Leave empty what you don't want to say. Homeowners are told within a minute or so of what changed.
local-spans-how = Spans of days: one a line, month and day, like 06-01..09-30 or June to September. They may go over New Year.
local-dates-how = Days like 04-01 hold for every spring, 2027-04-01 for one. Tick the box only if you are sure of the day. Else it is told as about.
local-keep = Keep this
local-nothing-kept = Nothing was kept.
local-back = All regions
local-history = All that was said, newest first
local-history-none = Nothing yet.
local-made = { $who }, { $at }
local-undone = Taken back: { $who }, { $at }
local-undo = Take this back
local-note-kept = Kept. Homeowners are told within a minute or so.
local-note-same = Nothing was changed.
local-note-undone = Taken back. What was said before counts again.
local-fault-undo = That was taken back or changed by somebody else. Look again.
local-piece-nitrogen_ban = Feeding ban
local-piece-phosphorus_ban = Phosphate ban
local-piece-watering = Watering days
local-piece-last_frost = Last frost
local-piece-warm_soil = Warm soil from
local-piece-freeze = The freeze
local-piece-contact = Whom to ask
local-piece-note = Short note
local-piece-unknown = Of a kind not known here
local-field-spans = Days on which it is banned
local-field-code = Name of the local code
local-field-until = Last day on which the code holds, if any
local-field-hours = Hours, like 00:00-10:00, 16:00-24:00. Empty: all day
local-field-day = Month and day
local-field-exact = We are sure of this day
local-field-coldest_on = Coldest day
local-field-air_min_f = Lowest air, degrees F, if known
local-field-days = Days with frost
local-field-snow_in = Snow on the grass, inches
local-field-words = One line, as it is told
local-told-nothing = Nothing is said here.
local-told-unread = What was kept here no longer reads. A ban counts for every day until it is typed again or taken back.
local-told-ban = { $code }: { $times }
local-told-ban-until = { $code }: { $times }, until { $last }
local-told-watering = { $code }: { $days }
local-told-watering-hours = { $code }: { $days }, { $hours }
local-told-date = about { $day }, { $year }
local-told-date-exact = { $day }, { $year }, sure
local-every-year = every year
local-told-freeze = { $day }: { $count ->
    [one] { $count } day of frost
   *[other] { $count } days of frost
  }, { $snow } of snow
local-told-freeze-air = { $day }: { $air }, { $count ->
    [one] { $count } day of frost
   *[other] { $count } days of frost
  }, { $snow } of snow
local-told-words = { $words }
