"""The agronomy of Afterfrost: numbers in, numbers out.

Nothing in this package reads a clock, a file or the network, and nothing imports `bot`. Every figure stands once in
`rules/facts/`, in one object with its source. Start with `plan.py` (what an owner is told to do and when) and
`survival.py` (what the cold probably did).
"""
