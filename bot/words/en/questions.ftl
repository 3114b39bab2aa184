### Every question of the table: ask-<id>, help-<id> (one helpful re-ask), why-<id>, name-<id> (its line in the list of
### answers) and its choices. `.said` holds more words people type for a choice, parted by |.

ask-place = Where is the lawn? A ZIP code is enough. A town and state work too.
    .sms = Where is the lawn? A ZIP code, or town and state.
help-place = A 5-digit ZIP code works best, like 31522. Or type a town and state, like "Waycross, GA".
    .sms = Like 31522 or "Waycross, GA".
why-place = The place tells me when hard frost can return, when the soil warms up, and your local time. I keep it only to about half a mile.
name-place = Place

ask-place_which = There is more than one place by that name. Which one is it?
help-place_which = Type the number of the right line, or the county.
why-place_which = The dates of your plan depend on the place.
name-place_which = Which place

ask-state = That's fine. Which state is it in?
help-state = Type the state, like "Georgia" or "GA".
why-state = The state alone still gives me rough dates. Without it I can only guess.
name-state = State

ask-coldest_on = When was the worst cold? A date like "Jan 16" is best.
    .sms = When was the worst cold? A date like Jan 16 is best.
help-coldest_on = Type a day like "Jan 16", "last night" or "two weeks ago". A near guess is fine.
why-coldest_on = Grass is toughest in midwinter. Frost early or late hurts more. And dead runners take about a week to show.
name-coldest_on = Day of the worst cold
    .sms = Coldest day
coldest_on-last_night = last night
    .said = today | this morning | tonight
coldest_on-few_days = a few days ago
    .said = this week | couple days ago | some days ago
    .sms = few days ago
coldest_on-two_weeks = about two weeks ago
    .said = two weeks ago | 2 weeks ago | couple weeks ago
    .sms = two weeks ago
coldest_on-month = about a month ago
    .said = a month ago | last month | four weeks ago
    .sms = a month ago

ask-weather_fits = { $kind ->
    [model] I looked at the weather. No thermometer is near you, but a weather model has { $air } as the lowest air at your place, on { $day }. ({ $credit }) Does that fit what you saw?
   *[thermometer] { $filled ->
        [0] I looked at the weather. The station at { $station }, { $distance } from you, read { $air } at its lowest, on { $day }. Does that fit what you saw?
        [one] I looked at the weather. The station at { $station }, { $distance } from you, read { $air } at its lowest, on { $day }. It missed one day of the freeze, so it may have been colder. Does that fit what you saw?
       *[other] I looked at the weather. The station at { $station }, { $distance } from you, read { $air } at its lowest, on { $day }. It missed { $filled } days of the freeze, so it may have been colder. Does that fit what you saw?
    }
 }
    .sms = { $kind ->
        [model] A weather model has { $air } as your lowest air, on { $day }. ({ $credit }) Does that fit what you saw?
       *[thermometer] { $filled ->
            [0] { $station }, { $distance } from you, read { $air } at its lowest, on { $day }. Does that fit what you saw?
            [one] { $station }, { $distance } from you, read { $air } at its lowest, on { $day }. It missed a day of the freeze, so maybe colder. Does that fit what you saw?
           *[other] { $station }, { $distance } from you, read { $air } at its lowest, on { $day }. It missed { $filled } days of the freeze, so maybe colder. Does that fit what you saw?
        }
    }
help-weather_fits = Say "yes", "colder", "3 degrees colder" or "milder". Or type what your own thermometer read, like "14 F".
why-weather_fits = Cold air sinks into low spots. So your yard may have had it colder or milder than the station. Your own reading counts too.
name-weather_fits = The measured cold
    .sms = Measured cold
weather_fits-fits = about right
    .said = yes | fits | right | sounds right | that fits
weather_fits-colder = it was colder here
    .said = colder | lower | it got colder | colder here
    .sms = colder here
weather_fits-milder = it was milder here
    .said = milder | warmer | warmer here | not that cold | milder here
    .sms = milder here
weather_fits-snowed = right, and it snowed here
    .said = snow | it snowed | it snowed here | we had snow
    .sms = right but it snowed

