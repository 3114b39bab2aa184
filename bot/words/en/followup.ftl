### Reminders and what comes of them.

remind-again = This is still open from a few days ago, so just once more.
    .sms = { "" }
remind-moved = As agreed, here it is again.
    .sms = { "" }
remind-passed = While I was away some days passed: { $tasks }. No harm done, that can be left.
    .sms = Passed by, no harm done: { $tasks }.
remind-lawn = This is about { $place }.
    .sms = For { $place }:
remind-first_photo = Please take a photo of { $where } today and send it here. Stand at a place you will find again, camera straight down, at knee height. No camera handy? Answer two short questions instead.
    .sms = Today: a photo of { $where }. Straight down, knee height, a place you will find again. Text it here.
remind-look = Time to look at the runners. Part the brown grass, pick up four or five in different places, and bend or cut one.
    .sms = Look at 4 or 5 runners under the brown grass. Bend or cut one.
remind-look-again = Time for a second look at the runners. Pick up four or five in different places, and bend or cut one.
    .sms = Second look at 4 or 5 runners. Bend or cut one.
remind-water = No rain for { $weeks } weeks? Then give { $depth } of water, about { $volume } for your lawn. If it rained, skip this.
    .sms = No rain for { $weeks } weeks? Give { $depth } of water ({ $volume }).
remind-water-open = No rain for { $weeks } weeks? Then give { $depth } of water. If it rained, skip this.
    .sms = No rain for { $weeks } weeks? Give { $depth } of water.
remind-spring_water = The soil is warm now. If it doesn't rain this week, give { $depth } (about { $volume }), early in the morning. Once half is green, give twice that. Some advisers give none before June, since wet turf feeds disease. So never more than this.
    .sms = Dry week? Water { $depth } ({ $volume }) at dawn. Twice that when half green, no more.
remind-spring_water-open = The soil is warm now. If it doesn't rain this week, give { $depth }, early in the morning. Once half is green, give twice that. Some advisers give none before June, since wet turf feeds disease. So never more than this.
    .sms = Dry week? Water { $depth } at dawn. Twice that when half green, no more.
remind-pot_start = { $units ->
    [metric] Pot test for { $where }: dig six plugs, each 8 to 10 cm wide and 8 deep, from different places. Pots with holes, warm room, bright window. Keep them moist.
   *[us] Pot test for { $where }: dig six plugs, each 3 to 4 inches wide and 3 deep, from different places. Pots with holes, warm room, bright window. Keep them moist.
 }
    .sms = { $units ->
        [metric] Pot test for { $where }: dig six plugs, 8 to 10 cm wide and 8 deep. Pots with holes, warm bright window, keep moist.
       *[us] Pot test for { $where }: dig six plugs, 3 to 4 in wide and 3 deep. Pots with holes, warm bright window, keep moist.
    }
remind-pot_read = Week { $week } of the pot test for { $where }: time to count the plugs that show new green.
    .sms = Week { $week } of the pot test for { $where }: how many plugs show new green? Reply like 3 of 6.
remind-cut-first = Hard frost should be past. If no frost is in the forecast, cut now, one notch lower: { $from } to { $to }. Dry grass, sharp blade, bag the clippings. Stop if you see brown stems instead of blades.
    .sms = No frost ahead? Cut one notch lower, { $from } to { $to }. Bag it. Stop if brown stems show.
remind-cut = Next cut, one notch lower: { $from } to { $to }. Stop if you see brown stems, and lower it no further this spring.
    .sms = Next cut, one notch lower: { $from } to { $to }. Stop if brown stems show, then no lower this spring.
remind-cut-open = Hard frost should be past. If no frost is in the forecast, cut now at the height you have, but not below { $floor }. Dry grass, bag the dead clippings this once. Stop if you see brown stems instead of blades.
    .sms = No frost ahead? Cut at your height, not below { $floor }. Bag it. Stop if brown stems show.
remind-cut-raise = Hard frost should be past. If no frost is in the forecast, set the mower up to { $to } and leave it there. Cut what stands above that; if nothing does yet, wait for it. Dry grass, sharp blade, bag the clippings.
    .sms = No frost ahead? Set the mower up to { $to } and leave it. Cut what stands above that, and bag it.
remind-cut-same = Hard frost should be past. If no frost is in the forecast, cut now at the height you have. Dry grass, sharp blade, bag the dead clippings this once. Stop if you see brown stems instead of blades.
    .sms = No frost ahead? Cut at your height. Bag it. Stop if brown stems show.
remind-photo = Photo day. Same place as before: camera straight down, knee height. No camera handy? Answer two short questions instead.
    .sms = Photo day. Same place, straight down, knee height. Text it here.
