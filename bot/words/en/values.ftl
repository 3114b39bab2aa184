### How numbers, odds, dates and units read. Each is filled by bot/words/values.py.

value-chance = { $band ->
    [nearly_certain] nearly certain
    [very_likely] very likely
    [likely] likely
    [even] about even odds
    [unlikely] not likely, about 1 chance in { $n }
    [very_unlikely] about 1 chance in { $n }
   *[hardly] hardly any chance
 }
    .sms = { $band ->
        [nearly_certain] nearly certain
        [very_likely] very likely
        [likely] likely
        [even] about even odds
        [unlikely] unlikely, about 1 in { $n }
        [very_unlikely] about 1 in { $n }
       *[hardly] hardly any chance
    }
value-share = { $tenths ->
    [0] hardly any
    [10] nearly all
   *[other] about { $tenths } in 10
 }
value-share-range = { $tenths ->
    [0] hardly any (at most about { $high } in 10)
    [10] nearly all (at least about { $low } in 10)
   *[other] about { $tenths } in 10 (between { $low } and { $high } in 10)
 }
    .sms = { $tenths ->
        [0] hardly any (at most { $high } in 10)
        [10] nearly all (at least { $low } in 10)
       *[other] about { $tenths } in 10 ({ $low } to { $high })
    }
value-share-open = { $tenths ->
    [0] perhaps hardly any, but it could be anything up to all
    [10] perhaps nearly all, but it could be anything down to none
   *[other] perhaps { $tenths } in 10, but it could be anything from none to all
 }
    .sms = { $tenths ->
        [0] perhaps hardly any, but up to all
        [10] perhaps nearly all, but down to none
       *[other] perhaps { $tenths } in 10 (none to all)
    }
value-cover = { $band ->
    [none] no green
    [few] a few green blades
   *[percent] about { $n } % green
 }
    .sms = { $band ->
        [none] no green
        [few] a few green blades
       *[percent] about { $n }% green
    }
value-about-day = about { $day }
value-degrees-f = { $n } °F
    .sms = { $n } F
value-degrees-c = { $n } °C
    .sms = { $n } C
value-degrees-f-range = { $n } °F ({ $low } to { $high })
    .sms = { $low } to { $high } F
value-degrees-c-range = { $n } °C ({ $low } to { $high })
    .sms = { $low } to { $high } C
value-in = { $n } in
value-cm = { $n } cm
value-miles = { $n ->
    [one] { $n } mile
   *[other] { $n } miles
 }
value-ft = { $n } feet
value-m = { $n } m
value-km = { $n } km
value-sqft = { $n } sq ft
value-m2 = { $n } m²
    .sms = { $n } m2
value-lb = { $n } lb
value-kg = { $n } kg
value-lb-per-1000 = { $n } lb per 1,000 sq ft
    .sms = { $n } lb/1,000 sq ft
value-g-per-m2 = { $n } g per m²
    .sms = { $n } g/m2
value-gal = { $n } gal
value-l = { $n } L

where-lawn = the lawn
where-spot = the { $name }
spot-name = { $name }
place-county = { $county }, { $state }
place-state = { $name }
place-which-one = { $name }, { $county }, { $state }
lawn-at = the lawn in { $place }
    .sms = { $place }
lawn-numbered = lawn { $n }
lawn-line = Lawn { $n }, { $place }
lawn-line-new = Lawn { $n }

grass-plain = { $name }
grass-with-cultivar = { $cultivar } { $name }
grass-guessed = perhaps { $name }
grass-open = kind not known yet
grass-name-st_augustine = St. Augustine
grass-name-bermuda = bermuda
grass-name-zoysia = zoysia
grass-name-centipede = centipede
grass-name-bahia = bahia
grass-name-buffalo = buffalograss
grass-name-seashore_paspalum = seashore paspalum
grass-name-carpetgrass = carpetgrass
