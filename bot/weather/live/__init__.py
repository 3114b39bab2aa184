"""Weather from services on the net. `port.py` says what one is, `services.py` puts them together.

Nothing here is needed to read weather files, so nothing outside imports it unless somebody asks for live weather.
"""