remind-feed_check = Time to check if the lawn may be fed. I ask a few short things and then say yes or no. Spread nothing before that.
    .sms = Time to check if the lawn may be fed. A few short questions. Spread nothing before that.
remind-dont_judge = Still brown in places? That is normal now. Growth has only just begun, and the late parts are often the ones that come back. Don't dig, don't sod, don't judge yet. Pulling on it proves nothing either.
    .sms = Still brown in places? That is normal now. Late parts often come back. Don't dig, don't sod, don't judge yet.
remind-judge = Today we can judge { $where } fairly. I ask two short things.
    .sms = Today we can judge { $where } fairly. Two short questions.

verb-done-first_photo = no camera, answer instead
    .sms = no camera
verb-done-look = I looked
    .sms = looked
verb-done-water = done
verb-done-spring_water = done
verb-done-pot_start = plugs are potted
    .sms = potted
verb-done-pot_read = I counted
    .sms = counted
verb-done-cut = done
verb-done-photo = no camera, answer instead
    .sms = no camera
verb-done-feed_check = check now
verb-done-judge = judge now
verb-later = later
verb-skip = skip this
    .sms = skip
verb-problem = something's wrong
    .sms = problem
done-water = Good. Water deep and seldom, not a little each day.
done-spring_water = Good. Early morning is best, so that the blades dry.
done-cut = Good. Now the sun reaches the runners.
task-skipped = Skipped: { $task }.
task-moved = Moved: { $task }, now { $day }.
task-moved-late = Moved: { $task }, now { $day }. That is on the late side, but better than not at all.
task-closed-already = That one is closed already: { $task }.
no-task-told = There is nothing open that I asked you to do.

ask-do_when = When would be better?
help-do_when = Type a day, like "Saturday" or "in 3 days".
why-do_when = I'll bring it up on that day.
do_when-tomorrow = tomorrow
    .said = tmrw
do_when-weekend = Saturday
    .said = weekend | this weekend
do_when-next_week = in a week
    .said = next week

ask-do_problem = What is wrong?
help-do_problem = Pick the nearest one, or say "other" and I pass it on.
why-do_problem = The plan moves with what you see.
do_problem-brown_stem = brown stems show
    .said = stems | brown stem | brown stems
do_problem-frost_again = it froze again
    .said = frost | freeze | frost again | froze
do_problem-no_green = no new green yet
    .said = no green | still brown
do_problem-too_wet = too wet
    .said = wet | rain | soggy
do_problem-no_means = I can't do this
    .said = cant | no mower | no time | unable
    .sms = can't do this
do_problem-other = something else
    .said = other | else
problem-frost-ahead = Good that you looked. Nothing is cut or dug with frost ahead. I'll ask again in a week.
problem-brown-stem = Stop there. Set the mower one notch up and leave the height for this spring. Brown stems mean the blades are gone, and cutting lower would cut the runners.
    .sms = Stop there. Set the mower one notch up and leave it for this spring. Cutting lower would cut the runners.
problem-frost-again = Then we wait. Nothing is cut or fed until ten days after it.
problem-no-green = That alone is no bad sign yet. I'll ask again in a week.
problem-too-wet = Right, stay off wet soil: it packs down and ruts. I'll ask again in a week.
problem-no-means = That's fine. I'll ask again in a week. If it stays out of reach, skip it. Leaving the lawn alone does no harm.
    .sms = That's fine. I'll ask again in a week. Leaving the lawn alone does no harm.

ask-do_runners = How are the runners of { $where }?
help-do_runners = Firm and light inside, or soft and brown? A mix counts too.
why-do_runners = Firm runners are alive, whatever the blades look like.
do_runners-firm = firm, white or green inside
    .said = firm | alive | white | green | hard
    .sms = firm
do_runners-mixed = some firm, some soft
    .said = mixed | some | both
    .sms = some of both
do_runners-soft = soft and brown
    .said = soft | mushy | slimy | dead | brown
    .sms = soft
look-firm = Good sign: firm runners are alive. It will look bad for weeks yet, and that is fine.
look-mixed = So part of it lives. That is common. What is alive will creep back over the gaps.
look-soft = That is not what we hoped for. It still is no verdict: other places may be better. We wait for the judging day.
look-not-sure = That's fine. The photos over the weeks will tell.

ask-do_green = How much of { $where } shows new green now?
help-do_green = A guess by eye: none, a few blades, a tenth, a quarter, half, most or all.
    .sms = A guess by eye is fine.
why-do_green = The change over weeks tells if it is coming back.
do_green-none = none
    .said = no | nothing | zero | nope