ask-weather_other = I looked at the weather. { $kind ->
    [model] A weather model has no frost at your place around { $told }. Its coldest this winter was { $air }, on { $day }. ({ $credit })
   *[thermometer] The station at { $station }, { $distance } from you, read no frost around { $told }. Its coldest this winter was { $air }, on { $day }.
 } Did you mean that freeze?
    .sms = { $kind ->
        [model] A weather model has no frost at your place around { $told }. Its coldest was { $air }, on { $day }. ({ $credit })
       *[thermometer] { $station }, { $distance } from you, read no frost around { $told }. Its coldest was { $air }, on { $day }.
    } Did you mean that freeze?
help-weather_other = Say "yes" if you mean that freeze. Say "no" if yours was on another day, and I'll ask how cold it got.
why-weather_other = Days are easily mixed up. The right freeze makes the odds better.
name-weather_other = Which freeze
weather_other-yes = yes, that one
    .said = yes | that one | that's the one
    .sms = yes
weather_other-no = no, another one
    .said = no | another | another day
    .sms = no

ask-air_min = How cold did the air get, at its worst?
    .sms = { $units ->
        [metric] How cold did the air get, at its worst? A number in C is best.
       *[us] How cold did the air get, at its worst? A number like 17 is best.
    }
help-air_min = A number like "17" is best. A guess is fine: "teens", "low 20s". If you don't know, say "not sure".
why-air_min = It is the start of the sum. Your runners had it less cold than the air, so I work out what they likely felt.
name-air_min = Lowest air temperature
    .sms = Air low
air_min-upper_20s = { $units ->
    [metric] -4 to -2 °C
   *[us] upper 20s °F
 }
    .said = upper twenties | high 20s | high twenties
    .sms = { $units ->
        [metric] -4 to -2 C
       *[us] upper 20s
    }
air_min-low_20s = { $units ->
    [metric] -7 to -4 °C
   *[us] low 20s °F
 }
    .said = low twenties | lower 20s
    .sms = { $units ->
        [metric] -7 to -4 C
       *[us] low 20s
    }
air_min-teens = { $units ->
    [metric] -12 to -7 °C
   *[us] in the teens
 }
    .said = teens | the teens
    .sms = { $units ->
        [metric] -12 to -7 C
       *[us] teens
    }
air_min-single = { $units ->
    [metric] -18 to -12 °C
   *[us] single digits
 }
    .said = single digit | under ten
    .sms = { $units ->
        [metric] -18 to -12 C
       *[us] single digits
    }
air_min-below_zero = { $units ->
    [metric] below -18 °C
   *[us] below zero °F
 }
    .said = below zero | subzero | under zero
    .sms = { $units ->
        [metric] below -18 C
       *[us] below zero
    }

ask-days_cold = For how many days did it freeze, counting that one?
    .sms = For how many days did it freeze, counting that one? A number is best.
help-days_cold = Count the days with frost in a row. "3" or "about a week" works.
why-days_cold = One cold night hurts less than a long siege. Soil cools slowly, and each cold day takes it lower.
name-days_cold = Days with frost
    .sms = Days of frost
days_cold-one = just one night
    .said = one night | one day | overnight | a single night
    .sms = one night
days_cold-few = two or three days
    .said = couple of days | a few days | two days | three days
days_cold-week = about a week
    .said = a week | week
days_cold-more = longer
    .said = more | more than a week | weeks

ask-snow = Was there snow on the lawn that night?
help-snow = { $units ->
    [metric] Pick the nearest, or type how deep it was, like "5 cm". "No" is fine too.
   *[us] Pick the nearest, or type how deep it was, like "2 inches". "No" is fine too.
 }
why-snow = Snow is a blanket. A few inches can keep the runners many degrees warmer than the air.
name-snow = Snow on the lawn
    .sms = Snow
snow-none = no snow
    .said = no | none | nope | no just cold | just cold | dry cold
snow-dusting = a dusting
    .said = dusting | flurries | a little | trace
snow-some = { $units ->
    [metric] 3 to 8 cm
   *[us] 1 to 3 inches
 }
    .said = some | couple inches | few inches
snow-deep = { $units ->
    [metric] more than 8 cm
   *[us] more than 3 inches
 }
    .said = deep | lots | a lot

ask-grass = Which grass is it? If you know the kind, like "Floratam" or "Tifway", type that.
    .sms = Which grass is it? Type its kind if you know it, like Floratam.
help-grass = Type its name, like "St. Augustine" or "zoysia". If you don't know, say "not sure" and I'll help you find out.
why-grass = Grasses differ a lot. Cold that kills one is nothing to another. Cutting and feeding differ too.
name-grass = Grass
grass-st_augustine = St. Augustine
    .said = saint augustine | wide flat blades
