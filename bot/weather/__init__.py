"""Weather files of several kinds, read into the pure weather of `rules.weather`. Files only; nothing here goes out.

Imports nothing, so that what is light in here stays light to import.
"""
