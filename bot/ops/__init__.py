"""What operators do: regions, advisories, alerts, the desk, cases, and what is learned of what survived."""
