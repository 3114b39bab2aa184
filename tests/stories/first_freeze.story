# A homeowner who knows the grass, from the greeting to a confirmed plan, with a crash in the middle.
@ 0h
< greeting
? place
> 31522
< said-place
? coldest_on
> Jan 16
? air_min
> 17
? days_cold
!
> 4 days
? snow
> no just cold
? grass
> st augustin
? see
[ blades straw-colored and crisp
< summary-head summary-some summary-all summary-judging
? cultivar
> raleigh
? spots
> front and north side
? site
> none
? site
[ north side or deep shade | low, stays wet
? see_spot
> 2, 3
? mow_height
> 4 inches
? notch
> half
? size
> 40 by 30
< said-area
? bag
> 15-0-15
? bag_slow
!
> 7
< plan-later-head plan-cut-first plan-pot_start not-now-until plan-judging
? time_ok
> yes
? keep_track
[ yes, remind me
< tracked remind-first_photo
> later
? do_when
> tomorrow
< task-moved
@ 23h
< remind-first_photo remind-moved
!
> done
? do_green
> none
< green-none
? do_green
> none
< green-none next-task
