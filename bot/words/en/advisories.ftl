### Words of advisories, for operators. Plain letters throughout. What homeowners read of an advisory is its writer's.

## Figures filled into an advisory's words.
advisory-figure = { $value }
advisory-about = about { $figure }

## What a writer should know.
advisory-note-odd-letters = By SMS these letters cost more than double: { $letters }. Plain ones do as well.
advisory-note-long-for-sms = By SMS this takes more than { $most } parts. The rest comes only when somebody asks for it.
advisory-note-long-sentence = One sentence has { $words } words. Shorter ones are easier to read.
advisory-note-certain = "{ $word }" says more than anybody can know. Tell the odds.

## How far one is.
advisory-state-draft = draft
advisory-state-approved = approved
advisory-state-going = going out
advisory-state-paused = paused
advisory-state-finished = finished
advisory-state-dropped = stopped or dropped

## Why somebody is left out, waits, or could not be sent to.
advisory-why-channel = heard on a network that is off here
advisory-why-unreachable = cannot be reached
advisory-why-opted-out = opted out
advisory-why-consent = have not agreed to texts
advisory-why-quiet = want no messages
advisory-why-held = a person talks with them now
advisory-why-today = got one today
advisory-why-hours = it is outside their hours
advisory-why-figures = every sentence needs a figure we lack
advisory-why-late = it was too late for them
advisory-why-stopped = it was stopped first
advisory-why-overtaken = better words came first
advisory-why-gone = are not here any more
advisory-why-broken = their talk broke
advisory-why-refused = the network refused it
advisory-why-turn = wait their turn

## Where people are heard.
advisory-channel-web = web page
advisory-channel-sms = SMS
advisory-channel-telegram = Telegram
advisory-channel-terminal = terminal

## The desk's pages.
advisory-tab = Advisories
advisory-watch = { $count ->
    [one] { $count } draft waits for an approval
   *[other] { $count } drafts wait for an approval
}
advisory-list-title = Advisories
advisory-list-how = What goes out to many. A draft goes to nobody until somebody approves it.
advisory-list-none = There is none yet.
advisory-new = Write one
advisory-presses = pressing
advisory-for-count = for { $count }
advisory-follows = follows number { $number }

advisory-form-title = Write an advisory
advisory-form-follows = It goes to those who got number { $number }, on the day you set.
advisory-form-corrects = It goes to those who got number { $number }, and to nobody else.
advisory-form-name = Name, for you and your people
advisory-form-words = What homeowners read
advisory-form-figures = Figures you can put in
advisory-form-figures-rule = They are filled in for each lawn. Where one is not known, the sentence with it is left out.
advisory-figure-place = their county and state
advisory-figure-grass = their grass
advisory-figure-soil = how cold the soil got, about
advisory-figure-runners = how cold the grass itself got, about
advisory-figure-alive = how much is likely alive, about
advisory-figure-judging = the day from which one can judge, about
advisory-form-where = Where
advisory-form-where-kept = As it is: { $area }
advisory-form-where-regions = In these regions
advisory-form-where-everywhere = Everywhere
advisory-form-no-regions = No region is drawn yet.
advisory-form-only = Only some lawns there
advisory-form-grass = Only these grasses
advisory-form-stage = Only lawns this far along
advisory-form-channel = Only people heard on
advisory-form-soil = Only where the soil got below, in degrees F
advisory-form-runners = Only where the grass itself got below, in degrees F
advisory-form-pressing = It presses: a freeze warning, which may be the second message of a day
advisory-form-due = Not before (empty: at once)
advisory-form-due-day = The day and time it goes out
advisory-form-useful = Of use until (empty: a week, or two days if it presses)
advisory-form-zone = Times are by the clock of
advisory-form-zone-most = most of those it is for
advisory-form-press = Keep, and see what it would do
advisory-form-nobody = Nothing goes out by this.
advisory-area-drawn = a drawn area
advisory-area-around = { $km } km around { $north }, { $east }
advisory-area-more = and { $count } more

