### Greeting, help, wishes that work at any time, and what is said when words were not clear.

greeting =
    After a hard freeze most lawns look worse than they are. I'll ask up to eight short questions, tell you what probably happened under the brown, and remind you at the right moments until we know.
    You can type "back", "not sure" or "person" at any time.
    .sms =
        After a hard freeze most lawns look worse than they are. I'll ask up to eight short questions, say what likely happened, and remind you until we know.
        Reply BACK, NOT SURE or PERSON any time.
welcome-back = Good to see you again.
welcome-question = We were at question { $step } of about { $steps }.
welcome-open-question = There was one question left.
help =
    You can just answer in your own words. These work any time:
    "back" goes one question back. "change" lists your answers so you can fix one. "why" tells why I ask.
    "plan" shows your plan. "done", "later", "skip" or "problem" answer a reminder.
    "person" passes your question to a person. "new lawn" adds another lawn. "hours" sets when I may write. "metric" switches units.
    "data" gives you what I keep. "forget me" erases it. "stop" ends all messages.
    I give odds, not certainty. I don't replace labels, local rules, a soil test or a licensed person.
    .sms =
        Answer in your own words. Any time: BACK (one question back), CHANGE (fix an answer), WHY, PLAN, PERSON (ask a person). Also NEW LAWN, MOVE (to another phone), HOURS (when I text), METRIC, DATA (what I keep), FORGET ME (erase it), STOP (end it).
        To a reminder: DONE, LATER, SKIP or PROBLEM.
        I give odds, not certainty. Labels, local rules and licensed people come first.

emergency-poison =
    First things first: call Poison Control now, 1-800-222-1222 in the US. It is free, day and night. If somebody is not breathing, has passed out or has a seizure, call 911. Keep the bag or bottle at hand. In an eye or on skin: rinse with clean water for 15 minutes.
    For a pet, call your vet or an emergency vet right away.
    .sms =
        Call Poison Control now: 1-800-222-1222 (US, free, day and night). Not breathing, passed out or a seizure: call 911. Keep the bag or bottle. In an eye or on skin: rinse with clean water for 15 minutes.
        For a pet, call your vet or an emergency vet now.
emergency-gas =
    Leave the area now and take everyone with you. Don't use switches, phones or engines near the smell. From a safe distance call 911 and the gas company. I'll be here later.
emergency-wires =
    Stay well away, at least 35 feet, and keep others away. Don't touch anything the wire touches. Call 911 and the power company. I'll be here later.
emergency-injury =
    Call 911 for a bad cut, a lot of blood, or a foreign body in the eye. Turn the mower off and press a clean cloth on the wound. I'll be here later.
emergency-medical =
    Call 911 now and do what they say. Stay with the person. Don't give food or drink. If there is an allergy pen, use it.
    For a snake bite: keep still, and stay away from the snake. Don't cut or suck the bite. No ice and no tight band.
    For a pet, call an emergency vet. I'll be here later.
    .sms =
        Call 911 now and do what they say. Stay with the person. No food or drink. If there is an allergy pen, use it.
        Snake bite: keep still, stay away from the snake. Don't cut or suck it. No ice, no tight band.
        For a pet, call an emergency vet.
emergency-crisis =
    I'm glad you told me. I only know lawns, but you matter, and there are people for this right now. In the US, call or text 988, day or night. If you are in danger or have taken something, call 911. Elsewhere, call your local emergency number. If you can, tell somebody near you. The lawn can wait.
    .sms = I'm glad you told me. You matter, and there are people for this right now. In the US, call or text 988, day or night. If you are in danger or have taken something, call 911. Elsewhere, call your local emergency number. If you can, tell somebody near you. The lawn can wait.
emergency-carbon_monoxide =
    Get everyone out into fresh air now, then call 911. Never run an engine, grill or generator inside or near a door. I'll be here later.

stopped = I've stopped. You get no more messages from me. Type "start" if you ever want me back, or "forget me" to erase what I keep.
    .sms = I've stopped. You get no more messages from me. Reply START to begin again. To erase what I keep, reply START, then FORGET ME.
stopped-still = I'm quiet, as you asked. Type "start" and we go on where we were.
    .sms = I'm quiet, as you asked. Reply START to go on.
ask-do_stop = I've paused. Do you want me to stop writing for good?
help-do_stop = Yes: no more messages. No: we go on as before.
why-do_stop = What you wrote could mean both, so I ask once. If you don't answer, I stay quiet.
do_stop-yes = yes, stop
    .said = yes
    .sms = yes
