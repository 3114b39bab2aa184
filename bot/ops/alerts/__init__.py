"""Official alerts: read from files and addresses, told apart, kept once, and made into drafts. Nothing is sent here."""
