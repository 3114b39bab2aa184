### Pictures of a freeze: what stands in them, and what is read out in their place.
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
