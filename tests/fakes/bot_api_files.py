"""Files that lie at the fake: kept under a number, fetched by a link."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

from tests.fakes.bot_api_faults import Refusal
from tests.fakes.bot_api_http import Json

MOST_DOWNLOAD_BYTES = 20_000_000


@dataclass(slots=True)
class Files:
    """What was sent to the bot or by it. `links` may be cleared: then no old link works any more."""

    contents: dict[str, bytes] = field(default_factory=dict)
    paths: dict[str, str] = field(default_factory=dict)
    sizes: dict[str, int] = field(default_factory=dict)
    links: dict[str, str] = field(default_factory=dict)
    fetched: list[str] = field(default_factory=list)
    _numbers: itertools.count[int] = field(default_factory=lambda: itertools.count(1))

    def keep(self, content: bytes, folder: str, name: str, *, file_size: int | None = None) -> Json:
        """Keep a file; how a message names it. `file_size` may claim another size than it has."""
        number = next(self._numbers)
        file_id = f"AgAC-file-{number}"
        _, dot, ending = name.rpartition(".")
        self.contents[file_id] = content
        self.paths[file_id] = f"{folder}/file_{number}{dot}{ending if dot else ''}"
        self.sizes[file_id] = len(content) if file_size is None else file_size
        return {"file_id": file_id, "file_unique_id": f"unique-{number}", "file_size": self.sizes[file_id]}

    def link(self, file_id: str) -> Json:
        """Make a file fetchable. Raises Refusal."""
        if file_id not in self.contents:
            raise Refusal(400, "Bad Request: wrong file_id or the file is temporarily unavailable")
        if self.sizes[file_id] > MOST_DOWNLOAD_BYTES:
            raise Refusal(400, "Bad Request: file is too big")
        path = self.paths[file_id]
        self.links[path] = file_id
        unique = file_id.replace("AgAC-file-", "unique-")
        return {
            "file_id": file_id, "file_unique_id": unique, "file_size": self.sizes[file_id], "file_path": path,
        }  # fmt: skip

    def fetch(self, path: str) -> bytes:
        """What lies behind a link. Raises Refusal."""
        self.fetched.append(path)
        if path not in self.links:
            raise Refusal(404, "Not Found")
        return self.contents[self.links[path]]
