### Cautions: each a sentence where the work is done now (caution-), and in a few words for the list of a plan
### (careful-). And feeding.

caution-mower = Clear stones and toys first. Wear closed shoes, eye and ear protection. Refuel only a cold engine. Never mow wet grass.
    .sms = Clear stones. Wear closed shoes, eye and ear cover. Refuel it cold. Not on wet grass.
caution-slopes = Push across a slope, ride up and down it.
    .sms = Push across slopes, ride up and down.
caution-off_frozen_turf = Stay off it while it is frozen or frosted.
    .sms = Stay off frozen grass.
caution-fertilizer = Follow the label. Spread on dry blades, sweep every grain off hard surfaces, and water it in lightly.
    .sms = Follow the label. Spread on dry blades, sweep hard surfaces, water in lightly.
caution-pesticide_label = The label is the law, and more is not better.
caution-wind_and_rain = Not in wind, and not before heavy rain.
    .sms = Not in wind or before heavy rain.
caution-clothing = Wear long sleeves, trousers, closed shoes and gloves, and wash your hands after.
    .sms = Long sleeves, trousers, closed shoes, gloves. Wash hands.
caution-kids_pets = Keep kids and pets well away.
    .sms = Kids and pets away.
caution-waterways = Keep it off drains, ponds and creeks.
    .sms = Off drains, ponds and creeks.
caution-local_rules = Local rules come first: some places ban feeding for months.
    .sms = Local feeding bans first.
caution-heavy_sod = Wet sod is heavy. Bend your knees, lift with two, and don't stand by a leaning pallet.
    .sms = Wet sod is heavy: bend knees, lift with two, keep clear of pallets.
caution-digging_811 = Call 811 a few days before you dig, because pipes and wires run there.
    .sms = Call 811 a few days before you dig.
caution-hand_tools = Wear gloves with sharp tools.
    .sms = Gloves with sharp tools.
caution-hot_pots = Keep lamps and sockets dry.
caution-ice = No sprinkler when it is near freezing.
    .sms = Not near freezing.
caution-water_limits = Local watering rules come first.
    .sms = Local rules first.
caution-poison_control = Poison Control is 1-800-222-1222, day and night.

## The same in a few words, for the list of a plan.
careful-mower = clear stones, closed shoes, eyes and ears
    .sms = clear stones, guard eyes, ears and feet
careful-slopes = go slow on slopes
careful-off_frozen_turf = stay off frozen grass
    .sms = stay off frozen grass
careful-fertilizer = by the label, sweep hard surfaces
    .sms = go by the label, sweep hard surfaces
careful-pesticide_label = by the label
careful-wind_and_rain = no wind or heavy rain
    .sms = not in wind or rain
careful-clothing = gloves
    .sms = wear gloves
careful-kids_pets = kids and pets away
    .sms = keep kids and pets away
careful-waterways = off drains and water
    .sms = keep off water and drains
careful-local_rules = local rules first
careful-heavy_sod = lift with two
careful-digging_811 = call 811 first
careful-hand_tools = wear gloves with sharp tools
    .sms = wear gloves
careful-hot_pots = keep sockets dry
careful-ice = never near freezing
careful-water_limits = local limits first
    .sms = local rules first
careful-poison_control = Poison Control 1-800-222-1222

bag-unknown = your bag
bag-numbers = { $n }-{ $p }-{ $k }

feed-dose = With your { $bag }, once all the checks pass: set the spreader for { $rate } (that is { $nitrogen } of nitrogen). If all { $area } are alive that takes { $mass }, less where they are not. Only on living parts, half of it one way and half across.
    .sms = With your { $bag }, once all checks pass: { $rate } (nitrogen { $nitrogen }). If all { $area } are alive that takes { $mass }. Living parts only, half each way.
feed-dose-now = With your { $bag }: set the spreader for { $rate } (that is { $nitrogen } of nitrogen). If all { $area } are alive that takes { $mass }, so { $half } each way: half one way, half across. Where parts are brown, skip them and keep the rest in the bag.
    .sms = With your { $bag }: { $rate } (nitrogen { $nitrogen }). If all { $area } are alive: { $mass }, { $half } each way. Skip brown parts.
feed-dose-rate = With your { $bag }, once all the checks pass: { $rate }, which is { $nitrogen } of nitrogen. Only on parts that are alive.
    .sms = With your { $bag }, once all checks pass: { $rate } (nitrogen { $nitrogen }). Living parts only.
