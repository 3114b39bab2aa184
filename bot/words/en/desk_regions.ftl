### The operators' pages about regions: what lies in each, drawing one on a map, ending one.

desk-regions-tab = Regions
desk-regions-title = Regions
desk-regions-how = Regions may overlap. A home in several belongs to the smallest, of equal ones to the older.
desk-regions-none = No region is drawn yet.
desk-regions-new = Draw a region
desk-regions-counting = I am still counting the homes. Look again in a moment.
desk-regions-look-again = Look again
desk-regions-row = { $homes ->
    [one] one home
   *[other] { $homes } homes
}
desk-regions-row-own = { $homes ->
    [one] one home
   *[other] { $homes } homes
}, { $own } of them its own
desk-regions-few = fewer than { $fewest } homes
desk-regions-answered = { $name } answers for it.
desk-regions-nobody-answers = Nobody answers for it yet.
desk-regions-area = About { $miles } square miles: { $parts }
desk-regions-in-it = What is in it
desk-regions-homes = { $homes ->
    [one] one home
   *[other] { $homes } homes
} with { $lawns ->
    [one] one lawn
   *[other] { $lawns } lawns
}
desk-regions-no-homes = No home lies in it.
desk-regions-lawn-row = { $grass }: { $stage }, { $count }
desk-regions-grass-open = grass not known
desk-regions-overlaps = Other regions there
desk-regions-overlap = { $count ->
    [one] One of these homes is
   *[other] { $count } of these homes are
} in { $other } too. They belong to { $owner }.
desk-regions-overlap-few = A few of these homes are in { $other } too. They belong to { $owner }.
desk-regions-nowhere = { $count ->
    [one] One home has
   *[other] { $count } homes have
} no place that is good enough for a drawn area.
desk-regions-behind = { $count ->
    [one] One homeowner
   *[other] { $count } homeowners
} wrote since the count. They are counted anew soon.
desk-regions-end = End this region
desk-regions-end-how = It counts no more, and its name stays taken. What was done in it stays.
desk-regions-end-advisory = Advisory { $number }, { $name }, goes on: it keeps its area.
desk-regions-end-correction = What was learned of { $grass } (number { $number }) counts no more, since it is for this region alone.
desk-regions-end-rules = { $count ->
    [one] One local rule of its own counts
   *[other] { $count } local rules of its own count
} no more.
desk-regions-end-nothing = No open advisory names this region. Nothing was adopted for it, and it has no local rules.
desk-regions-end-sure = Yes, end { $name }.
desk-regions-sure-first = Tick the box first, then press again.
desk-regions-note-ended = The region has ended.
desk-regions-note-kept = The region is kept.
desk-regions-back = Back to the regions

desk-regions-form-title = Draw a region
desk-regions-form-how = Everything you name counts together. First you see how many homes are in it, and then you keep it.
desk-regions-name = Name
desk-regions-answering = Who answers for it
desk-regions-answering-nobody = Nobody yet
desk-regions-nobody = That person is not let in any more. Pick another one.
desk-regions-draw = Draw it on the map
desk-regions-draw-how = Press the corners one after the other. With keys: arrows move the cross, Enter sets a point, Backspace takes the last one back.
desk-regions-map = Map of lawns to draw on
desk-regions-map-of = Map of { $name }
desk-regions-map-how = Shaded squares hold lawns. Outlines are drawn regions. Letters stand in the middle of states, degrees at the edges.
desk-regions-points = Corners, one a line: latitude, longitude
desk-regions-points-how = Like 31.20, -81.50. At least three. An empty line begins another area.
desk-regions-count = Points set:
desk-regions-here = The cross is at
desk-regions-undo = Undo last point
desk-regions-clear = Remove all points
desk-regions-by-name = By names and codes
desk-regions-states = States, by two letters
desk-regions-states-how = Like GA, FL
desk-regions-counties = Counties, one a line
desk-regions-counties-how = By name or code: Glynn, GA or 13127
desk-regions-zips = First digits of ZIP codes
desk-regions-zips-how = Like 315, 31601
desk-regions-circles = Circles, one a line
desk-regions-circles-how = Latitude, longitude, kilometers: 31.2,-81.5,40
desk-regions-codes = County codes as alerts name them, one a line
desk-regions-codes-how = Like SAME 013127 or UGC GAC127
desk-regions-file = A drawing from a file (GeoJSON)
desk-regions-file-kept = The drawing you handed in is still here.
desk-regions-file-leave = Leave it out
desk-regions-look = See what is in it
desk-regions-preview = { $name }: what would be in it
desk-regions-mended = An outline crossed itself and was put right. Check on the map that this is the area you meant.
desk-regions-keep = Keep this region
desk-regions-not-kept = Nothing is kept yet.
desk-regions-change = Change it
