"""The process in which pictures are opened: one question after the other over the socket it got as standard input.

It is started by its path, with so much memory, and so much time on the processor for each picture; whoever started it
kills it when it takes too long. It writes no files. It yields to the service whenever both want the processor.
"""

from __future__ import annotations

import os
import resource
import socket
import sys
from importlib import import_module
from pathlib import Path

MEMORY_BYTES = 768 * 1024 * 1024
PROCESSOR_SECONDS = 8
YIELDING = 5  # niceness


def main() -> None:
    """Answer until nobody asks any more."""
    sys.path.insert(0, str(Path(__file__).parents[2]))  # started without any path of ours
    from bot.photos import wire
    from bot.photos.opening import open_photo

    _load_ahead()
    _confine()
    with socket.socket(fileno=sys.stdin.fileno()) as line:
        line.sendall(wire.ready())
        while (asked := wire.received(line)) is not None:
            _allow_time()
            wanted, content = wire.read_question(*asked)
            line.sendall(wire.answer(open_photo(content, wanted)))
            del asked, content  # nothing is kept while waiting


def _load_ahead() -> None:
    """What every picture needs, before memory and files are shut off."""
    for name in ("PIL.ImageCms", "PIL.JpegImagePlugin", "PIL.PngImagePlugin", "PIL.WebPImagePlugin", "rules.cover"):
        import_module(name)


def _confine() -> None:
    os.nice(YIELDING)
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))


def _allow_time() -> None:
    used = resource.getrusage(resource.RUSAGE_SELF)
    until = int(used.ru_utime + used.ru_stime) + PROCESSOR_SECONDS + 1
    resource.setrlimit(resource.RLIMIT_CPU, (until, resource.RLIM_INFINITY))


if __name__ == "__main__":
    main()
