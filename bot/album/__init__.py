"""The album of a season for its owner: each spot's photos, what was said of them, and the plan; to keep or to share."""
