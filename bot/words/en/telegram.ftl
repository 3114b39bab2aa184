### What the Telegram channel says by itself, outside the conversation.
telegram-no-voice = I can't listen to sound. Please type it in a few words.
telegram-no-video = I can't watch videos. A photo works, or a few words.
telegram-no-sticker = Nice one! I can only read words, though. Please type your answer, or press a button.
telegram-no-other = I can't use that here. Please type it in a few words, or press a button.
telegram-no-file = I can only open pictures. Please send it as a photo, or tell me in a few words.
telegram-edited = I saw that you changed a message. I go by what I read first. If the change matters, please send it again as a new message.
telegram-only-private = I only talk about one lawn at a time, in a private chat. Please open a chat with me there.
telegram-pick-several = If just one fits, press its number. If more fit, type the numbers, like "1 3". You can also use your own words.
telegram-menu-plan = Show my plan
telegram-menu-change = Change an answer
telegram-menu-why = Why you think so
telegram-menu-person = Ask a person
telegram-menu-help = What I can say
telegram-menu-data = A copy of my data
telegram-menu-stop = No more messages
