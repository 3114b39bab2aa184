### The first answer: what probably happened, why, and what to do now.

summary-head = What I think happened to { $where } ({ $grass }):
    .sms = My odds for { $where } ({ $grass }):
summary-blades = • The blades dried out and died: { $chance }. That is most of what you see, and it is only the top.
    .sms = - Blades died: { $chance }. That is only the top.
summary-blades-few = • The blades dried out and died: { $chance }. Brown may just be its winter rest.
    .sms = - Blades died: { $chance }. Brown may be winter rest.
summary-some = • Some runners froze: { $chance }. Of all its runners I'd expect to lose { $share }.
    .sms = - Some runners froze: { $chance }. My guess: { $share }.
summary-some-top = • Some stems on top froze: { $chance }. Of those I'd expect to lose { $share }.
    .sms = - Some stems on top froze: { $chance }. My guess: { $share }.
summary-all = • Nearly all of it lost for good: { $chance }.
    .sms = - Nearly all lost: { $chance }.
summary-why = Why: in a freeze like that, half of this grass's runners die near { $half }. With the air down to { $air }, yours on top of the soil probably felt { $felt }.
    .sms = Why: half its runners die near { $half }. Yours likely felt { $felt }.
summary-why-snow = Why: in a freeze like that, half of this grass's runners die near { $half }. The air fell to { $air }, but snow is a blanket. Under it yours probably felt { $felt }.
    .sms = Why: half its runners die near { $half }. Under the snow yours likely felt { $felt }.
summary-why-rhizomes = Why: in a freeze like that, half of its stems die near { $half }. With the air down to { $air }, stems on top probably felt { $felt }. But this grass also lives below. Two inches down the soil was likely near { $soil }, and it can come back from there.
    .sms = Why: half its stems die near { $half }, and on top they likely felt { $felt }. It also lives below, near { $soil }, and can come back.
summary-why-rhizomes-snow = Why: in a freeze like that, half of its stems die near { $half }. The air fell to { $air }, but under the snow stems on top probably felt { $felt }. This grass also lives below. Two inches down it was likely near { $soil }, and it can come back from there.
    .sms = Why: half its stems die near { $half }, and under snow they likely felt { $felt }. It also lives below, near { $soil }, and can come back.
summary-why-unsure = Why: in a freeze like that, half of what grows on top dies near { $high } in the weakest grass yours may be, near { $low } in the hardiest. On top of the soil it probably felt { $felt }. Knowing the grass would tell most.
    .sms = Why: half of the top dies near { $low } in the hardiest kind, { $high } in the weakest. It likely felt { $felt }.
summary-cold-measured = { $kind ->
    [model] How cold it got: air down to { $air } on { $day }, by a weather model.
   *[thermometer] How cold it got: air down to { $air } on { $day }, read at { $station }, { $distance } from you.
 }
    .sms = { $kind ->
        [model] Air down to { $air } on { $day }, by a weather model.
       *[thermometer] Air down to { $air } on { $day }, at { $station }, { $distance } away.
    }
summary-cold-both = { $kind ->
    [model] How cold it got: a weather model has { $theirs } on { $day }, you read { $yours }. I take { $air } for your yard.
   *[thermometer] How cold it got: { $station } read { $theirs } on { $day }, you read { $yours }. I take { $air } for your yard.
 }
    .sms = { $kind ->
        [model] A weather model has { $theirs } on { $day }, you read { $yours }. I take { $air }.
       *[thermometer] { $station } read { $theirs } on { $day }, you read { $yours }. I take { $air }.
    }
summary-cold-colder = How cold it got: { $theirs } on { $day } by what was measured near you. You say it was colder at your place, so I take { $air }.
    .sms = Measured near you: { $theirs } on { $day }. You say it was colder, so I take { $air }.
summary-cold-milder = How cold it got: { $theirs } on { $day } by what was measured near you. You say it was milder at your place, so I take { $air }.
    .sms = Measured near you: { $theirs } on { $day }. You say it was milder, so I take { $air }.
summary-cold-higher = It stands { $height } higher than you.
summary-cold-lower = It lies { $height } lower than you.
summary-cold-filled = { $filled ->
    [one] One day was missing there, so my range is wider.
   *[other] { $filled } days were missing there, so my range is wider.
 }
