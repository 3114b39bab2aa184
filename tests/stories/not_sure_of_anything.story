# Somebody who knows nothing still gets the most careful plan.
@ 0h
? place
> not sure
? state
> Georgia
< said-place
? coldest_on
> no idea
? air_min
> I don't know
? days_cold
> ?
< help
? days_cold
> not sure
? snow
> not sure
? grass
> not sure
? key_runners
> not sure
< summary-head summary-grass-guess summary-judging
? key_width
> not sure
? see
> not sure
? key_tip
> round
? key_feel
> skip
? spots
> not sure
? site
> not sure
? mow_height
> not sure
? size
> skip
? time_ok
> yes
? keep_track
> no
< not-tracked
> plan
< plan-later-head plan-judging