feed-dose-rate-now = With your { $bag }: { $rate }, which is { $nitrogen } of nitrogen. Only on parts that are alive.
    .sms = With your { $bag }: { $rate } (nitrogen { $nitrogen }). Living parts only.
feed-refused = Your { $bag } is not right for this: { $reasons }.
    .sms = Your { $bag } is not right for this: { $reasons }.
feed-no-no_tier = feeding isn't open yet
feed-no-no_nitrogen = it has no nitrogen
feed-no-slow_share = too little of its nitrogen is slow-release, or the bag doesn't say (at least 30 % is needed)
    .sms = not enough slow-release nitrogen (30% is needed)
feed-no-total_n = it would be too much nitrogen at once
    .sms = too much nitrogen at once
feed-no-soluble_n = it would be too much fast nitrogen at once
    .sms = too much fast nitrogen at once
feed-no-p2o5 = it holds too much phosphate, which harms water
    .sms = too much phosphate, which harms water
feed-no-p2o5_year = it would be more phosphate than a year allows
    .sms = too much phosphate for a year
feed-no-p2o5_by_law = your state limits phosphate on lawns without a soil test
    .sms = your state limits phosphate
feed-no-k2o = it would be too much potash at once
    .sms = too much potash at once
feed-no-light_total = the light feeds of this spring would add up to too much
    .sms = too much light feed this spring
feed-no-year_n = it would be more nitrogen than this grass should get in a year
    .sms = too much nitrogen for a year
feed-note-smaller_than_usual = The dose is smaller than usual, so that no limit is passed.
    .sms = A small dose, so no limit is passed.
feed-note-slow_share_unknown = The bag doesn't say how much is slow-release, so I count it all as fast.
    .sms = I count all its nitrogen as fast.
feed-note-p_by_soil_test = The phosphate is there because your soil test asks for it.
    .sms = Your soil test asks for the phosphate.
feed-note-state_cap = Your state has its own limit, and the dose keeps it.
    .sms = It keeps your state's limit.
feed-no-plan = Leave it unfed for now. I can check that once your plan is confirmed.
feed-too-early = Not yet. Before { $day } no feeding makes sense: roots can't use food in cold soil.
feed-wait = Not yet. What still has to come:
feed-gate-last_frost = • the last frost has to be past
    .sms = - the last frost has to be past
feed-gate-freeze_forecast = • no frost in the forecast
    .sms = - no frost in the forecast
feed-gate-warm_soil = { $units ->
    [metric] • the soil has to stay at 18 °C or more for two weeks
   *[us] • the soil has to stay at 65 °F or more for two weeks
 }
    .sms = { $units ->
        [metric] - soil at 18 C or more for two weeks
       *[us] - soil at 65 F or more for two weeks
    }
feed-gate-soil_falling = • the soil must not be cooling again
    .sms = - the soil must not be cooling again
feed-gate-green_shoots = • new green shoots all over what is to be fed
    .sms = - new green shoots all over
feed-gate-active_disease = • the rings look like disease, and feeding makes that worse
    .sms = - the rings look like disease, and feeding makes that worse
feed-gate-weather = • a calm, dry day with no heavy rain ahead
    .sms = - a calm, dry day, no heavy rain ahead
feed-gate-blackout = • your area bans feeding at this time
    .sms = - your area bans feeding now
feed-gate-centipede_spring = • centipede gets nothing in spring
    .sms = - centipede gets nothing in spring
feed-gate-centipede_no_light = • centipede gets no light spring feed at all
    .sms = - centipede gets no light spring feed
feed-gate-two_mowings = • two real mowings
    .sms = - two real mowings
feed-gate-fully_green = • all of it green
    .sms = - all of it green
feed-gate-rest_since_feed = • more time since the last feed
    .sms = - more time since the last feed
feed-gate-cover_risen = • more green than last time
    .sms = - more green than last time
feed-gate-light_total = • enough was fed this spring
    .sms = - enough was fed this spring
feed-gate-turf_too_young = • the new sod has to root first
    .sms = - the new sod has to root first
feed-leave-out = Then let's leave feeding out this season. That does no harm. If it stays thin, a soil test from your county office tells more than any bag.
    .sms = Then let's leave feeding out this season. That does no harm. If it stays thin, a soil test from your county office tells more.
feed-two-schools = You may hear both: many lawn people feed lightly at once, extension offices say wait for green. Both agree that cold soil and dead grass take nothing up. So the checks above decide.
    .sms = { "" }
