"""The web page: a day-book in the browser, with and without scripts."""

from bot.channels.web.push import WebChannel
from bot.channels.web.server import serve

__all__ = ["WebChannel", "serve"]
