# Weeks later: the cut, a frost after it, brown stems, the feeding check, and a doubtful spot that returns.
@ 0h
> 31522
> Jan 16
> 17
> 3
> no
> raleigh
> 1 and 4
> all alike
> none
> 4
> half
> 1200
> skip
> yes
> yes
< tracked
> skip
< task-skipped
@ 60d
> skip
@ 2d
@ 1d
@ 5d
@ 1d
> problem
? do_problem
> it froze again
< problem-frost-again
!
> my dog ate the fertilizer
< emergency-poison
> person
? do_note
> Is a late frost bad for new shoots?
< person-passed-on
