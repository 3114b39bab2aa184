"""Text messages: what fits into one, numbers, consent, and the two ways to a gateway (HTTP and SMPP 3.4)."""
