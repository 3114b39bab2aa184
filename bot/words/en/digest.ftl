# The weekly digest for operators.
digest-head = The week of { $first } to { $last }.
digest-moved =
    { $newcomers ->
        [one] 1 new homeowner
       *[other] { $newcomers } new homeowners
    }, { $heard } wrote.
digest-stages = Lawns by how far along they are: { $stages }.
digest-stage = { $stage } { $count }{ $change }
digest-stage-asking = still being asked
digest-stage-planned = plan ready
digest-stage-waiting = waiting for spring
digest-stage-judging = being judged
digest-stage-judged = judged
digest-stage-repairing = under repair
digest-stage-resting = at rest
digest-stage-handed_over = with a person
digest-no-lawns = No lawn has been told about yet.
digest-questions =
    { $count ->
        [one] 1 question waits for you
       *[other] { $count } questions wait for you
    }, the oldest for { $days ->
        [one] 1 day
       *[other] { $days } days
    }.
digest-answered = Answered by you this week: { $count }.
digest-silent = Silent for two weeks although something is open: { $count }.
digest-failed = Messages I could not handle: { $count }.
digest-parked = Messages given up on: { $count }.
digest-unreachable = Addresses that cannot be reached: { $count }.
digest-nobody-stuck = Nobody is stuck.
digest-due = Next seven days: { $tasks }.
digest-task = { $count } × { $task }
    .sms = { $count } x { $task }
digest-nothing-due = Nothing is due in the next seven days.
digest-advised = Advisory messages sent: { $count }.
digest-desk = Look closer at { $address }