do_stop-no = no, go on
    .said = no
    .sms = no
stop-not-meant = All right, we go on as before.

back-first = This is the first question, so there is nothing to go back to.
back-done = One step back.
ask-do_start_over = Start this lawn over? Your answers and its plan will be erased.
help-do_start_over = Yes erases this lawn's answers and plan. No keeps them.
why-do_start_over = Because it can't be undone.
do_start_over-yes = yes, start over
    .said = yes
    .sms = yes
do_start_over-no = no, keep it
    .said = no
    .sms = no
start-over-kept = Nothing was changed.
start-over-done = We start fresh.

ask-do_which = Which answer shall we change?
help-do_which = Pick one, or type the number of its line.
    .sms = Type its number.
why-do_which = Any answer can be changed. The rest stays, and I work the plan out again.
change-line = { $name }: { $words }
    .sms = { $name }
change-none = There is no answer yet to change.
change-kept = Fine, it stays as it is.
change-nothing = That changes nothing in the odds or the plan.
change-odds = For { $where }: I said { $old } may be lost. Now I'd say { $new }.
    .sms = For { $where }: I said { $old } may be lost. Now { $new }.
change-new-spot = I now judge { $where } by itself. Of its runners I'd expect to lose { $share }.
    .sms = I now judge { $where } by itself: I'd expect to lose { $share }.
change-judging = The judging day moves from { $old } to { $new }.
change-task-new = New in the plan: { $what }, { $day }.
    .sms = New: { $what }, { $day }.
change-task-moved = Moved: { $what }, from { $old } to { $new }.
    .sms = Moved: { $what }, { $old } to { $new }.
change-task-numbers = With that, the amounts are:
change-task-gone = No longer in the plan: { $what }.
    .sms = Dropped: { $what }.
button-answered = You already answered that ({ $name }).
ask-do_change_it = Do you want to change that answer?
help-do_change_it = Yes asks it again. No keeps it.
why-do_change_it = You pressed a button of an earlier question.
do_change_it-yes = yes, change it
    .said = yes
    .sms = yes
do_change_it-no = no, keep it
    .said = no
    .sms = no
button-passed = That button belongs to something earlier. No harm done.
button-unknown = I don't know that button any more. No harm done.

ask-do_note = What shall I pass on? Write it in your own words.
help-do_note = Just write the question. One message is enough.
why-do_note = So that the person knows what you need.
ask-do_person = I don't follow. Shall I pass your words to a person?
help-do_person = Yes passes them on. No and we go on.
why-do_person = I'd rather ask somebody than guess.
do_person-yes = yes, pass it on
    .said = yes
    .sms = yes
do_person-no = no, go on
    .said = no
    .sms = no
person-passed-on =
    I've written that down for the advisor who runs this service. I can't promise when someone looks. Your county extension office answers lawn questions for free, and it is a good place to ask right now.
    .sms = I've written that down for the advisor who runs this. I can't promise when someone looks. Your county extension office answers lawn questions for free.
person-contact = You can also reach them yourself: { $line }
    .sms = You can also reach them: { $line }
person-not-needed = Fine, we go on.

units-metric = I'll use Celsius, centimeters and square meters from now on.
units-us = I'll use Fahrenheit, inches and square feet from now on.
ask-do_hours = When may I write to you?
help-do_hours = Pick a part of the day, or type hours like "from 10 to 6".
    .sms = Or type hours like "from 10 to 6".
why-do_hours = I only write in these hours, never before 8 in the morning or after 9 at night.
do_hours-morning = mornings, 9 to noon
    .said = morning | mornings
    .sms = mornings (9-12)
do_hours-midday = midday, 11 to 3
    .said = midday | noon | afternoon
    .sms = midday (11-3)
do_hours-evening = early evening, 5 to 8
    .said = evening | evenings | night
    .sms = evenings (5-8)
hours-set = I'll write only between { $first } and { $last } your time.
    .sms = I'll text only between { $first } and { $last } your time.

data-offer = Here is a copy of everything I keep about you. It is yours.
    .sms = A copy of what I keep about you does not fit in a text. Send MOVE for a code. Send me that code in another chat of mine, like the web page, and ask for DATA there.
ask-do_forget = Erase everything I keep about you: answers, photos, plan? This can't be undone.
    .sms = Erase everything I keep: answers, photos, plan? This can't be undone.
