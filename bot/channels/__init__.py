"""Adapters to the places where people write. Each translates and decides nothing; none imports another."""
