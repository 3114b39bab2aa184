"""What operators say of their regions: local codes on feeding and watering, dates, the freeze, whom to ask, a note."""
