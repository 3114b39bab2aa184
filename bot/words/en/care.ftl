### Cautions: each a sentence where the work is done now (caution-), and in a few words for the list of a plan
### (careful-). And feeding.

caution-mower = Clear stones and toys first. Wear closed shoes, eye and ear protection. Refuel only a cold engine. Never mow wet grass.
caution-slopes = Push across a slope, ride up and down it.
caution-off_frozen_turf = Stay off it while it is frozen or frosted.
caution-fertilizer = Follow the label. Spread on dry blades, sweep every grain off hard surfaces, and water it in lightly.
caution-pesticide_label = The label is the law, and more is not better.
caution-wind_and_rain = Not in wind, and not before heavy rain.
caution-clothing = Wear long sleeves, trousers, closed shoes and gloves, and wash your hands after.
caution-kids_pets = Keep kids and pets well away.
caution-waterways = Keep it off drains, ponds and creeks.
caution-local_rules = Local rules come first: some places ban feeding for months.
caution-heavy_sod = Wet sod is heavy. Bend your knees, lift with two, and don't stand by a leaning pallet.
caution-digging_811 = Call 811 a few days before you dig, because pipes and wires run there.
caution-hand_tools = Wear gloves with sharp tools.
caution-hot_pots = Keep lamps and sockets dry.
caution-ice = No sprinkler when it is near freezing.
caution-water_limits = Local watering rules come first.
caution-poison_control = Poison Control is 1-800-222-1222, day and night.

## The same in a few words, for the list of a plan.
careful-mower = clear stones, closed shoes, eyes and ears
careful-slopes = go slow on slopes
careful-off_frozen_turf = stay off frozen grass
careful-fertilizer = by the label, sweep hard surfaces
careful-pesticide_label = by the label
careful-wind_and_rain = no wind or heavy rain
careful-clothing = gloves
careful-kids_pets = kids and pets away
careful-waterways = off drains and water
careful-local_rules = local rules first
careful-heavy_sod = lift with two
careful-digging_811 = call 811 first
careful-hand_tools = wear gloves with sharp tools
careful-hot_pots = keep sockets dry
careful-ice = never near freezing
careful-water_limits = local limits first
careful-poison_control = Poison Control 1-800-222-1222

bag-unknown = your bag
bag-numbers = { $n }-{ $p }-{ $k }

feed-dose = With your { $bag }, once all the checks pass: set the spreader for { $rate } (that is { $nitrogen } of nitrogen). If all { $area } are alive that takes { $mass }, less where they are not. Only on living parts, half of it one way and half across.
feed-dose-now = With your { $bag }: set the spreader for { $rate } (that is { $nitrogen } of nitrogen). If all { $area } are alive that takes { $mass }, so { $half } each way: half one way, half across. Where parts are brown, skip them and keep the rest in the bag.
feed-dose-rate = With your { $bag }, once all the checks pass: { $rate }, which is { $nitrogen } of nitrogen. Only on parts that are alive.
feed-dose-rate-now = With your { $bag }: { $rate }, which is { $nitrogen } of nitrogen. Only on parts that are alive.
feed-refused = Your { $bag } is not right for this: { $reasons }.
feed-no-no_tier = feeding isn't open yet
feed-no-no_nitrogen = it has no nitrogen
feed-no-slow_share = too little of its nitrogen is slow-release, or the bag doesn't say (at least 30 % is needed)
feed-no-total_n = it would be too much nitrogen at once
feed-no-soluble_n = it would be too much fast nitrogen at once
feed-no-p2o5 = it holds too much phosphate, which harms water
feed-no-p2o5_year = it would be more phosphate than a year allows
feed-no-p2o5_by_law = your state limits phosphate on lawns without a soil test
feed-no-k2o = it would be too much potash at once
feed-no-light_total = the light feeds of this spring would add up to too much
feed-no-year_n = it would be more nitrogen than this grass should get in a year
feed-note-smaller_than_usual = The dose is smaller than usual, so that no limit is passed.
feed-note-slow_share_unknown = The bag doesn't say how much is slow-release, so I count it all as fast.
feed-note-p_by_soil_test = The phosphate is there because your soil test asks for it.
feed-note-state_cap = Your state has its own limit, and the dose keeps it.
feed-no-plan = I can check that once your plan is confirmed.
feed-too-early = Not yet. Before { $day } no feeding makes sense: roots can't use food in cold soil.
feed-wait = Not yet. What still has to come:
feed-gate-last_frost = • the last frost has to be past
feed-gate-freeze_forecast = • no frost in the forecast
feed-gate-warm_soil = { $units ->
    [metric] • the soil has to stay at 18 °C or more for two weeks
   *[us] • the soil has to stay at 65 °F or more for two weeks
 }