grass-bermuda = bermuda
    .said = bermudagrass | fine wiry
grass-zoysia = zoysia
    .said = zoysiagrass | stiff dense
grass-centipede = centipede
    .said = centipedegrass
grass-another = another one
    .said = other | something else | none of these

ask-grass_other = Is it one of these?
help-grass_other = Type one of the names, or "not sure".
why-grass_other = { why-grass }
name-grass_other = Grass
grass_other-bahia = bahia
    .said = bahiagrass
grass_other-buffalo = buffalograss
    .said = buffalo | buffalo grass
grass_other-seashore_paspalum = seashore paspalum
    .said = paspalum
grass_other-carpetgrass = carpetgrass
    .said = carpet grass

ask-base_grass = What is green now may be a winter or mixed grass. Which warm-season grass is the lawn in summer?
    .sms = What is green now may be winter grass. Which grass is the lawn in summer?
help-base_grass = I mean the grass that is green in July. Type its name, or "not sure".
why-base_grass = Winter rye hides the summer grass. Only the summer grass tells whether the lawn comes back.
name-base_grass = Summer grass
base_grass-st_augustine = St. Augustine
    .said = saint augustine
base_grass-bermuda = bermuda
    .said = bermudagrass
base_grass-zoysia = zoysia
    .said = zoysiagrass
base_grass-centipede = centipede
    .said = centipedegrass

ask-key_runners = Let's find out. Pull the grass apart with your fingers. Where do you see runners (long stems that creep)?
    .sms = Pull the grass apart. Where do you see runners (long stems that creep)?
help-key_runners = Look at the soil, then dig a finger in. Runners on top only, on top and in the soil, or none?
why-key_runners = Grass with stems in the soil can come back from below. Grass with runners on top cannot.
name-key_runners = Runners
key_runners-on_top = only on top of the soil
    .said = on top | top | surface | above
    .sms = on top only
key_runners-under_too = on top and in the soil
    .said = both | below | in the soil | underground | under too
    .sms = in the soil too
key_runners-none = none, just short thick clumps
    .said = none | no runners | clumps
    .sms = none

ask-key_width = How wide is a blade, next to a pencil?
help-key_width = Lay one blade on a pencil: as wide, about half, or much thinner?
why-key_width = Blade width sorts the grasses quickest.
name-key_width = Blade width
key_width-pencil = as wide as a pencil
    .said = wide | pencil | pencil wide
    .sms = as wide
key_width-half = about half
    .said = half | medium
key_width-fine = much thinner
    .said = thin | narrow | fine
    .sms = thinner

ask-key_tip = How does a blade end?
help-key_tip = Look at an old blade tip: round like a boat, or pointed?
why-key_tip = { why-key_width }
name-key_tip = Blade tip
key_tip-rounded = round, like a boat
    .said = round | rounded | boat | blunt
    .sms = round
key_tip-pointed = pointed
    .said = sharp | point | sharp point | mild

ask-key_feel = How does the lawn feel?
help-key_feel = Walk on it or press your palm on it.
why-key_feel = { why-key_width }
name-key_feel = Feel
key_feel-prickly = stiff, pricks bare feet
    .said = stiff | prickly | sharp
    .sms = stiff
key_feel-soft_curly = soft, thin and curly
    .said = soft | curly
    .sms = soft and curly
key_feel-coarse = coarse, thin and open
    .said = coarse | open
    .sms = coarse
key_feel-none_of_these = none of these
    .said = ordinary | normal | none

ask-see = What do you see on it now? Pick all that fit.
    .sms = What do you see on it now?
help-see = Type the numbers that fit, like "1 and 4". Or "none". Brown all over counts as the first one.
    .sms = Like "1 and 4", or NONE. All brown counts as the first one.
why-see = Brown blades say little. What the runners look like says a lot.
name-see = What you see
    .sms = Seen
see-straw_blades = blades straw-colored and crisp
    .said = straw | crisp | brown | tan | dry
    .sms = straw-colored
see-limp_dark_blades = blades limp, dark, wet-looking
    .said = limp | dark | soggy | water soaked | mushy blades
    .sms = limp and dark
see-slimy_runners = runners slimy or sour-smelling
    .said = slimy | sour | smell | smelly | soft runners | mushy
    .sms = slimy runners
see-firm_runners = runners brown but firm
    .said = firm | firm runners | hard runners | green inside | green underneath | green at the base | green below | green at the bottom
    .sms = firm runners