advisory-preview-title = What would happen: { $name }
advisory-preview-sum = { $selected ->
    [one] { $selected } homeowner
   *[other] { $selected } homeowners
}: { $reached } would get it, { $left } would not.
advisory-preview-who = Who gets it
advisory-preview-where = Where
advisory-preview-follows = those who got number { $number }
advisory-preview-corrects = those who got the wrong words of number { $number }
advisory-preview-left = { $count } left out
advisory-preview-later = { $count } later
advisory-preview-no-estimate = Not counted: { $count } for whom we have no such estimate.
advisory-preview-behind = { $count } have written or got a message since we last looked at their lawn. For them this is a bit old.
advisory-preview-counted = Counted { $when }.
advisory-preview-stops = Approve this, and number { $number } stops at once. { $count } have not got it. They get neither.
advisory-preview-missing = For { $count } of them { $figure } is not known.
advisory-preview-how = How
advisory-preview-channel = Network
advisory-preview-people = People
advisory-preview-done = Done about
advisory-preview-count = { $count }
advisory-preview-parts = { $parts } parts, at most { $most } each
advisory-preview-about-parts = about { $parts } parts, at most { $most } each
advisory-preview-cost = about { $dollars } dollars
advisory-preview-never = not at all
advisory-preview-too-late = { $count } would not get it in time
advisory-preview-nobody = It would reach nobody.
advisory-preview-useful = Nobody gets it after { $when }.
advisory-preview-read = As they would read it
advisory-sample-parts = { $parts ->
    [one] { $parts } part
   *[other] { $parts } parts
}
advisory-preview-after = Later: { $name }, { $when }
advisory-preview-after-too = It is approved together with this.
advisory-approve = Approve for { $count ->
    [one] { $count } homeowner
   *[other] { $count } homeowners
}
advisory-approve-undo = You can take it back for { $seconds } seconds. Until then nothing leaves.
advisory-change = Change it
advisory-add-after = Ask again later
advisory-back = Back
advisory-see-preview = See what it would do

advisory-approved-by = approved by { $name }, { $when }
advisory-approved-here = approved at the command line, { $when }
advisory-waits-for = It goes out { $when }.
advisory-begins-soon = It begins { $seconds } seconds after the approval.
advisory-progress = How far it is
advisory-adds-up = { $selected } = { $sent } sent + { $waiting } waiting + { $way } on their way + { $left } left out + { $failed } failed
advisory-still-listing = People are still being listed.
advisory-report-waiting = { $count } waiting
advisory-report-failed = { $count } failed
advisory-report-sent = Sent
advisory-report-to-go = To go
advisory-report-receipts = Receipts
advisory-report-unsure = { $count } without an answer
advisory-report-unanswered = { $count } of those sent got no answer back. They may not have arrived. Nobody is sent one twice.
advisory-overtaken = Stopped when number { $number } was approved, which puts it right.
advisory-report-delivered = { $yes } arrived, { $no } did not
advisory-report-times = First sent { $first }, last { $last }.
advisory-look-again = Look again
advisory-words = The words
advisory-written = Last written by
advisory-written-here = the command line, or an alert
advisory-revision = revision { $number }
advisory-useful = Of use until
advisory-undo = Take it back
advisory-pause = Pause
advisory-resume = Go on
advisory-drop = Drop it
advisory-stop = Stop it for good
advisory-stop-sure = What was sent stays sent. Nothing more goes out, and it cannot be started again.
advisory-again = No answer came from some
advisory-again-who = The same words go to those only. Some of them may then read it twice.
advisory-again-press = Draft it once more
advisory-correct = The words were wrong
advisory-correct-who = A correction goes to those who got these words, and to nobody else. It may come on the same day.
advisory-correct-stops = This one stops when that is approved.
advisory-correct-words = The right words
advisory-correct-press = Draft the correction

advisory-note-kept = Kept as a draft.
advisory-note-approved = Approved.
advisory-note-undone = Taken back. It is a draft again.
advisory-note-paused = Paused.
advisory-note-resumed = It goes on.
advisory-note-stopped = Stopped for good.
advisory-note-dropped = Dropped.