help-do_forget = Yes erases all of it now. No keeps it.
why-do_forget = Because it can't be undone.
do_forget-yes = yes, erase it all
    .said = yes
    .sms = yes
do_forget-no = no, keep it
    .said = no
    .sms = no
forget-kept = Nothing was erased.
forget-done = Done. Everything about you is being erased now. I wish your lawn well.

new-lawn = This is lawn { $n }. Tell me about it.
new-lawn-same-town = This is lawn { $n }. I took the place and the cold from your first lawn. Type "change" if that's wrong.
    .sms = This is lawn { $n }. I took place and cold from your first lawn. Reply CHANGE if that's wrong.
lawns-one = You have one lawn with me. Type "new lawn" to add another.
    .sms = You have one lawn with me. Reply NEW LAWN to add another.
ask-do_lawn = Which lawn?
help-do_lawn = Pick one, or type its number.
why-do_lawn = You have more than one lawn with me.
lawn-switched = Now it's about { $place }.
    .sms = Now it's about { $place }.

need-answer = I need a plain answer here.
not-understood = I didn't get that. Type "help" to see what you can say, or "person" to ask a person.
    .sms = I didn't get that. Reply MENU to see what you can say, or PERSON.
unclear-choices = One of these fits best? If not, say "not sure".
    .sms = Please type it another way, or reply NOT SURE.
unclear-empty = I got an empty message.
unclear-no_number = I was looking for a number there.
unclear-several_numbers = I found more than one number there.
unclear-negative = That can't be below zero.
unclear-negative-range = It has to be between { $low } and { $high }.
unclear-zero = That can't be zero.
unclear-zero-range = It has to be between { $low } and { $high }.
unclear-too_small = That seems too small.
unclear-too_small-range = That seems too small. I can work with { $low } to { $high }.
unclear-too_big = That seems too big.
unclear-too_big-range = That seems too big. I can work with { $low } to { $high }.
unclear-which_way = Was it colder or milder than that?
unclear-far_off = That is far from what the station read. I mean the same night, outdoors.
unclear-colder_than_what = Colder or milder than what? I need the temperature itself.
unclear-not_freezing = That is not freezing cold. I mean the coldest it got that night.
unclear-setting = The notch number differs from mower to mower.
unclear-one_side = I need two sides for an area.
unclear-three_sides = I need just two sides for each part.
unclear-needs_total = How many did you count in all?
unclear-alive_over_total = That is more than there are in all.
unclear-not_a_date = I don't see a day there.
unclear-long_ago = That is too long ago for this winter.
unclear-summer = That was in summer. I mean the freeze that hurt the lawn.
unclear-kills_weeds = That bag kills weeds too. Leave it in the shed this spring: it hurts a lawn that has to root again. If you have a plain one, type its numbers. If not, skip.
    .sms = That bag kills weeds too. Leave it in the shed this spring: it hurts a lawn that has to root again. Type the numbers of a plain one, or SKIP.
unclear-wind_chill = Wind chill is what skin feels. I need the temperature of the air itself.
unclear-future = That day is still to come. I mean the freeze that was.
unclear-past = That day has passed.
unclear-too_far = That is too far ahead.
unclear-three_numbers = I need the three numbers on the bag.
unclear-analysis_zero = A 0-0-0 bag feeds nothing, so it can't be that.
unclear-analysis_over_100 = The three numbers can't add up to more than 100.
unclear-slow_over_total = The slow part can't be more than all of the nitrogen.
unclear-which = I didn't catch which one you mean.
unclear-two_near = That could mean more than one.
unclear-no_name = I don't find that.
unclear-too_many = That is more than I can handle.
unclear-too_long = That is too long for me.

photo-refused-too_big = That picture is too big for me. Send a smaller one, please.
photo-refused-not_a_picture = I can't open that as a picture. Please send a plain photo, such as a JPEG.
photo-refused-broken = Only part of that picture arrived. Please send it again.
photo-refused-too_small = That picture is too small to see the grass. Please send the full picture.
photo-refused-busy = I have a lot of pictures to open just now. Please try again in a minute.
photo-kept-first = I've kept the photo of { $where }. Next time stand at the same place, hold the camera the same way, and take it about the same time of day.
    .sms = I've kept the photo of { $where }. Next time: same place, same way, about the same time of day.
photo-kept-pair = I've kept the photo of { $where }. Here is the first one beside it.
    .sms = I've kept the photo of { $where }.
