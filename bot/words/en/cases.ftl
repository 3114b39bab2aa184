### The operators' cases: what waits, one lawn at a glance, what was done about it.

cases-band-mostly_fine = Most of it probably lives.
cases-band-mixed = Some of it is probably lost.
cases-band-mostly_lost = Most of it is probably lost.
cases-odds = Growing points that may be lost: { $share }. Nearly all lost: { $chance }.
cases-cold = Coldest: air { $air }, runners { $felt }, soil 2 in down { $soil }.
cases-spot = For { $where }:
cases-figure = { $value }
cases-about = about { $value }

cases-line-data = a copy of their data
cases-line-pressed = pressed:
cases-line-button = pressed a button
cases-line-photo = sent a photo
cases-line-refused = sent a picture that could not be used
cases-line-place = shared a position

cases-cannot-missing = There is no such case.
cases-cannot-closed = That question is not open any more. Somebody else has seen to it.
cases-cannot-held = { $who } holds this talk now.
cases-cannot-not-held = Nobody holds this talk, so there is nothing to give back.
cases-cannot-quiet = This homeowner wants no messages and has no open question. You can only write a note.
cases-cannot-empty = Write something first.
cases-cannot-long = That is too long. Keep it under 2,000 letters.
cases-cannot-blank = Nobody knows the blank { $who }. Look at the list of blanks.
cases-cannot-broke = That could not be done. The homeowner was told nothing; look at the log.

cases-tab = Cases
cases-watch = { $count ->
    [one] One question waits
   *[other] { $count } questions wait
} for a person
cases-title = Cases
cases-open = Case number
cases-open-press = Open
cases-case = Case { $n }
cases-invited = Came by the link of { $name }
cases-back = Back to the cases
cases-back-lawns = Back to all lawns
cases-first = Only the first { $count } are listed.
cases-ago-minutes = { $n ->
    [0] just now
    [one] a minute ago
   *[other] { $n } minutes ago
}
cases-ago-hours = { $n ->
    [one] an hour ago
   *[other] { $n } hours ago
}
cases-ago-days = { $n } days ago
cases-questions = Questions that wait: { $count }
cases-questions-none = Nobody waits for a person.
cases-no-words = They asked for a person, without more words.
cases-left = a person left this without an answer
cases-held = Talks a person holds
cases-held-by = { $who }, last heard
cases-unread = they wrote since
cases-not-understood = Last words not understood
cases-not-handled = Could not be handled
cases-not-handled-why = They were told that something broke. The words in the log say where.
cases-nobody = Nobody known
cases-silent = Never answered
cases-silent-what = They were told something on their own day, at least two weeks ago. Not a word came back since.
cases-silent-told = told { $count ->
    [one] once
   *[other] { $count } times
}
cases-stage-title = Lawns: { $stage }
cases-stage-order = The { $count } heard last, the newest first.
cases-stage-none = No lawn is there right now.
cases-heard = heard

cases-stage-asking = being asked
cases-stage-planned = has a plan, not agreed
cases-stage-waiting = plan under way
cases-stage-judging = being judged
cases-stage-judged = judged, more to do
cases-stage-repairing = being repaired
cases-stage-resting = nothing left to do
cases-stage-handed_over = a person holds the talk

cases-time-there = { $time } there
cases-others-hold = { $who } holds this talk. They were last heard { $when }. Only they can write until they give it back.
cases-you-hold = You hold this talk. The bot is quiet until you give it back, or say nothing for a day.
cases-quiet = This homeowner wants no messages. Only an open question of theirs can be answered.
cases-talk = The last lines
cases-earlier = Earlier lines
cases-in-short = For { $where }: { $band }
cases-glimpse = { $grass }, { $county } { $state }
cases-line-theirs = Homeowner
cases-line-ours = Afterfrost
cases-line-failed = could not be handled
cases-line-unsent = not sent yet
cases-photo-sent = Photo they sent, { $when }
cases-photo-of = Photo of { $where }, { $day }
cases-write = Write to them
cases-write-answers = This answers
cases-write-words = Your words, shown under the name { $name }
cases-write-press = Send through the bot
cases-night = It is night there. This goes out in their morning.
cases-take = Take the talk over
cases-take-what = Taking over makes the bot quiet. It still answers emergencies and "stop".
cases-give-back = Give the talk back
cases-give-back-what = The bot then goes on where it stood.
cases-close = { $count ->
    [one] Close the question
   *[other] Close the { $count } questions
} without a word
cases-notes = Notes
cases-note = A note for your colleagues. The homeowner may ask for a copy.
cases-note-press = Keep the note
cases-odds-title = Odds
cases-nothing-yet = Not enough is known yet to say anything.
cases-not-ours = This is no lawn, or no damage, that is worked out here.
cases-why = Why
cases-moved = What moved the odds
cases-seen = What they saw
cases-photos = Photos
cases-on = { $day }: { $told }
cases-plan = Plan
cases-plan-all = All dates
cases-plan-day = Day
cases-plan-task = Task
cases-plan-state = State
cases-asked-before = Asked before

cases-templates-link = Words you write often
cases-templates-title = Words you write often
cases-templates-use = Start from words you write often
cases-templates-none = None are kept yet.
cases-templates-add = Keep some words
cases-templates-name = A short name for them
cases-templates-words = The words
cases-templates-blanks = These blanks are filled in for each lawn. A sentence whose blank is not known is left out:
cases-templates-keep = Keep them
cases-templates-drop = Remove { $name }

cases-note-number = A case number has only figures.
cases-note-written = Sent through the bot.
cases-note-taken = The talk is yours. The bot is quiet.
cases-note-given-back = The bot has the talk again.
cases-note-closed = Closed without a word.
cases-note-noted = The note is kept.
cases-note-template-kept = The words are kept.
cases-note-template-dropped = The words are gone.

lawns-tab = Lawns
lawns-title = { $count ->
    [one] One lawn
   *[other] { $count } lawns
}
lawns-stages = How far along they are
lawns-at-stage = { $stage }: { $count }
lawns-count = Lawns
lawns-facts = What is set for this region
lawns-facts-none = Nothing is set. Dates and cold are worked out for each lawn.
lawns-facts-how = Whoever runs this sets it in the file named by AFTERFROST_FACTS_FILE.
lawns-fact-coldest = Coldest day
lawns-fact-air = Lowest air
lawns-fact-days = Days with frost
lawns-fact-snow = Snow on the grass, inches
lawns-fact-last_frost = Last frost
lawns-fact-warm_soil = First warm soil
lawns-map = Coldest soil, 2 in down
lawns-map-alt = Map of lawns by square, each with its coldest soil and how many lawns. The table below tells the same by county.
lawns-map-how = Each square: the middle estimate of the coldest soil in degrees F, and how many lawns.
lawns-map-none = There are no places to show yet.
lawns-degrees = { $n } F
lawns-lawns = { $count ->
    [one] 1 lawn
   *[other] { $count } lawns
}
lawns-left-out = { $count ->
    [one] One lawn is
   *[other] { $count } lawns are
} left out, where homes are few.
lawns-counties = By county
lawns-county = County
lawns-soil = Coldest soil
lawns-unknown = not known
lawns-nowhere = no place told
