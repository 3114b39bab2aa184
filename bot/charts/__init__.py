"""Pictures drawn from plain numbers. Words arrive as finished strings; `wording.py` makes them from the catalogues."""
