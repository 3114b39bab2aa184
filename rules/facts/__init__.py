"""Every agronomic number of the project, once, as a typed literal with its source in the same object."""
