"""Photos as they come in: opened safely, or refused with a reason that names one fixable thing."""