do_green-few = a few blades
    .said = few | a little | some blades
do_green-tenth = about a tenth
    .said = a tenth | 10 percent
    .sms = a tenth
do_green-quarter = about a quarter
    .said = quarter | a quarter
    .sms = a quarter
do_green-half = about half
    .said = half
    .sms = half
do_green-most = most of it
    .said = most
    .sms = most
do_green-all = all of it
    .said = all | nearly all | everything | whole
    .sms = all
ask-do_shoots = Is there new green all over, at least one live shoot in each square foot?
    .sms = Is there new green all over, at least one shoot in each square foot?
help-do_shoots = Look at a few spots the size of a floor tile. Each should show some new green.
why-do_shoots = Only grass that grows can use food.
do_shoots-yes = yes, all over
    .said = yes | everywhere | all over | mostly everywhere
    .sms = yes
do_shoots-no = no, only in places
    .said = no | in places | some places | in spots | some spots | in patches | patches | not everywhere | few | here and there
    .sms = no
ask-do_weeds = Is some of that green weeds?
help-do_weeds = Weeds look different: other leaf shape, other color, or they flower.
why-do_weeds = Winter weeds fool the eye. Only the grass counts.
do_weeds-yes = yes, some weeds
    .said = yes | some
    .sms = yes
do_weeds-no = no, it's the grass
    .said = no
    .sms = no
green-none = No new green yet for { $where }. Before { $day } that is no bad sign.
green-none-yet = No new green yet for { $where }. We still wait for the judging day, { $day }.
green-begun = For { $where }: { $now }, the first so far. That is a sign of life.
green-first = Noted for { $where }: { $now }. That is our starting point.
green-grown = For { $where }: { $before } before, { $now } now. That is growth you can see.
green-same = For { $where }: { $now }, about the same as last time.
green-unknown = That's fine. We look again next time.

ask-do_plugs = How many plugs did you pot from { $where }?
help-do_plugs = A number, like "6".
why-do_plugs = More plugs make the count more certain.
pot-started = Good. Keep them warm and moist, in bright light. I'll ask for the count in two weeks.
pot-started-few = Good. { $n } would tell more, but that's a start. Keep them warm and moist, in bright light. I'll ask in two weeks.
ask-do_count = For { $where }: how many plugs show new green, of how many?
help-do_count = Like "3 of 6". "None of 6" works too.
why-do_count = It is the surest test of life there is at home.
pot-some = { $alive } of { $total } { $alive ->
    [one] is
   *[other] are
 } alive, and some show later. So { $share } of { $where } is likely alive.
    .sms = { $alive } of { $total } { $alive ->
        [one] is
       *[other] are
    } alive, and some show later. So { $share } of { $where } is likely alive.
pot-none-yet = None of { $total } yet. Some take four weeks, so keep them watered. I'll ask again.
pot-none = None of { $total }. So few plugs alone leave room for up to { $most } in 10 alive. With all I know, { $share } of { $where } may be alive. We still wait for the judging day.
    .sms = None of { $total }. Alone that leaves room for up to { $most } in 10. With all I know: { $share } of { $where } may be alive. We still wait for the judging day.
pot-not-counted = That's fine. Leave them at the window and look again next week.

verdict-coming_back = For { $where }: it is coming back. Green that is grass settles it. Thin places fill in as it creeps. Now normal care can start again, step by step.
    .sms = For { $where }: it is coming back. Thin places fill in as it creeps. Normal care can start again, step by step.
settled-early = That settles it for { $where }: it is coming back. No judging day needed for it, and I drop what only served to judge it.
    .sms = That settles it for { $where }: it is coming back. No judging day needed.
verdict-pot-or-look = You also saw firm runners there, and that does not fit. Look once more before you dig anything up.
    .sms = You also saw firm runners there, which does not fit. Look once more before you dig.
verdict-partly_back = For { $where }: part of it lives, part of it may not return. What is alive spreads in warm weather, and gaps can be helped along.
    .sms = For { $where }: part of it lives, part may not return. What is alive spreads in warm weather, and gaps can be helped.
verdict-test_again = For { $where }: little or nothing yet. That is not a verdict. Late parts can still come until { $day }. Do one more pot test there, or wait, and get ready to repair. I'll ask again.
    .sms = For { $where }: little or nothing yet. That is no verdict: late parts can come until { $day }. Do one more pot test there, or wait. I'll ask again.
verdict-too_early = For { $where }: it is too early to say. I'll ask again.
verdict-likely_dead = For { $where }: no growth after all the warm weeks. I'd now say { $chances } chances in 20 that it won't return. I can be wrong.
    .sms = For { $where }: no growth after all the warm weeks. I'd now say { $chances } chances in 20 that it won't return. I can be wrong.
