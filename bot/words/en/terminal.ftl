### The terminal's own lines, and the command line.
terminal-pick-one = Type a number, or say it in your own words.
terminal-pick-several = Type the numbers that fit, like "1, 3", or say it in your own words.
terminal-say-it = Type it in your own words.
terminal-hello = This is Afterfrost in your terminal. Everything stays on this machine. Leave with Ctrl-D.
terminal-photo-help = Send a photo with: /photo and its file name.
terminal-photo-missing = I can't find a file by that name.
terminal-bye = Your place is kept. Start again any time and we go on from here.
terminal-prompt = you>
rehearse-head = A rehearsal. Everything here is made up: the Tarrow coast, its people and their lawns. On { $day } the air fell into the teens for some days. What follows is what the bot says and asks until summer.
rehearse-lawn = { $name }: { $lawn }
rehearse-end = How it ended for { $name }: { $fate }. { $done } of { $all } tasks were done.
tray-empty = Nobody is waiting for a person.
tray-line = { $id }. { $day }, lawn { $lawn }: { $question }
