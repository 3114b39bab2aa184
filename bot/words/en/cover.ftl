### Green cover read off a photo: why a photo is no use, and the lines of the command.
# Each reason names one thing that its sender can change.
photo-refused-heic = Your phone sent that photo in a form I can't read. In its camera settings pick "most compatible", then take it again.
    .sms = I can't read that kind of photo. In the camera settings pick "most compatible", then take it again.
photo-refused-black_and_white = That picture is black and white, so I can't see what is green. Please send one in color.
    .sms = That picture is black and white. Please send one in color.
cover-reason-too_small = The picture is too small to see the grass. Please send the full picture.
cover-reason-dark = The picture is too dark. Please take it again in daylight.
cover-reason-overexposed = The picture is too bright, so its colors are washed out. Please take it again in even shade.
    .sms = The picture is too bright. Please take it again in even shade.
cover-reason-blurred = The picture is blurred. Hold still, tap the grass to focus, and take it again.
cover-reason-black_and_white = The picture is black and white, so I can't see what is green. Please send one in color.
    .sms = The picture is black and white. Please send one in color.
cover-reason-blue_light = The light in the picture is blue, and straw looks green in it. Take it again in open daylight, from ten to three.
cover-reason-orange_light = The light in the picture is orange, and green looks like straw in it. Take it again in open daylight, from ten to three.
cover-reason-not_lawn = I can't make out a lawn: the picture is blurred, or it shows something else. Point straight down at the spot, so that it fills the picture.
    .sms = I can't make out a lawn. Point straight down at the spot, so that it fills the picture.

cover-head-file = file
cover-head-green = green
cover-head-range = likely
cover-head-colour = color
cover-head-size = size
cover-head-taken = taken
cover-head-note = note
cover-colour-yellowish = yellowish
cover-colour-medium = medium
cover-colour-dark = dark
cover-unclear = only the range counts: straw and green run into each other here
cover-not-found = There is no such file, or I may not read it.
cover-progress = Measuring
cover-note = One photo says about how much is green, not what it is: weeds count too. Compare photos of one spot, taken the same way in the same light. A small change between two photos means nothing.
cover-no-paper = { $n ->
    [one] I found no sheet of paper in one photo. Lay it flat beside the spot, in the same light.
   *[other] I found no sheet of paper in { $n } photos. Lay it flat beside the spot, in the same light.
 }
