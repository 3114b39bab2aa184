"""The web page: a day-book in the browser, with and without scripts."""

from bot.channels.web.app import web_app
from bot.channels.web.push import WebChannel
from bot.channels.web.server import serve

__all__ = ["WebChannel", "serve", "web_app"]
