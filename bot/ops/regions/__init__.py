"""Where advisories go: shapes on the ground, who is meant, and which homes that are."""
