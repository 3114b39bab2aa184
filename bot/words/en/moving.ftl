### Going on in another chat: the code for it, and what is said in either chat.

move-code =
    In the other chat, send me this: MOVE { $code }
    It works once, for 30 minutes. Don't share it. Whoever sends it to me sees your lawn and gets your messages.
    .sms =
        In the other chat, send me: MOVE { $code }
        It works once, for 30 minutes. Don't share it: whoever sends it gets your lawn chat.
move-nothing = There is no lawn to move in this chat yet. Type "move" in the chat that has your lawn, and I'll give you a code to send me here.
    .sms = There is no lawn to move in this chat yet. Send MOVE from the chat that has your lawn, and you get a code to send here.
move-done = Got it. I have your lawn here now.
move-told = Your lawn chat moved. You can still use this one too. If that was not you, reply here with NOT ME.
    .sms = Your lawn chat moved. This one still works too. If that was not you, reply here with NOT ME.
move-undone = Good that you told me. The other chat is cut off, and its code is dead. Your lawn is safe here.
    .sms = Good that you told me. The other chat is cut off. Your lawn is safe here.
move-unknown = I don't know that code. It may be old. Ask for a new one in your first chat with MOVE.
move-often = That was too many wrong codes. Please try again in an hour.
move-here = You are already here. Send that code in the other chat, the one you want to move to.
    .sms = You are already here. Send that code from the other phone or chat, the one you want to move to.
move-taken = This chat already has a lawn of its own, and I can't join the two. You can keep both chats. Or send FORGET ME here first, then the code again.
    .sms = This chat already has its own lawn, and I can't join the two. Keep both, or send FORGET ME here first, then the code again.