see-patches = only in patches
    .said = patches | patchy | spots
    .sms = only in patches
see-north_or_shade = worse on the north side or in shade
    .said = north | shade | north side
    .sms = worse in shade
see-low_wet = worse in low, wet places
    .said = low | wet | low spots | wet spots
    .sms = worse in wet places
see-tracks = tracks where someone walked or drove
    .said = tracks | footprints | prints | tire marks
    .sms = tracks
see-orange_rings = orange or dark rings
    .said = rings | orange | orange rings | circles
    .sms = orange or dark rings

ask-cultivar = Do you know which kind of { $grass } it is?
    .sms = Which kind of { $grass } is it, if you know?
help-cultivar = Type the name, or "not sure". Most people don't know, and that is fine.
why-cultivar = Some kinds stand 3 to 5 degrees more cold than others.
name-cultivar = Kind

ask-spots = Does one part look clearly different from the rest?
help-spots = If parts differ, name them, like "front, back, north side". If not, say "all alike".
why-spots = A shady north side can die while the front lives. I judge parts that differ one by one.
name-spots = Parts of the lawn
    .sms = Parts
spots-alike = all alike
    .said = no | same | all the same | nope | none | alike
spots-front_back = front and back differ
    .said = front and back differ | front differs from back
spots-north_side = a north or shady side differs
    .said = a north side | shady side | a shady part
    .sms = north or shady side differs
spot-front = front
spot-back = back
spot-open = open part
spot-north = north side
spot-rest = rest

ask-site = Which of these fit the lawn? Pick all that fit.
    .sms = Which of these fit the lawn?
ask-site-spot = Which of these fit the { $spot }? Pick all that fit.
    .sms = Which of these fit the { $spot }?
help-site = Type the numbers that fit, like "1 and 3", or "none".
    .sms = Like "1 and 3", or NONE.
why-site = Shade, wind, wet feet and new sod all change the odds.
name-site = The site
    .sms = Site
site-north_shade = north side or deep shade
    .said = north | shade | shady
    .sms = north side or deep shade
site-slope_north = slopes to the north
    .said = slope | hill
site-windy = open and windy
    .said = windy | wind | open
    .sms = windy
site-low_wet = low, stays wet
    .said = low | wet
    .sms = low and wet
site-new_turf = new sod or seed, under a year old
    .said = new | new sod | sod
    .sms = new sod or seed
site-none = none of these
    .said = none | no | nothing

ask-see_spot-spot = What do you see on the { $spot }? Pick all that fit.
    .sms = What do you see on the { $spot }?
ask-see_spot = What do you see there now? Pick all that fit.
    .sms = What do you see there now?
help-see_spot = { help-see }
    .sms = { help-see.sms }
why-see_spot = { why-see }
name-see_spot = What you see
    .sms = Seen
see_spot-straw_blades = { see-straw_blades }
    .said = straw | crisp | brown | tan | dry
    .sms = { see-straw_blades.sms }
see_spot-limp_dark_blades = { see-limp_dark_blades }
    .said = limp | dark | soggy
    .sms = { see-limp_dark_blades.sms }
see_spot-slimy_runners = { see-slimy_runners }
    .said = slimy | sour | smelly | soft runners
    .sms = { see-slimy_runners.sms }
see_spot-firm_runners = { see-firm_runners }
    .said = firm | firm runners
    .sms = { see-firm_runners.sms }
see_spot-patches = { see-patches }
    .said = patches | patchy
    .sms = { see-patches.sms }
see_spot-north_or_shade = { see-north_or_shade }
    .said = north | shade
    .sms = { see-north_or_shade.sms }
see_spot-low_wet = { see-low_wet }
    .said = low | wet
    .sms = { see-low_wet.sms }
see_spot-tracks = { see-tracks }
    .said = tracks | footprints
    .sms = { see-tracks.sms }
see_spot-orange_rings = { see-orange_rings }
    .said = rings | orange | circles
    .sms = { see-orange_rings.sms }

ask-mow_height = How high do you mow it, about?
help-mow_height = { $units ->
    [metric] Measure from the soil to the blade tips after a cut: "7 cm" or "60 mm". The notch number on the mower is not the height.
   *[us] Measure from the soil to the blade tips after a cut: "3" or "2 1/2 inches". The notch number on the mower is not the height.
 }
why-mow_height = I plan each cut from where you are now, one notch at a time.
name-mow_height = Mowing height
    .sms = Mowing

