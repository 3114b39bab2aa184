### The operators' pages: their frame, signing in, who is let in, who did what. For people who work for a region.

desk-title = Afterfrost desk
desk-tagline = For the people who look after a region
desk-skip = Go to the page
desk-nav = Parts of the desk
desk-signed-in = { $name }, { $role }
desk-sign-out = Sign out
desk-password-link = My password
desk-when = { $day } { $year }, { $time } { $zone }

desk-tab-home = Today
desk-tab-operators = Operators
desk-tab-deeds = Who did what

desk-role-reader = reader
desk-role-advisor = advisor
desk-role-approver = approver
desk-role-keeper = keeper
desk-role-may-reader = May see counts, maps and advisories, but no single lawn.
desk-role-may-advisor = May also read and answer cases, and write drafts.
desk-role-may-approver = May also approve and send, draw regions, and adopt what was learned.
desk-role-may-keeper = May also let people in and out, and see who did what.

desk-again-title = One moment
desk-again = Open the page

desk-home-title = What needs a look
desk-home-nothing = Nothing waits for you right now.

desk-sign-in-title = Sign in
desk-sign-in-name = Your name here
desk-sign-in-password = Password
desk-sign-in-press = Sign in
desk-sign-in-wrong = That name and password do not fit. Check both and try again.
desk-sign-in-wait = That was a lot of tries. Wait { $minutes ->
    [one] a minute
   *[other] { $minutes } minutes
}, then try again. A one-time link works at once.
desk-sign-in-lost = No password, or lost it? Ask a keeper for a one-time link.

desk-link-title = Your one-time link
desk-link = Press to sign in. The link works once, so press it on the device you want to use.
desk-link-press = Sign me in

desk-new-link-title = A link for { $name }
desk-new-link = It signs { $name } in once, within 15 minutes. It is shown only here. Pass it on in a way only { $name } can read.
desk-new-link-done = Back to the operators

desk-password-title = My password
desk-password-how = At least { $count } signs. Four words that have nothing to do with each other do well.
desk-password-old = The password you have now
desk-password-new = The new password
desk-password-again = The new password once more
desk-password-press = Keep this password
desk-password-ends = Everywhere else you are signed out.

desk-operators-title = Operators
desk-operators-name = Name
desk-operators-role = Role
desk-operators-change = Change role
desk-operators-link = Make a one-time link
desk-operators-let-go = Let go
desk-operators-let-go-sure = Let { $name } go. They are out at once, and the name stays taken.
desk-operators-for = What to do for { $name }
desk-operators-by-link = signs in by link only
desk-operators-by-password = has a password
desk-operators-add-title = Let somebody in
desk-operators-add = Make the account and a link
desk-operators-gone = Let go
desk-operators-gone-at = { $name }, on { $when }
desk-operators-roles = What the roles may do

desk-deeds-title = Who did what
desk-deeds-none = Nothing has been done yet.
desk-deeds-earlier = Earlier ones
desk-deed-when = When
desk-deed-who = Who
desk-deed-what = What
desk-deed-nobody = Somebody
desk-deed-command-line = The command line

desk-fault-ended = You are not signed in any more, so nothing was done. Sign in and send it again.
desk-fault-cookie = This page needs a cookie to let you in. Please allow it and try once more.
desk-note-out = You are signed out.
desk-note-password-kept = The new password works from now on.
desk-fault-password-differs = The two new ones are not the same. Type both again.
desk-fault-password-unfit = That one is too easy to guess, or too short. Nothing was changed.
desk-fault-password-wrong = The password you have now is a different one. Nothing was changed.
desk-fault-password-wait = That was a lot of tries. Wait two minutes, then try again.
desk-note-role-changed = The role is changed. They need to sign in again.
desk-note-let-go = They are let go, and signed out everywhere.
desk-fault-staff-role = Pick one of the roles first.
desk-fault-staff-name = A name has up to 40 letters, figures, spaces, dots and dashes.
desk-fault-staff-taken = Somebody has or had that name. Take another, so that it stays clear who did what.
desk-fault-staff-nobody = There is nobody like that here any more.
desk-fault-staff-last = That is the only keeper. Make somebody else a keeper first.
desk-fault-staff-same = That is the role they have already.

desk-problem-back = Back to the desk
desk-problem-role-title = Not for your role
desk-problem-role = Your role does not open this page. A keeper can change your role.
desk-problem-bad-title = That did not work
desk-problem-bad = I could not read what was sent. Go back and try once more.
desk-problem-origin-title = Not from this page
desk-problem-origin = That came from another site or from an old page, so nothing was done. Open the page again and send it from there.
desk-problem-link-title = This link does not work any more
desk-problem-link = A link works once, for 15 minutes. Ask a keeper for a new one.
desk-problem-missing-title = Nothing here
desk-problem-missing = There is no page at this address.
desk-problem-too-big-title = That is too big
desk-problem-too-big = So much cannot be taken in at once. Nothing was kept.
desk-problem-busy-title = Too busy just now
desk-problem-busy = I could not write that down. Nothing was kept. Please send it again in a minute.
desk-problem-ours-title = Something broke on our side
desk-problem-ours = It was not your doing. Please try again in a minute. Whoever runs this finds the cause in the log.

desk-tab-alerts = Alerts
desk-alerts-title = Official alerts
desk-alerts-how = A warning of frost or freeze becomes a draft. Nothing goes out until a person approves it.
desk-alerts-now = Just handed in
desk-alerts-none-in-it = There is no alert in that file.
desk-alerts-add = Hand one in
desk-alerts-file = A file: CAP 1.2 (XML), or GeoJSON from the weather service
desk-alerts-press = Read it
desk-alerts-kept = The last ones
desk-alerts-nothing = No alert was handed in yet.
desk-alert-no-area = No area is named in it.
desk-alert-from-to = { $first } to { $last }
desk-alert-from = From { $first }; no end is told.
desk-alert-draft = Advisory { $number }
desk-alert-refused = { $name }: { $why }
desk-note-alert-missing = Choose a file first.
desk-alert-waiting = Kept, and not decided about yet.
desk-alert-drafted = A draft was made.
desk-alert-changed = The draft was changed to fit.
desk-alert-dropped = The draft was dropped.
desk-alert-followed = A follow-up was drafted.
desk-alert-beside = Somebody had changed the draft, so a new one stands beside it.
desk-alert-drill = A drill, or not for the public. Nothing follows.
desk-alert-other-weather = Not about cold. Nothing follows.
desk-alert-over = It is over already. Nothing follows.
desk-alert-old-news = A newer message was here first.
desk-alert-nothing-new = It says nothing new.
desk-alert-still-stands = Called off in part. The rest still stands.
desk-alert-left-alone = An operator had dropped that draft, so it stays dropped.
desk-alert-nowhere = It names no place we know. Write a draft by hand.
desk-alert-refused-draft = No draft could be made of it.
