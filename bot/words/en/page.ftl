### The web page's own words: headings, labels, buttons, notices, and the calendar.

page-title = Afterfrost
page-tagline = A day-book for your lawn after a hard freeze
page-skip = Go to the open question
page-log = What was said so far
page-from-us = Afterfrost
page-from-you = You

page-question-of = question { $step } of about { $steps }
page-choices = Your answer
page-several-hint = Tick all that fit.
page-several-send = That is all
page-text = Or write it in your own words
page-text-only = Write in your own words
page-text-send = Send
page-photo = Add a photo
page-photo-send = Send the photo
page-photo-paper = A sheet of white paper lies in the corner of my photo
page-place = Use the place where I am now
page-any-time = These work any time:

## Sent as typed words when pressed, so each must be one that is understood.
page-wish-back = back
page-wish-why = why
page-wish-change = change
page-wish-plan = plan
page-wish-person = person
page-wish-help = help

page-said-photo = a photo
page-said-refused = a picture
page-said-place = the place where I am
page-said-button = a button
page-photo-yours = The photo you sent
page-photo-alt = Photo of { $where }, { $day }
page-photo-alt-plain = Your photo
page-data-link = Download the copy (JSON)

page-keep-title = To come back
page-keep-link = Keep this link: it brings you back here on any device.
page-keep-private = Who has the link can read this page, so keep it to yourself.
page-keep-copy = Copy the link
page-keep-copied = Copied.
page-cannot-reach = This page cannot reach you when it is closed. Come back with your link, or put the dates into your calendar.
page-cannot-reach-yet = This page cannot reach you when it is closed. Come back with your link.
page-calendar-link = Put the dates into my calendar

page-sending = Sending ...
page-not-sent = Not sent yet: no connection. I keep trying.
page-try-again = Try now
page-lost = No connection just now. New lines show as soon as it is back.
page-place-failed = Your phone did not give its place. Type a ZIP code instead.
page-new-below = Something new below

page-note-pick = Tick at least one line first. If nothing fits, write "none".
page-note-empty = Write something first.
page-note-cut = That was long. I kept the first 4,000 characters.
page-note-no_photo = Choose a photo first.
page-note-photo_size = That picture is over 20 MB. Send a smaller one, please.
page-note-cookie = I did not know who sent that, so it was not kept. This page needs a cookie to know you. Please allow it, or come back with your link.
page-note-other_book = This page was an older one. Here is the one that is open now. Please send that again.

page-other-title = Another page is open here
page-other = This link opens a different page than the one you have on this device. Keep the link of the open one first, or you may not find it again:
page-other-open = Open the new one
page-other-stay = Stay with the one I have

page-gone-title = All erased
page-gone = Everything about you has been erased here. I wish your lawn well.
page-gone-start = Start again

page-problem-back = Back to the page
page-problem-bad-title = That did not work
page-problem-bad = I could not read what was sent. Go back and try once more.
page-problem-origin-title = Not from this page
page-problem-origin = That came from another site, so nothing was done. Open this page itself and send it from there.
page-problem-link-title = I don't know that link
page-problem-link = It may have lost a letter, or what it led to was erased. Open the whole link once more, or start fresh.
page-problem-missing-title = Nothing here
page-problem-missing = There is no page at this address.
page-problem-no-dates-title = No dates yet
page-problem-no-dates = Your plan has no open dates. They come once you say yes to reminders.
page-problem-too-big-title = That is too big
page-problem-too-big = I can take a photo of up to 20 MB, and not more than that. Nothing was kept.
page-problem-busy-title = Too busy just now
page-problem-busy = I could not write that down. Nothing was kept. Please send it again in a minute.
page-problem-ours-title = Something broke on my side
page-problem-ours = It was not your doing. Your answers are safe. Please try again in a minute.

page-calendar-name = Afterfrost: my lawn
page-calendar-entry = Lawn: { $task }
page-calendar-entry-at = Lawn in { $place }: { $task }
page-calendar-note = Open your Afterfrost page to see what to do.
page-day = { $day }
