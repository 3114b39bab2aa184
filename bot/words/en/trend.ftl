### What `afterfrost trend` prints: cover measured on photos, spot by spot.

trend-head-spot = Spot
trend-head-photos = Visits
trend-head-days = Warm days
trend-head-now = Green now
trend-head-later = In 28 warm days
trend-head-half = To half green
trend-head-growing = Grows
trend-head-state = So far
trend-plain = { $what }
trend-whole = lawn
trend-range = { $middle } % ({ $low } to { $high })
trend-days = { $middle } warm days ({ $low } to { $high })
trend-days-open = { $middle } warm days ({ $low } or more)
trend-days-none = not in sight
trend-days-there = there
trend-chance = { $n } in 100

trend-state-recovered = recovered
trend-state-recovering = recovering
trend-state-too_early = too early to tell
trend-state-stalled = stalled
trend-state-no_regrowth_seen = no regrowth seen yet
trend-state-likely_dead = likely dead

trend-say-recovered = { $spot }: most of it is green.
trend-say-recovering = { $spot }: it grows. Go on with a photo a week.
trend-say-too_early = { $spot }: the photos do not tell yet. Take one a week, from the same height.
trend-say-stalled = { $spot }: it is green in part and hardly grows. Look for shade, dry soil or disease.
trend-say-no_regrowth_seen = { $spot }: no regrowth seen yet. That is not dead. Look at a runner and start a pot test.
trend-say-likely_dead = { $spot }: likely dead. That can be wrong. Look at the runners once more before you replace it.
trend-say-held = { $spot }: it is bare, but another spot still speeds up. Wait for it.

trend-since-first = Since the first visit: { $from } % to { $to } %. { $told ->
    [yes] A change of { $smallest } points or more is worth a word, and this is one.
   *[no] Less than { $smallest } points can be chance, so this says nothing.
 }
trend-since-previous = Since the visit before: { $from } % to { $to } %. { $told ->
    [yes] A change of { $smallest } points or more is worth a word, and this is one.
   *[no] Less than { $smallest } points can be chance, so this says nothing.
 }
trend-plugs = Pot test: { $alive } of { $total } plugs live. The true share of such plugs lies between { $low } and { $high } %, 95 times in 100.

trend-note-range = Ranges hold 9 times in 10, those of days 8 times in 10. A warm day has soil of 65 °F (18 °C) or more, 4 in (10 cm) down.
    .sms = Ranges hold 9 times in 10, those of days 8 in 10. A warm day has 65 F (18 C) or more in soil 4 in (10 cm) down.
trend-note-weeds = Weeds look like grass in a photo. Is any of the green a weed? Say so in a column "weeds": none, some, most or not_sure.
trend-note-judging-day = Nothing is called dead before { $day }.
trend-note-judging-warm = Nothing is called dead before { $n } warm days.
trend-note-warm-soil = Warm days are counted from { $day } on, each day as one.
