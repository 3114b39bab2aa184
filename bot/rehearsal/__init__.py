"""A whole invented season against a simulated clock: the same service, store and courier, in seconds."""
