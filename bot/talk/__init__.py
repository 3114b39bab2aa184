"""The conversation as data: (homeowner, what came in, now, what is known) -> (homeowner, what to say).

Pure: no clock, no storage, no channel, no words. See `reducer.py` for the rules it keeps.
"""
