### The words of the SMS channel itself, outside the conversation, and the frames of its short messages. All of it in
### plain letters of the GSM alphabet. An entry elsewhere may carry `.sms`: its wording for SMS.

sms-ask-consent = Afterfrost lawn help: reply YES for help and reminders. Message frequency varies (up to 1 a day). Message and data rates may apply. HELP for help, STOP to stop.
sms-consent-given = Welcome to Afterfrost lawn help. Reply STOP at any time to stop, HELP for help. Message and data rates may apply.
sms-welcome-back = Welcome back to Afterfrost lawn help. You get texts again, up to 1 reminder a day. Reply STOP to stop, HELP for help.
sms-help = Afterfrost lawn help: what to do after a hard freeze, and reminders. Message frequency varies (up to 1 a day). Message and data rates may apply. Reply MENU to see what you can say, STOP to stop. Contact: { $contact }
sms-stopped = Afterfrost lawn help: you are stopped. No more texts will come. Reply START to begin again.
sms-stopped-still = You are stopped, so no texts come. Reply START to begin again.
sms-more-hint = Reply MORE for the rest.
sms-nothing-more = There is nothing more to that.
sms-no-picture = I could not get that picture. Please send it again, or answer in words.

## Frames around the choices of a question.
sms-progress = { $step }/{ $steps }
sms-choice = { $n } { $label }
sms-choices = Reply { $list }.
sms-choices-lines = Reply a number:
sms-choices-several = Reply all that fit, like 1,3:
sms-choices-words = Or reply { $list }.