ask-do_spot = Which part does { $which } show?
help-do_spot = Pick the part of the lawn.
why-do_spot = Each part has its own row of pictures.
shared-nowhere = I don't know that place. It has to be in the US.

said-place = { $place }. Got it.
    .sms = { $place }.
said-temperature = { $value }. Got it.
said-day = { $value }. Got it.
said-length = { $value }. Got it.
said-area = That makes { $value }.
said-bag = { $value }. Got it.
said-slow = So { $percent } % of its nitrogen is slow-release. Got it.
said-grass = Got it, { $value }.

broke = Something broke on my side, and it wasn't your doing. Your answers are safe. Please send that again in a minute.

cause-fuel_spill = Spilled fuel or oil kills grass in spots whatever the weather was. That soil often has to come out.
cause-insects = Grubs and other insects can brown a lawn too. Grass eaten at the root lifts like a carpet. Frozen grass stays anchored at first.
    .sms = Grubs and other insects can brown a lawn too. Grass eaten at the root lifts like a carpet. Frozen grass stays put at first.
cause-animal = Animals that dig leave holes and mounds. That is not the frost.
cause-dog_urine = Small round dead spots with a dark green rim are often dog urine, not frost.
cause-herbicide = Weed killer can brown a lawn in stripes or where it drifted. That is not the frost.
cause-fertilizer_burn = Too much fertilizer burns grass, often in stripes. Water helps, and no more of it.
cause-disease = Rings or patches that grow are more likely a disease than frost. Frost damage does not spread.
cause-drought = A dry winter kills much like frost does, and the two are hard to tell apart. The tests of life work for both.
cause-scalped = Grass cut down to the stems looks dead for weeks. That alone is not frost.
cause-salt = Salt burns grass along roads and drives, whatever the frost did.
cause-traffic = Tires and feet on frozen grass leave brown tracks. Most of those grow out.
cause-flooding = Standing water can kill grass where it stood, frost or not.
cause-more = I only judge what the freeze did. For the rest your county extension office is the place to ask, and it is free.
    .sms = I only judge the freeze. Your county extension office helps with the rest, for free.

### What people say besides answers.

chat-thanks = You're welcome.
chat-hello = Hello!
chat-ok = Good.
chat-first-answers = I'll come to that. A few answers first, then I can say it for your lawn.
chat-not-before = Not before { $day }: { $thing }.
chat-may = By the date that may be done now, by the label and local rules: { $thing }. Only where the grass is green and growing.
    .sms = By its date that may be done now, by the label and local rules: { $thing }. Only on green, growing grass.
chat-cold-told = I have no weather measured near you, so I go by what you told me: air down to { $air }.
chat-judging-passed = By its date it can be judged now. What is still bare may not come back.
    .sms = By its date it can be judged now. What is still bare may not come back.
chat-mow = The next cut is { $day }. Until then leave it.
chat-mow-none = I have no cut planned. Once it grows, mow at your usual height, and never take more than a third.
chat-water = Next is { $day }, and only if it stays dry. Local watering rules come first.
chat-water-none = Only where it stays dry and the grass grows: deep and seldom, early in the morning. Local watering rules come first.
chat-scalp = Please don't. Cut to the stems, a hurt lawn loses what it would grow back from.
chat-photo = Yes, any time. Send it here, from the same place each time.
chat-fed = Then no more for now. Tell me how much of which bag, like "10 lb of 16-4-8", and I'll say what it means.
    .sms = Then no more for now. Tell me how much of which bag, like 10 lb of 16-4-8, and I'll say what it means.
never-mind = Fine, we leave that.
key-result = What you tell fits { $grass } best.
key-result-open = That fits several grasses: { $grasses }. I keep to what is safe for all of them.
said-part = One thing at a time: I took the place, and ask for the rest.
photo-joined = The next photo is due { $day } anyway, so that one will do.

# What people who answer for the region send. The words are theirs.
advisory = { $words }
person-said =
    { $name } writes:

    { $words }
person-came = { $name } is here now and will answer you in this chat. I stay quiet and keep what you write. Type "bot" to have me back.
    .sms = { $name } is here now and will answer you. I stay quiet and keep what you write. Type BOT to have me back.
person-holds = { $name } answers you here. Type "bot" to have me back.
    .sms = { $name } answers you here. Type BOT to have me back.
person-left = { $name } has left the talk to me again.
person-bot-back = I'm back. A person can still write to you here.
person-silent = { $name } has not written for a day, so I'm back.
person-silent-passed = What you wrote is passed on again, and a person can still answer it.
