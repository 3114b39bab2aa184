### Drafts made from official alerts. A person reads, changes and approves each before anybody gets it.
### They also go out as text messages, so they are short and in plain letters.
### What to do before a freeze: water dry soil the day before, in mild air only (Texas A&M AgriLife, UF/IFAS); stay off
### frozen turf (UF/IFAS); no nitrogen, no weed killer, no low mowing (LSU, Mississippi State and Georgia extension);
### breathable cloth on small patches, never clear plastic in the sun (Auburn). No cover and no water is sure to help.

alert-name-frost-advisory = frost advisory
alert-name-freeze-watch = freeze watch
alert-name-freeze-warning = freeze warning
alert-name-cold-advisory = cold weather advisory
alert-name-cold-watch = extreme cold watch
alert-name-cold-warning = extreme cold warning
alert-name-storm-watch = winter storm watch
alert-name-storm-warning = winter storm warning
alert-name-ice-warning = ice storm warning
alert-name-other = cold alert

alert-day = { $day }
alert-when-day = { $day }, { $from } to { $until }
alert-when-days = { $day }, { $from } to { $last }, { $until }
alert-when-open = from { $day }, { $from }

alert-first-frost = Weather service: { $event } for your area, { $when }. Grass blades may be hurt. { $before } { $after }
alert-first-freeze = Weather service: { $event } for your area, { $when }. Grass may be hurt. { $before } { $after }
alert-first-deep = Weather service: { $event } for your area, { $when }. Runners may be hurt. { $before } { $after }
alert-first-snow = Weather service: { $event } for your area, { $when }. { $before } { $after }
alert-changed = Changed: the { $event } for your area is now { $when }. { $before } { $after }
alert-graver = It may get worse than first told. Weather service: { $event } for your area, { $when }. { $before }
alert-called-off = The { $event } for your area ({ $day }) was called off. You need do nothing more for it. Frost can still come on other nights.
alert-own = Our own estimate, no official alert: air near you may fall to { $air } around { $day }. { $before } { $after }
alert-own-near = Our estimate, not official: air may fall to { $air } around { $day }, coldest near { $near }. { $before } { $after }
alert-before = Don't feed, spray or mow low now. Water dry soil by noon the day before if it is mild and rules allow. No plastic on grass.
alert-before-snow = Snow that lies keeps grass warmer than the air, so leave it. Keep salt off grass.
alert-after = Stay off it while frozen. At first nobody can tell what lived.

## Names of drafts, for operators

alert-draft-first = { $event }, { $day }: { $area }
alert-draft-wide = Narrow the area first, it is all of { $states }: { $event }, { $day }: { $area }
alert-draft-changed = Changed: { $event }, { $day }: { $area }
alert-draft-called-off = Called off: { $event }, { $day }: { $area }
alert-draft-own = Own estimate, { $day }, { $region }: odds that some { $grass } is lost: { $chance }
alert-draft-own-near = Own estimate, { $day }, { $region }, coldest near { $near }: odds that some { $grass } is lost: { $chance }

## The watch, for operators and for whoever runs this

alert-told = Draft { $number } waits for you: { $name }. Nobody gets it until a person approves it.
    .sms = Draft { $number }: { $name }. Nobody gets it unless approved.
alert-told-where = See { $address }
check-watch-off = Forecasts are not watched, so our own warnings are not drafted. To switch it on: AFTERFROST_WEATHER=national, and your e-mail address or web page in AFTERFROST_WEATHER_CONTACT.
check-watch-on = Forecasts are watched for every region, four times a day. At most a draft comes of it.
check-watch-rehearsal = Forecasts are not watched while the clock is moved.
check-alerts-off = Official alerts are not read. To switch it on, put addresses, files or folders into AFTERFROST_ALERTS.
check-alerts-on = Official alerts are read from { $source }
check-alerts-fault = Official alerts cannot be read from { $source }: { $why }
desk-watch-sources = Read by itself
desk-watch-no-source = Nothing is. Whoever runs this can set AFTERFROST_ALERTS.
desk-watch-never = Not read yet.
desk-watch-read = Read { $at }. { $count ->
        [0] It holds no alert now.
        [one] It holds one alert.
       *[other] It holds { $count } alerts.
    }
desk-watch-fault = Could not be read { $at }: { $why }
desk-watch-no-forecast = No forecast could be had { $at }: { $why }
desk-watch-well = Last read without trouble { $at }.
desk-watch-next = Next try: { $at }.
desk-watch-unread = { $count ->
        [one] One part
       *[other] { $count } parts
    } of it could not be used: { $why }
desk-watch-ahead = Our own look ahead
desk-watch-ahead-off = It is off. Whoever runs this can switch it on: AFTERFROST_WEATHER=national and AFTERFROST_WEATHER_CONTACT.
desk-watch-no-region = There is no region to look at yet.
desk-watch-cold = Looked { $at }. Coldest near { $near }: { $air } on { $day }.
desk-watch-cold-here = Looked { $at }. Coldest: { $air } on { $day }.
desk-watch-mild = Looked { $at }. No freeze in sight.
desk-watch-few = { $answered } of { $spots } places had a forecast.
