"""Errors of the shell, split by what the caller must do. A homeowner's odd input is never an error."""

from __future__ import annotations


class AfterfrostError(Exception):
    """Base of all errors meant for whoever runs Afterfrost. The message says what to do next."""


class SettingsError(AfterfrostError):
    """A setting is missing or cannot be used; the message names it and what it should hold."""


class StoreError(AfterfrostError):
    """The data folder or database cannot be used."""


class ChannelError(AfterfrostError):
    """Base of what a channel can answer to a send."""


class TryAgain(ChannelError):
    """The far side is busy or broken for the moment; send the same message after `after_seconds`."""

    def __init__(self, message: str, after_seconds: float) -> None:
        super().__init__(message)
        self.after_seconds = after_seconds


class Unreachable(ChannelError):
    """This recipient cannot be reached any more (blocked, gone). Stop sending; tell the operator."""


class Rejected(ChannelError):
    """The far side says our message is wrong. Ours to fix: keep it, stop retrying, raise the alarm."""


class SlowDown(ChannelError):
    """The far side asks for a pause of the whole channel: nothing may be sent for `after_seconds`."""

    def __init__(self, message: str, after_seconds: float) -> None:
        super().__init__(message)
        self.after_seconds = after_seconds


class Uncertain(ChannelError):
    """No answer came back in time: the far side may have the message or not."""


class Moved(ChannelError):
    """The recipient lives at another address of the same channel now."""

    def __init__(self, message: str, address: str) -> None:
        super().__init__(message)
        self.address = address


class ChannelClosed(ChannelError):
    """The far side no longer lets us in (a wrong or withdrawn key). Nothing goes out until a person has seen to it."""
