### The operators' page about what survived: what lawns say of each grass, adopting it, taking it back.

desk-learning-tab = What survived
desk-learning-title = What survived
desk-learning-intro = How much cold each grass took here, told by lawns whose season is over. It stands beside the figure from the papers.
desk-learning-told = { $told } of { $lawns ->
    [one] one lawn
   *[other] { $lawns } lawns
} whose season is over { $told ->
    [one] was
   *[other] were
} told of to the end.
desk-learning-early = { $count ->
    [one] One more lawn counts
   *[other] { $count } more lawns count
} later: two weeks after the judging day, whatever comes of it.
desk-learning-unread = { $count ->
    [one] One homeowner
   *[other] { $count } homeowners
} could not be read. The log says which.
desk-learning-nothing = No lawn here was told of to the end yet. Come back when the first ones are judged.
desk-learning-at = Worked out { $when }.
desk-learning-newer = Something was told since, and I am working it out again. Look again in a minute.
desk-learning-look-again = Look again
desk-learning-region = Which lawns
desk-learning-everywhere = All lawns
desk-learning-region-press = Show
desk-learning-in = Lawns of { $region }

desk-learning-ways = { $lawns ->
    [one] One lawn
   *[other] { $lawns } lawns
}: { $tested } by pot test, { $photos } by photos, { $eye } by eye. Winter: { $winters }.
desk-learning-silent = Nothing was told of { $count ->
    [one] one more lawn
   *[other] { $count } more lawns
}. If owners of living lawns answer twice as often, the middle is { $living } F off the papers. If owners of dead ones do, it is { $dead } F.
desk-learning-half = Half of it dies at
desk-learning-start = In the papers
desk-learning-found = From these lawns
desk-learning-both = { $f } F ({ $c } C)
desk-learning-range-head = Nine times in ten
desk-learning-range = { $low } to { $high } F ({ $low_c } to { $high_c } C)
desk-learning-enough = Enough lawns: { $near } got near the limit, { $tested } of them with a pot test.
desk-learning-few = Not enough lawns yet. { $near } got near the limit, and it takes { $missing } more.
desk-learning-wide = Not sure enough yet. The range is still more than half as wide as in the papers. Pot tests would help most.
desk-learning-see = See what it would change
desk-learning-see-for = See what { $name } would change

desk-learning-curve-title = { $name }: the share that lived, by how cold the crown got
desk-learning-curve-desc = The solid line is what { $lawns } lawns say, with a band that holds nine times in ten. The dashed line is from the papers. Dots are groups of lawns that got about as cold. The table below has the same figures.
desk-learning-curve-up = Share that lived
desk-learning-curve-across = Coldest at the crown, F
desk-learning-key-found = These lawns say, nine times in ten
desk-learning-key-published = The papers say
desk-learning-key-seen = Seen, by groups of lawns
desk-learning-bins = The same in figures
desk-learning-bins-none = No five lawns got about as cold yet, so there are no dots.
desk-learning-bin-crown = Crown
desk-learning-bin-lawns = Lawns
desk-learning-bin-seen = Lived
desk-learning-bin-found = These lawns say
desk-learning-bin-published = The papers say
desk-learning-percent = { $n } %
desk-learning-percent-range = { $n } % ({ $low } to { $high })
desk-learning-number = { $n }

desk-learning-caution = Plus means warmer, so it takes less cold. Estimates of a whole region may all be off by about 1 F, and no number of lawns can show that. So no range gets narrower than that.
desk-learning-export = Table of what came of lawns (CSV)
desk-learning-export-how = Nothing in it tells whose lawn a row is. Each row shares county, grass and winter with at least { $k } homeowners.
desk-learning-letter = This week's letter

desk-learning-adopted = What is adopted
desk-learning-adopted-none = Nothing. The figures from the papers count everywhere.
desk-learning-adopted-row = { $name }, { $region }: { $f } F ({ $c } C)
desk-learning-adopted-range = Nine times in ten { $low } to { $high } F, from { $lawns } lawns.
desk-learning-adopted-by = By { $by }, { $when }.
desk-learning-adopted-older = A newer one counts in its place.
desk-learning-adopted-over = Its region has ended, so it counts no more.
desk-learning-shell = the command line
desk-learning-undo = Take it back
desk-learning-undo-sure = Yes, take number { $id } back. The one before it counts again, or else the papers.

desk-learning-change-title = What would change: { $name }
desk-learning-change-where = For { $region }
desk-learning-change-shift = Half of it dies { $f } F ({ $c } C) off the papers, nine times in ten between { $low } and { $high } F.
desk-learning-change-sum = { $changed } of { $lawns ->
    [one] one lawn
   *[other] { $lawns } lawns
} it is for would be told something else today.
desk-learning-change-none = It would change nothing today: it counts already, or no lawn it is for has a plan.
desk-learning-change-band = Other odds in words, so other care
desk-learning-change-verdict = Another verdict
desk-learning-change-plan = Another plan, had it been made with this
desk-learning-change-some = Some of these lawns
desk-learning-change-lawn = Case { $case }, lawn { $lawn }: { $before } to { $after } tenths alive
desk-learning-other-verdict = another verdict
desk-learning-other-odds = other odds in words
desk-learning-other-plan = another plan
desk-learning-change-more = And { $count ->
    [one] one more lawn
   *[other] { $count } more lawns
}.
desk-learning-adopt-title = Adopt it?
desk-learning-adopt-how = From then on the bot uses it for these lawns, within a minute. You can take it back at any time.
desk-learning-sure = Yes, I looked at what would change.
desk-learning-adopt = Adopt it
desk-learning-back = Back to what survived
desk-learning-few-title = Nothing to adopt here
desk-learning-sure-first = Tick that you looked at what would change, then press again.
desk-learning-changed = Something was told since you looked. Look once more at what would change.
desk-learning-fault-sure = Tick the box first, then press again.
desk-learning-fault-gone = That one was taken back already, or never was.
desk-learning-note-adopted = Adopted. The bot uses it within a minute.
desk-learning-note-undone = Taken back. The bot goes by what counts now within a minute.

desk-working-title = Working it out
desk-working = This takes a few seconds, at most a minute or two. The page looks again by itself.
desk-working-press = Look again now

desk-letter-title = This week's letter
desk-letter-how = The weekly letter to operators, as it would read right now.
