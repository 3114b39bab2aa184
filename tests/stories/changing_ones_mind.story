# Answers can be changed at any time; the difference is told and the plan moves.
@ 0h
> 31522
> Jan 16
> 25
> a week
> no
> bermuda
> 1
< summary-head
> tifway
> all alike
> none
> 2
> quarter
> 60x80
> skip
> yes
> yes
< tracked
> change
? do_which
> 3
? air_min
> 5 F
< change-odds
> back
? air_min
> 5 F
> forget me
? do_forget
> no
< forget-kept
> metric
< units-metric
> plan
< plan-later-head
> we have got to stop this
? do_stop
> no
< stop-not-meant
> please stop texting me
< stopped
@ 60d
> start
< welcome-back