feed-open-light = All checks pass. A light feed is fine now.
feed-open-light_repeat = All checks pass. One more light feed is fine now.
feed-open-normal = All checks pass. Normal feeding can start again.
feed-open-new_turf = The new turf has rooted. A first feed is fine now.
feed-what-bag = Look for a bag with a middle number of 0 to 2 and at least 30 % of its nitrogen slow-release, like 15-0-15. Once you have one, type "feed" and I'll work out the amount.
    .sms = Look for a bag with a middle number of 0 to 2 and 30% or more slow-release nitrogen, like 15-0-15. Then reply FEED.
feed-next-on = No more than that for now. I'll check again { $day }.
    .sms = No more for now. I'll check again { $day }.
feed-by-the-calendar = { $units ->
    [metric] By the calendar the soil is warm enough. A cool spring can run two weeks late, so look first: a thermometer 10 cm down should show 18 °C or more in the morning.
   *[us] By the calendar the soil is warm enough. A cool spring can run two weeks late, so look first: a thermometer 4 inches down should show 65 °F or more in the morning.
 }
    .sms = { $units ->
        [metric] By the calendar the soil is warm, but a cool spring runs late. Look first: 10 cm down it should be 18 C or more in the morning.
       *[us] By the calendar the soil is warm, but a cool spring runs late. Look first: 4 inches down it should be 65 F or more in the morning.
    }
feed-how = How:

ask-do_frost = Is frost in the forecast for the next ten days?
help-do_frost = { $units ->
    [metric] Look at the lows: is any at or below 0 °C?
   *[us] Look at the lows: is any at or below 32 °F?
 }
    .sms = { $units ->
        [metric] Look at the lows: is any at or below 0 C?
       *[us] Look at the lows: is any at or below 32 F?
    }
why-do_frost = Frost on soft new growth undoes it.
do_frost-yes = yes
    .said = frost
do_frost-no = no
    .said = no frost
ask-do_mowed = How many times did you mow real new growth?
help-do_mowed = Only cuts of new green count.
why-do_mowed = Two mowings show that roots and blades both work.
do_mowed-none = not yet
    .said = none | no | zero | 0
do_mowed-one = once
    .said = one | 1
do_mowed-two = twice or more
    .said = two | 2 | more
ask-do_rings = Do you see orange or dark rings?
help-do_rings = Round patches with an orange or dark edge that grow.
why-do_rings = That is a disease, and food makes it worse.
do_rings-yes = yes
    .said = rings
do_rings-no = no
    .said = no rings
ask-do_weather = Is it calm and dry, with no heavy rain coming?
help-do_weather = Dry blades, little wind, no downpour for a day.
why-do_weather = Rain washes it into creeks. Wind blows it where it shouldn't be.
do_weather-yes = yes
    .said = calm | dry
do_weather-no = no
    .said = rain | windy

dose-means = On { $area } that is { $rate } of nitrogen, about { $times } times the light feed I would use.
    .sms = On { $area } that is { $rate } of nitrogen, about { $times } times the light feed I would use.
dose-centipede = And centipede gets no nitrogen in spring at all. Please don't.
    .sms = Centipede gets no nitrogen in spring at all. Please don't.
dose-broken = It would break a limit too: { $reasons }.
    .sms = It would break a limit: { $reasons }.
dose-wait = I'd wait: the soil is too cold until { $day }, and most of it would wash away.
    .sms = I'd wait: the soil is too cold until { $day }, and most would wash away.
dose-check = Before any feeding I'd run the feeding check with you.
dose-needs-size = How big is the lawn? Type "change" and give me the size, then I can say what that dose means.
    .sms = How big is the lawn? Reply CHANGE and give the size, then I can say what that dose means.
dose-kills-weeds = And that bag kills weeds too. Not this year: it hurts a lawn that has to root again.
    .sms = That bag kills weeds too. Not this year.
dose-second-opinion = Want a second opinion? Your county extension office is free, and a soil test there is cheap.
    .sms = Your county extension office gives a free second opinion.

picture-runners = Drawing: left, a runner creeping on top of the soil. Right, stems both on top of and inside the soil.
picture-blade_width = Drawing: three blades beside a pencil. One as wide, one half as wide, one much thinner.
picture-blade_tip = Drawing: left, a blade with a round, boat-like tip. Right, one with a pointed tip.
picture-runner_look = Drawing: a cut runner that is firm and white inside is alive. One that is soft and brown is dead.
picture-notch = Drawing: a mower wheel with a lever. Each notch moves the blade about half an inch.
picture-bag = Drawing: a bag with three numbers, like 16-4-8. They are nitrogen, phosphate and potash.