summary-ground = Two inches down the soil got no lower than about { $soil }. On top, where runners lie, it was colder: near { $felt }. Nobody measures that spot, so it is a wide range.
    .sms = Soil two inches down: no lower than about { $soil }. Runners on top: colder, near { $felt }. Nobody measures that spot, so it is a wide range.
summary-ground-snow = Snow is a blanket. Under it the soil two inches down got no lower than about { $soil }, the runners on top no lower than { $felt }. Nobody measures that spot, so it is a wide range.
    .sms = Under the snow: soil two inches down no lower than about { $soil }, runners on top { $felt }. Nobody measures that spot, so it is a wide range.
summary-ground-beyond = For two inches down my sum came out colder than was ever measured under grass in the South. So I give no figure and no picture, and the odds are rougher for it. On top, where runners lie, it was near { $felt }.
    .sms = Two inches down my sum came out colder than was ever measured under grass in the South. So I give no figure, and the odds are rougher. Runners on top: near { $felt }.
summary-ground-maybe-snow = Something fell in the cold, and nobody measured if it was snow. So I take the middle, with a wide range: two inches down about { $soil }, on top near { $felt }. Snow on your grass would make the odds better.
    .sms = Nobody measured if it snowed. So a wide range: two inches down about { $soil }, on top near { $felt }. Snow would make the odds better.
summary-limit = In such a freeze half of this grass's runners die near { $half }.
    .sms = Half its runners die near { $half }.
summary-limit-rhizomes = In such a freeze half of its stems die near { $half }. But it also lives below and can come back from there.
    .sms = Half its stems die near { $half }. But it also lives below and can come back from there.
summary-limit-unsure = In such a freeze half of what grows on top dies near { $high } in the weakest grass yours may be, near { $low } in the hardiest.
    .sms = Half of what is on top dies near { $low } in the hardiest kind, { $high } in the weakest.
summary-local-better = Lawns like yours came through better than the books say. I count that in.
summary-local-worse = Lawns like yours came through worse than the books say. I count that in.
weather-came = { $kind ->
    [model] Now I have the weather of your freeze: a weather model has { $air } as the lowest air at your place, on { $day }. I worked your odds out again.
   *[thermometer] Now I have the weather that was measured near you. { $station }, { $distance } away, read { $air } at its lowest, on { $day }. I worked your odds out again.
 }
    .sms = { $kind ->
        [model] Now I have the weather of your freeze: a weather model has { $air } on { $day }. I worked your odds out again.
       *[thermometer] Now I have the weather of your freeze: { $station }, { $distance } away, read { $air } on { $day }. I worked your odds out again.
    }
weather-came-same = It changes nothing I told you.
weather-credit = { $credit }

summary-maybe-cool = No runners at all? Then it may be a cool-season grass like fescue, which takes such cold. If so, type "change" and tell me.
    .sms = No runners? Maybe fescue, which takes such cold. Then reply CHANGE.
summary-thumb-another_depth = A rule of thumb says: real losses begin when the soil falls to { $from } to { $to }. Yours likely stayed near { $soil }, two inches down. But the runners lie on top, where it was colder. And the rule comes from other places. So I go by the odds above.
    .sms = A rule of thumb by soil (losses at { $from } to { $to }, yours { $soil }) looks better. But runners on top had it colder.
summary-thumb-another_loss = A rule of thumb says: real losses begin when the soil falls to { $from } to { $to }. Yours likely fell to { $soil }, two inches down, so by that rule it looks worse. The rule means whole lawns, in other places. I count each runner. So I go by the odds above.
    .sms = A rule of thumb by soil (losses at { $from } to { $to }, yours { $soil }) looks worse. But it means whole lawns elsewhere.
summary-cold-guess = You weren't sure how cold it got, so I took what such a freeze usually brings. That makes the odds wide.
    .sms = I don't know how cold it got, so odds are wide.
summary-cold-reported = You weren't sure how cold it got, so I took what was reported for your area.
    .sms = For the cold I took what was reported for your area.
summary-no-place = I don't know the place, so the dates below are very rough.
    .sms = Place not known, so dates are very rough.
summary-grass-guess = I'm not sure of the grass yet, so I keep to the most careful rules.
    .sms = Not sure of the grass, so I keep to careful rules.
