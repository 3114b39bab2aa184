### Photo check-ins: what was measured, what it means, and the one thing to do next.

ask-do_photo_weeds = Is some of the green in that photo of { $where } weeds?
    .sms = Is some of the green in that photo of { $where } weeds?
help-do_photo_weeds = Weeds look different: other leaf shape, other color, or they flower. A rough guess is fine.
    .sms = Weeds have another leaf shape or color, or they flower. A guess is fine.
why-do_photo_weeds = To a camera, green is green. Only the grass counts, so I ask before I say a number.
    .sms = To a camera, green is green. Only the grass counts.
do_photo_weeds-none = no, it's all grass
    .said = no | none | all grass | just grass | no weeds
    .sms = no
do_photo_weeds-some = yes, some of it
    .said = some | yes | a little | a few weeds | half
    .sms = some
do_photo_weeds-most = yes, most of it
    .said = most | mostly | nearly all | all weeds
    .sms = most

photo-which = the photo
photo-which-today = the photo you sent at { $time }
photo-which-day = the photo of { $day }
photo-which-of_several-today = { $n ->
    [1] your first photo
    [2] your second photo
    [3] your third photo
   *[other] your photo number { $n }
 } (sent at { $time })
photo-which-of_several-day = { $n ->
    [1] your first photo
    [2] your second photo
    [3] your third photo
   *[other] your photo number { $n }
 } (of { $day })

photo-green = On that photo, about { $now }% of { $where } is green (likely { $low } to { $high }%).
    .sms = About { $now }% of { $where } is green (likely { $low } to { $high }%).
photo-green-range = On that photo, between { $low } and { $high }% of { $where } is green. Straw and grass look much alike in this light, so I can't say it closer.
    .sms = Between { $low } and { $high }% of { $where } is green.
photo-green-none = On that photo I see no green in { $where } to speak of.
    .sms = I see hardly any green in { $where }.
photo-weeds-some = Some of that is weeds, so I count only part of it as grass.
    .sms = Weeds in it, so I count only part as grass.
photo-weeds-most = Most of that is weeds, so I count little of it as grass.
    .sms = Mostly weeds, so I count little of it as grass.
photo-weeds-not_sure = There may be weeds in it, so I count it with care.
    .sms = There may be weeds in it.
photo-up = That is clearly more than the { $before }% of { $day }.
    .sms = Up from { $before }% on { $day }.
photo-down = That is clearly less than the { $before }% of { $day }.
    .sms = Down from { $before }% on { $day }.

photo-state-cold = Nothing grows while the ground is cold. This photo is what the next ones are compared with.
    .sms = Nothing grows in cold ground yet. This is what the next photos are compared with.
photo-state-too_early = It's too early to tell from photos. That is normal.
    .sms = Too early to tell from photos. That is normal.
photo-state-recovering = It is growing back. If it goes on like this, likely { $low } to { $high }% will be green after four more warm weeks.
    .sms = It is growing back: likely { $low } to { $high }% green after four more warm weeks.
photo-state-recovered = Most of it is green again. It came back.
    .sms = Most of it is green again.
photo-state-stalled = There is green, but it has hardly grown in these warm weeks.
    .sms = There is green, but it has hardly grown.
photo-state-no_regrowth_seen = I see no regrowth yet. That does not mean it is dead: some lawns start weeks late.
    .sms = No regrowth seen yet. That does not mean dead: some lawns start late.
photo-state-likely_dead = Nothing has grown here in all these warm weeks. The odds are against it now.
    .sms = Nothing has grown in all these warm weeks. The odds are against it.

photo-state-still_bare = I still see no regrowth there.
    .sms = Still no regrowth there.
photo-state-still_thin = There is a little green, and it hardly grows.
    .sms = A little green, hardly growing.
photo-kept-unplaced = I've kept it to look back on. Next time tell me which part it shows, so I can compare.
    .sms = I've kept it. Next time tell me which part it shows, so I can compare.

photo-next-no_regrowth_seen = Next: look at a few runners there. Firm and white or green inside means alive. A pot test tells more. Type "plan" to see both.
    .sms = Next: look at a few runners. Firm and white or green inside means alive. PLAN shows the pot test.
photo-next-stalled = Next: look at it up close. Is it dry, shaded, walked on, or has it spots? If you can't tell, type "person".
    .sms = Next: look close. Dry, shaded, walked on, spots? Not sure: send PERSON.
photo-next-recovered = No more photos of it are needed, unless something changes.
    .sms = No more photos needed, unless something changes.
photo-next-week = Next: one more photo in a week, from the same place and height.
    .sms = Next: one more photo in a week, same place and height.
photo-next-spot = One more: a photo of { $where } today would complete the picture.
    .sms = One more today: a photo of { $where }.

photo-same = That is the picture of { $where } I already have from { $day }. If you took a new one today, please send that.
    .sms = I already have that picture of { $where }, from { $day }. Took a new one? Send that.
photo-kept-unread = I've kept it to look back on, but I can't measure it.
    .sms = I've kept it, but can't measure it.
photo-in-words = Photos don't seem to work out today. Two short questions will do instead.
    .sms = Two short questions will do instead.
moved-photos = { $n ->
    [one] one photo
   *[other] { $n } photos over time
 }
