### The album of a season: one picture to share, and a report to keep or to print.

album-title = My lawn after the freeze
album-title-year = Spring { $year }
album-about = { $place }. Grass: { $grass }.
album-about-no-place = Grass: { $grass }.
album-lawn = Lawn { $n }
album-made = Made on { $day }. Photos and words are my own, the sums are from Afterfrost.
album-caution = These are odds, not facts. A camera counts green, and it can be wrong. Only growth over the weeks tells what lived.

album-spot-lawn = The whole lawn
album-photo-alt = Photo of { $where } on { $day }: { $green }
album-photo-gone = This photo is no longer here.
album-more-photos = { $n ->
    [one] One more photo was left out to keep this short.
   *[other] { $n } more photos were left out to keep this short.
 }
album-no-photos = No photo of this part yet.
album-green = { $now }% green ({ $low } to { $high }%)
album-green-range = { $low } to { $high }% green
album-green-none = hardly any green
album-green-unread = not measured
album-green-waits = green not told yet
album-colour-yellowish = a yellowish green
album-colour-medium = a medium green
album-colour-dark = a dark green
album-weeds-some = some of it weeds
album-weeds-most = most of it weeds
album-weeds-not_sure = maybe weeds in it

album-state-early = It is too early to say.
album-state-cold = Nothing grows while the ground is cold.
album-photos = Photos
album-chart = Green over the weeks
album-told = What I saw
album-saw = Seen at first: { $signs }
album-runners = Runners: { $found }
album-plugs = Pot test: { $alive } of { $total } plugs alive
album-potted = Pot test begun: { $n ->
    [one] one plug
   *[other] { $n } plugs
 }
album-by-eye = By eye: { $green }
album-size = Size of this part: { $size }
album-beside-photo = Written beside the photo

album-plan = The plan
album-plan-day = Day
album-plan-task = What
album-plan-state = What came of it
album-task-done = done
album-task-skipped = skipped
album-task-open = still open
album-task-passed = passed by

album-page = Your photos in order, with what was said of them:
album-page-report = a page to keep or print
album-page-picture = one picture to share
