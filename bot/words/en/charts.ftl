### Pictures of a freeze and of a spot's green: what stands in them, and what is read out in their place.
chart-title = How cold your grass got
chart-air = air
chart-crown = crown, at the surface
chart-likely = likely range
chart-soil = soil { $units ->
    [metric] 5 cm
   *[us] 2 in
 } down
chart-suffers = your grass suffers below here
chart-origin = worked out, not measured
chart-snow = snow, up to { $depth }
chart-snow-guessed = snow, maybe { $depth }
chart-finding-reached = About { $crown } at the crown, where grass lives. Yours may have suffered.
chart-finding-maybe = About { $crown } at the crown, where grass lives. Only the low end could hurt yours.
chart-finding-clear = About { $crown } at the crown, where grass lives. Yours can likely take that.
chart-degrees = { $degrees }
chart-alt = A line chart from { $first } to { $last }. The air fell to { $air } on { $day }. The crown, where grass lives, got down to about { $crown }. The soil { $units ->
    [metric] 5 cm
   *[us] 2 in
 } down got to about { $soil }.
    .sms = { "" }
chart-alt-reached = For about { $hours } hours the crown was where your grass may suffer.
    .sms = The crown was cold enough to suffer for about { $hours } hours.
chart-alt-maybe = Only the low end for the crown is where your grass may suffer.
    .sms = { "" }
chart-alt-clear = The crown stayed warmer than where your grass suffers.
    .sms = { "" }
chart-alt-snow = On the ground: { $snow }.
    .sms = { "" }
chart-alt-origin = This is worked out from the weather, not measured.
    .sms = { "" }
chart-alt-whole = { $told }

chart-cover-title = Green grass in this spot
chart-cover-finding-first = About { $last }. The next photos will tell more.
chart-cover-finding-unclear = About { $last } now, { $first } at first. No clear change yet.
chart-cover-finding-greener = From about { $first } to { $last }. The growth looks real.
chart-cover-finding-browner = From about { $first } to { $last }. The loss looks real.
chart-cover-photo = photo, likely range
chart-cover-other = sent another way
chart-cover-trend = trend
chart-cover-later = in { $weeks ->
    [one] { $weeks } week
   *[other] { $weeks } weeks
 }
chart-cover-judging = judging day: { $day }
chart-percent = { $n } %
    .sms = { $n }%
chart-percent-range = { $n } % ({ $low } to { $high })
    .sms = { $n }% ({ $low } to { $high })
alt-cover-one = A chart of { $where }. On { $day } about { $last } was green.
    .sms = { "" }
alt-cover-two = A chart of { $where } over time. First, on { $first_day }: { $first } green. Last, on { $day }: { $last } green.
    .sms = { "" }
alt-cover-greener = It gained more green than chance can explain.
    .sms = { "" }
alt-cover-browner = It lost more green than chance can explain.
    .sms = { "" }
alt-cover-unclear = The change is too small to tell from chance.
    .sms = { "" }
alt-cover-later = By { $day } about { $cover } may be green.
    .sms = { "" }
alt-cover-judging = Judging day: { $day }.
    .sms = { "" }
alt-cover-whole = { $told }

chart-limit-title = { $grass }: what lived
chart-limit-finding = In such a freeze half of the crowns die near { $found }, nine times in ten between { $low } and { $high }. Published: { $published }.
chart-limit-finding-few = Not enough lawns to change anything. So far half of the crowns die near { $found }, between { $low } and { $high }. Published: { $published }.
chart-limit-found = what { $lawns } lawns say, nine times in ten
chart-limit-published = as published
chart-limit-seen = what was seen of lawns that got as cold
chart-limit-up = share alive
chart-limit-up-rhizomes = share alive, on top or below
chart-limit-degrees = { $n } { $units ->
    [metric] °C
   *[us] °F
 }
chart-limit-across = lowest at the crown, estimated, { $units ->
    [metric] °C
   *[us] °F
 }