feed-gate-soil_falling = • the soil must not be cooling again
feed-gate-green_shoots = • new green shoots all over what is to be fed
feed-gate-active_disease = • the rings look like disease, and feeding makes that worse
feed-gate-weather = • a calm, dry day with no heavy rain ahead
feed-gate-blackout = • your area bans feeding at this time
feed-gate-centipede_spring = • centipede gets nothing in spring
feed-gate-centipede_no_light = • centipede gets no light spring feed at all
feed-gate-two_mowings = • two real mowings
feed-gate-fully_green = • all of it green
feed-gate-rest_since_feed = • more time since the last feed
feed-gate-cover_risen = • more green than last time
feed-gate-light_total = • enough was fed this spring
feed-gate-turf_too_young = • the new sod has to root first
feed-leave-out = Then let's leave feeding out this season. That does no harm. If it stays thin, a soil test from your county office tells more than any bag.
feed-two-schools = You may hear both: many lawn people feed lightly at once, extension offices say wait for green. Both agree that cold soil and dead grass take nothing up. So the checks above decide.
feed-open-light = All checks pass. A light feed is fine now.
feed-open-light_repeat = All checks pass. One more light feed is fine now.
feed-open-normal = All checks pass. Normal feeding can start again.
feed-open-new_turf = The new turf has rooted. A first feed is fine now.
feed-what-bag = Look for a bag with a middle number of 0 to 2 and at least 30 % of its nitrogen slow-release, like 15-0-15. Once you have one, type "feed" and I'll work out the amount.
feed-next-on = No more than that for now. I'll check again { $day }.
feed-by-the-calendar = { $units ->
    [metric] By the calendar the soil is warm enough. A cool spring can run two weeks late, so look first: a thermometer 10 cm down should show 18 °C or more in the morning.
   *[us] By the calendar the soil is warm enough. A cool spring can run two weeks late, so look first: a thermometer 4 inches down should show 65 °F or more in the morning.
 }
feed-how = How:

ask-do_frost = Is frost in the forecast for the next ten days?
help-do_frost = { $units ->
    [metric] Look at the lows: is any at or below 0 °C?
   *[us] Look at the lows: is any at or below 32 °F?
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
dose-centipede = And centipede gets no nitrogen in spring at all. Please don't.
dose-broken = It would break a limit too: { $reasons }.
dose-wait = I'd wait: the soil is too cold until { $day }, and most of it would wash away.
dose-check = Before any feeding I'd run the feeding check with you.
dose-needs-size = How big is the lawn? Type "change" and give me the size, then I can say what that dose means.
dose-kills-weeds = And that bag kills weeds too. Not this year: it hurts a lawn that has to root again.
dose-second-opinion = Want a second opinion? Your county extension office is free, and a soil test there is cheap.

picture-runners = Drawing: left, a runner creeping on top of the soil. Right, stems both on top of and inside the soil.
picture-blade_width = Drawing: three blades beside a pencil. One as wide, one half as wide, one much thinner.
picture-blade_tip = Drawing: left, a blade with a round, boat-like tip. Right, one with a pointed tip.
picture-runner_look = Drawing: a cut runner that is firm and white inside is alive. One that is soft and brown is dead.
picture-notch = Drawing: a mower wheel with a lever. Each notch moves the blade about half an inch.
picture-bag = Drawing: a bag with three numbers, like 16-4-8. They are nitrogen, phosphate and potash.