summary-sign-slimy_runners = Slimy, sour runners are dead ones. That pulled the odds down.
    .sms = Slimy runners are dead: odds down.
summary-sign-firm_runners = Firm runners are a good sign. That pulled the odds up.
    .sms = Firm runners: odds up.
summary-sign-orange_rings = Rings with an orange or dark edge that grow point to a disease, not to frost. A county extension office can tell. Feeding would make it worse.
    .sms = Dark-edged rings that grow are a disease, not frost. Don't feed. Ask your county office.
summary-sign-tracks = Tracks on frosted grass are mostly bruised blades. They look bad for weeks and then grow out.
    .sms = Tracks mostly grow out.
summary-sign-low_wet = Low, wet places can lose more than the rest.
    .sms = Low, wet places can lose more.
summary-more = What would tell us more: a look at the runners (I'll show you how) and photos of the same spot over the weeks.
    .sms = A look at the runners, and photos over the weeks, will tell us more.
summary-now = For now: leave the brown top on. It shelters what is green below, and hard frost can return here until { $gate }. No fertilizer, no weed killer, no hard raking. Stay off it while it is frozen.
    .sms = For now leave the brown top on. It shelters what is green, and hard frost can return until { $gate }. No fertilizer, no weed killer, no hard raking. Stay off it while it is frozen.
summary-now-late = For now: no fertilizer, no weed killer and no hard raking until I say so. Watch the forecast for late frost.
summary-judging = Nobody can call it dead before { $day }, and I won't.

scope-cool_season = That is a cool-season lawn. Fescue, bluegrass and ryegrass take such cold well. They look tired after it and mostly green up by themselves as days get longer. My numbers are for warm-season lawns, so I won't guess here.
    .sms = That is a cool-season lawn. Fescue, bluegrass and ryegrass take such cold well and mostly green up by themselves. My numbers are for warm-season lawns, so I won't guess.
scope-not_grass = Then there is no grass for me to judge, and I won't guess.
scope-not_frost = That is not cold enough to hurt a lawn. If it is brown, look for another cause: winter rest, drought, a disease, insects, a spill, or weed killer.
scope-more = Your county extension office can help with that for free. Type "change" to fix an answer, or "person" to pass on a question.
    .sms = Your county extension office can help for free. Reply CHANGE to fix an answer, PERSON to pass on a question.

### The plan.

plan-today-head = Today:
plan-later-head = Then, one thing at a time:
    .sms = Then:
plan-item = { $what }
with-care = { $what } { $care }
plan-item-care = { $what } Careful: { $care }.
plan-item-care-again = { $what } Careful as above.
plan-first_photo = { $day }: take a photo of { $where } from a place you will find again, camera straight down at knee height. Why: nobody remembers how bad it was.
    .sms = { $day }: photo of { $where }, straight down, at knee height.
plan-look = { $day }: look at the runners. Firm, and white, green or purple inside, is alive. Soft and brown is dead. Why: they tell more than the blades.
    .sms = { $day }: look at the runners. Firm and light inside is alive. Soft and brown is dead.
plan-look-again = { $day }: look at the runners once more. What died shows better now.
    .sms = { $day }: look at the runners again.
plan-water = { $day }: if there was no rain for { $weeks } weeks, give { $depth } of water. That is about { $volume } for your lawn. Why: dry roots die of thirst in winter.
    .sms = { $day }: if dry for { $weeks } weeks, give { $depth } of water ({ $volume }).
plan-water-open = { $day }: if there was no rain for { $weeks } weeks, give { $depth } of water. Why: dry roots die of thirst in winter.
    .sms = { $day }: if dry for { $weeks } weeks, give { $depth } of water.
plan-series-water = Every { $weeks } weeks from { $first } to { $last }: if it stayed dry all that time, give { $depth } of water. Why: dry roots die of thirst in winter.
    .sms = { $first } to { $last }: every { $weeks } weeks, if it stayed dry, give { $depth } of water.
plan-spring_water = { $day }: the soil is warm from about here. Give { $depth } a week if it doesn't rain (about { $volume }), until half is green. Then twice that. Why: new roots are short.
    .sms = { $day }: soil is warm. In a dry week give { $depth } of water ({ $volume }), twice that once half is green.
plan-spring_water-open = { $day }: the soil is warm from about here. Give { $depth } a week if it doesn't rain, until half is green. Then twice that. Why: new roots are short.
    .sms = { $day }: soil is warm. In a dry week give { $depth } of water, twice that once half is green.
plan-pot_start = { $units ->
    [metric] { $day }: pot test for { $where }. Dig six plugs from each part, 8 to 10 cm wide, and keep them moist in pots at a bright, warm window. Why: what is alive turns green there weeks early.
   *[us] { $day }: pot test for { $where }. Dig six plugs from each part, 3 to 4 inches wide, and keep them moist in pots at a bright, warm window. Why: what is alive turns green there weeks early.
 }
    .sms = { $units ->
        [metric] { $day }: pot test for { $where }. Six plugs, 8 to 10 cm wide, kept moist at a bright warm window.
       *[us] { $day }: pot test for { $where }. Six plugs, 3 to 4 in wide, kept moist at a bright warm window.
    }
plan-pot_read = { $day }: count the plugs with new green.
    .sms = { $day }: count the plugs with new green.
plan-series-pot_read = { $first } to { $last }: count the plugs with new green, after 2, 3 and 4 weeks. Why: late ones come too.
    .sms = { $first } to { $last }: count the plugs with new green, after 2, 3 and 4 weeks.
plan-cut-first = { $day }: first cut, one notch lower: { $from } to { $to }. Bag the clippings. Stop if you see brown stems instead of blades. Why: sun reaches the runners, and hard frost is past by then.
    .sms = { $day }: first cut, { $from } to { $to }. Bag it. Stop if brown stems show.
plan-cut = { $day }: next cut, one notch lower: { $from } to { $to }. Stop if you see brown stems.
    .sms = { $day }: next cut, { $from } to { $to }. Stop if brown stems show.
plan-cut-open = { $day }: first cut, at the height you have now but not below { $floor }. Bag the dead clippings this once. Stop if you see brown stems instead of blades. Tell me your mowing height ("change") and I can say if one notch lower is fine.
    .sms = { $day }: first cut at your height, not below { $floor }. Bag it. Stop if brown stems show.
plan-cut-raise = { $day }: set the mower up to { $to } and leave it there. Then cut what stands above that, and bag it. Why: lower than that cuts into the runners.
    .sms = { $day }: set the mower up to { $to } and leave it. Cut what stands above that, and bag it.
plan-cut-same = { $day }: first cut at the height you have now. Bag the dead clippings this once. Stop if you see brown stems. Why: sun reaches the runners, and hard frost is past by then.
    .sms = { $day }: first cut at your height. Bag it. Stop if brown stems show.
plan-photo = { $day }: a photo from the same place as before.
    .sms = { $day }: photo from the same place.
plan-series-photo = Once a week from { $first } to { $last }: one photo of each part, from the same place. Why: the change tells, not the single picture.
    .sms = { $first } to { $last }, weekly: photo of each part, same place.
plan-feed_check = { $day }: check if it may be fed. I'll ask a few short things first. Why: roots can't use food in cold soil. It feeds weeds and washes away.
    .sms = { $day }: feeding check. Spread nothing before it.
plan-dont_judge = { $day }: still too early to judge, even if neighbors are green.
    .sms = { $day }: still too early to judge.
plan-judge = { $day }: judging day for { $where }.
plan-not-now-head = Leave these alone for now:
    .sms = Leave alone for now:
not-now-until = • Not before { $day }: { $things }.
    .sms = - Not before { $day }: { $things }.
not-now-nitrogen = fertilizer with nitrogen
    .sms = fertilizer
not-now-root_pruning_preemergent = weed preventer (many kinds stop new roots)
    .sms = weed preventer
not-now-post_emergent_weed_control = weed killer, and then only by its label
    .sms = weed killer (then by its label)
not-now-weed_and_feed = weed-and-feed
not-now-dethatch = hard raking
not-now-core_aerate = aerating
not-now-topdress = compost or sand on top
    .sms = compost or sand
not-now-traffic = cars and many feet
not-now-sod_or_seed = new sod or seed (what looks dead may come back)
    .sms = sod or seed
not-now-lime = lime
not-now-root_pruning_preemergent-next_season = • Not this spring: weed preventer (pre-emergent). Many kinds stop runners from rooting.
    .sms = - Not this spring: weed preventer. Many kinds stop new roots.
not-now-weed_and_feed-next_season = • Not this year: weed-and-feed. The right days for the two never match.
    .sms = - Not this year: weed-and-feed.
not-now-lime-soil_test = • Only if a soil test asks for it: lime.
    .sms = - Only if a soil test asks for it: lime.
plan-seaweed = Seaweed or other tonics: your choice, by the label. There is little proof that they help after a freeze.
    .sms = Seaweed and other tonics: by the label. There is little proof they help.
plan-centipede-no-feed = Centipede gets no nitrogen in spring. Feeding it early is the quickest way to lose it.
    .sms = Centipede gets no nitrogen in spring.
plan-mostly-lost = Part of it may be gone. We still wait: sod laid too early is money twice spent. You may ask for sod prices now.
    .sms = Part of it may be gone. We still wait: sod laid too early is money twice spent.
plan-odds-head = Part by part, with all you told me:
    .sms = Part by part:
plan-odds-whole = With all you told me, I'd expect to lose { $share }.
    .sms = I'd expect to lose { $share }.
plan-odds = • { $where }: I'd expect to lose { $share }.
    .sms = - { $where }: I'd expect to lose { $share }.
plan-judged = The judging is done. What is above is what is left to do.
    .sms = The judging is done. This is what is left to do.
plan-judging = Nobody can call it dead before { $day }. Type "plan" to see this any time.
    .sms = Nobody can call it dead before { $day }. Reply PLAN to see this again.
cutting-lower_by_notches = This spring, never cut below { $floor } and never more than a third at once.
    .sms = Never cut below { $floor } or more than a third at once.
cutting-overgrown = { $n ->
    [one] It comes down in one cut, by one notch.
   *[other] It comes down in { $n } cuts, one notch each.
 } Never below { $floor }.
    .sms = { $n ->
        [one] It comes down in one cut, by one notch.
       *[other] It comes down in { $n } cuts, one notch each.
    } Never below { $floor }.
cutting-low_enough = Your mower is low enough for a hurt lawn. No lower cut this spring, and never below { $floor }.
    .sms = No lower cut this spring, and never below { $floor }.
cutting-raise = It stands low for a hurt lawn. Keep the mower at { $to } this spring.
    .sms = Keep the mower at { $to } this spring.
cutting-notch_too_coarse = One notch of your mower would take more than a third. Leave the height as it is.
    .sms = One notch would take more than a third, so leave the height as it is.
cutting-open = This spring, never cut below { $floor } and never more than a third at once.
    .sms = Never cut below { $floor } or more than a third at once.
cutting-stopped = Brown stems showed, so there is no lower cut this spring. Set the mower one notch up.
    .sms = Brown stems showed: no lower cut this spring. Set the mower a notch up.

next-task = Next: { $task }, { $day }.
next-nothing = Nothing is due right now.
plan-not-yet = The plan comes after a few more questions.
task-at-spot = { $task } ({ $spot })
task-first_photo = first photo
task-look = look at the runners
task-water = winter water, if dry
task-pot_start = pot test
task-pot_read = count the plugs
task-cut = a cut
task-photo = photo
task-spring_water = spring water
task-feed_check = feeding check
task-dont_judge = a word on waiting
task-judge = judging day

tracked = I'll keep track. I write at most once a day, between { $first } and { $last } your time.
    .sms = I'll keep track. I text at most once a day, { $first } to { $last } your time.
tracked-how = "hours" changes that, "stop" ends it. Each reminder can be answered done, later, skip or something's wrong.
    .sms = HOURS changes that, STOP ends it.
not-tracked = Fine, I won't remind you. Type "plan" any time.
    .sms = Fine, no reminders. Reply PLAN any time.

moved-head = What moved the odds for { $where }, beside the cold:
moved-up = • { $what }: up, from { $before } alive to { $after }.
    .sms = - { $what }: up, from { $before } alive to { $after }.
moved-down = • { $what }: down, from { $before } alive to { $after }.
    .sms = - { $what }: down, from { $before } alive to { $after }.
moved-pots = pot test, { $alive } of { $total } alive
moved-none = Nothing seen or tested has moved the odds for { $where } yet. They rest on the cold alone.
moved-ask = Type "why" to see what moved the odds.
    .sms = Reply WHY to see what moved the odds.