ask-notch = How much does one notch of your mower change the height?
    .sms = How much does one notch of your mower change the height?
help-notch = { $units ->
    [metric] On most mowers it is about 1 cm. Pick one, or type it.
   *[us] On most mowers it is about 1/2 inch. Pick one, or type it.
 }
why-notch = So I can say "one notch" and mean the right thing.
name-notch = One notch
notch-quarter = { $units ->
    [metric] 6 mm
   *[us] ¼ in
 }
    .said = 1/4 | quarter | quarter inch
    .sms = { $units ->
        [metric] 6 mm
       *[us] quarter inch
    }
notch-half = { $units ->
    [metric] 13 mm
   *[us] ½ in
 }
    .said = 1/2 | half | half inch
    .sms = { $units ->
        [metric] 13 mm
       *[us] half inch
    }
notch-three_quarters = { $units ->
    [metric] 19 mm
   *[us] ¾ in
 }
    .said = 3/4 | three quarters
    .sms = { $units ->
        [metric] 19 mm
       *[us] three quarters
    }
notch-one = { $units ->
    [metric] 25 mm
   *[us] 1 in
 }
    .said = one inch | 1 inch
    .sms = { $units ->
        [metric] 25 mm
       *[us] one inch
    }

ask-size = { $units ->
    [metric] How big is the lawn, about? "12 by 9" metres works. So does pacing it: "20 paces by 12".
   *[us] How big is the lawn, about? "40 by 30" feet works. So does pacing it: "20 paces by 12".
 }
help-size = { $units ->
    [metric] Give two sides in metres, like "12 by 9", or the area, like "110 m2". Add parts with "and": "9x6 and 3x4".
   *[us] Give two sides, like "40 by 30", or the area, like "1,200 sq ft". Add parts with "and": "30x20 and 10x15".
 }
why-size = Every amount depends on it: water, fertilizer, sod. A near guess is fine.
name-size = Size

ask-bag = Do you have a bag of fertilizer? Type the three numbers on it, like 16-4-8. If not, skip.
    .sms = Do you have a bag of fertilizer? Type its three numbers, like 16-4-8. If not, skip.
help-bag = Look for three numbers with dashes on the front, like 16-4-8 or 15-0-15.
why-bag = I work out how much of your bag is right, or tell you it isn't. Feeding comes later, not now.
name-bag = Fertilizer bag
    .sms = Bag

ask-bag_slow = Does the bag list slow-release nitrogen? Type the percent, like "4.8".
    .sms = Does the bag list slow-release nitrogen? Type the percent, like 4.8.
help-bag_slow = Look in the small print for "slowly available", "slow release" or "controlled release" nitrogen. Or "none".
why-bag_slow = Light feeding after a freeze needs at least 30 % of the nitrogen slow. Fast nitrogen washes away or burns.
name-bag_slow = Slow-release nitrogen
    .sms = Slow nitrogen
bag_slow-none = none listed
    .said = none | no | nothing | 0
bag_slow-half = about half of it
    .said = half | about half

ask-time_ok = It's { $time } now in { $place }, right?
help-time_ok = Just yes or no: is that the time where the lawn is?
why-time_ok = I only write in daytime hours where the lawn is, so I check the clock once.
name-time_ok = Local time
    .sms = Time
time_ok-yes = yes
    .said = right | correct
time_ok-no = no
    .said = wrong | different

ask-zone = Which time zone is the lawn in?
help-zone = Pick one of the lines.
why-zone = { why-time_ok }
name-zone = Time zone
    .sms = Zone
zone-america_new_york = Eastern
    .said = eastern time | est | et | new york
zone-america_chicago = Central
    .said = central time | cst | ct | chicago
zone-america_denver = Mountain
    .said = mountain time | mst | mt | denver
zone-america_phoenix = Arizona
    .said = phoenix | arizona time
zone-america_los_angeles = Pacific
    .said = pacific time | pst | pt

ask-keep_track = Shall I keep track and remind you at the right times?
help-keep_track = Yes: I write when something is due, at most once a day. No: the plan stays here and you can look any time.
why-keep_track = The right day for most of this is weeks away. Most people forget.
name-keep_track = Reminders
keep_track-yes = yes, remind me
    .said = yes | please | sure
    .sms = yes
keep_track-no = no, just the plan
    .said = no | no thanks
    .sms = no

choice-not_sure = not sure
choice-skip = skip