verdict-likely_dead-tested = For { $where }: no growth after all the warm weeks, and the pot test agrees. I'd now say { $chances } chances in 20 that it won't return. I can be wrong.
verdict-no-answer = For { $where }: little or nothing yet, though I'd expect more by now. I don't know why. Something else than the frost may be at work. One more pot test there, or a look by your county extension office, would tell more.
    .sms = For { $where }: little or nothing yet, though I'd expect more. I don't know why. One more pot test, or your county extension office, would tell more.

ask-do_repair = What would you rather do with { $where }?
help-do_repair = Sod is quick and heavy. Plugs are cheap and slow. Waiting costs nothing.
    .sms = Sod is quick, plugs are cheap and slow, waiting costs nothing.
why-do_repair = I work out amounts and dates for what you choose.
do_repair-sod = new sod
    .said = sod
do_repair-plugs = plugs
    .said = plug
do_repair-seed = seed
    .said = seeds
do_repair-wait = wait three more weeks
    .said = wait
do_repair-person = ask a person
    .said = person | ask
ask-do_size = { $units ->
    [metric] How big is that part, about? "3 by 2" metres works.
   *[us] How big is that part, about? "10 by 8" feet works.
 }
help-do_size = { $units ->
    [metric] Two sides in metres like "3 by 2", or the area like "6 m2". Or "skip".
   *[us] Two sides like "10 by 8", or the area like "80 sq ft". Or "skip".
 }
why-do_size = The amounts depend on it.
repair-sod = Sod for { $area }: buy about { $buy }, that is { $pieces } pieces of 16 by 24 inches. It weighs around { $weight }. Sizes differ, so ask the seller.
    .sms = Sod for { $area }: buy { $buy } ({ $pieces } pieces, 16 by 24 in), around { $weight }.
repair-sod-open = Buy a little more sod than the area, for the cuts. A pallet often covers 450 sq ft and weighs over a ton.
    .sms = Buy a bit more sod than the area. A pallet may cover 450 sq ft and weigh over a ton.
repair-plugs = Plugs for { $area }, { $spacing } apart: about { $n }. They close the gaps in some months, not weeks.
    .sms = Plugs for { $area }, { $spacing } apart: about { $n }. They close gaps in months, not weeks.
repair-plugs-open = Set plugs about a foot apart. They close the gaps in some months, not weeks.
    .sms = Set plugs about a foot apart. They close gaps in months, not weeks.
repair-seed = Seed for { $area }: { $low } to { $high }. Follow the label.
repair-seed-open = Follow the rate on the seed label.
repair-no-seed = There is no seed to buy for { $grass }. Sod or plugs are the ways.
    .sms = There is no seed to buy for { $grass }. Sod or plugs are the ways.
repair-wait = Good. Waiting costs nothing. I'll ask again { $day }.
repair-advice-let_fill = That much can close by itself. I'd wait and keep it watered.
repair-advice-bermuda_refills = Bermuda with a live plant in every square foot closes by itself in warm weather. I'd wait.
    .sms = Bermuda with a live plant in every square foot closes by itself. I'd wait.
repair-advice-plug_bare_patches = I'd plug the bare patches and let the rest creep.
repair-advice-sod_or_reestablish = I'd plan to lay sod or plant it anew there.
repair-until = Plant before { $day }, so that it roots before next winter.
    .sms = Plant before { $day }, to root before winter.
repair-too-late = It is late in the year for that. It should root about three months before frost, so next spring is safer.
    .sms = It is late in the year. Next spring is safer.
repair-how-sod = Loosen and level the soil, lay it the same day, stagger the joints, press it down, and water at once. Two or three short waterings a day in the first week, then less and less. No feeding for the first month, often two.
    .sms = Level loose soil, lay it the same day, press down, water at once and often the first week. No feeding for a month or two.
repair-how-plugs = Take out the dead grass, set each plug level with the soil, press it in, and water at once. Keep it moist until it grips. No feeding for the first weeks.
    .sms = Take out dead grass, set plugs level, press in, water at once. Keep moist until they grip. No feeding for weeks.
repair-how-seed = Loosen the soil, sow in two directions, rake in lightly, and keep it just moist until it is up.
    .sms = Loosen the soil, sow in two directions, rake in lightly, keep just moist.
repair-safety = Before you dig or lift:
    .sms = Careful:
repair-hardier = The same kind in the same place can freeze again. Ask for a hardier kind, and look at shade and wet feet first.
    .sms = Ask for a hardier kind.
