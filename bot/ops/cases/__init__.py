"""The cases a person steps into: what waits, one case at a glance, and what may be done about it."""
