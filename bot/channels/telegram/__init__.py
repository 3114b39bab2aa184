"""Telegram: messages out through a thin client, updates in through a loop or a webhook of our own."""
