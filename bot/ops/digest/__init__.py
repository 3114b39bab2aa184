"""The weekly digest for operators: what moved, who is stuck, what is due."""
