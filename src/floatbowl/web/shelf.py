"""The shelf of unchanging files: style, script, fonts. Read once, named by what is in them, kept for good.

Every file's address holds a mark made from the whole shelf (``/static/3f2a.../style.css``), so
that files may name each other as neighbours and a browser never asks for one twice.
"""

from __future__ import annotations

import gzip
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import resources
from importlib.resources.abc import Traversable

from starlette.requests import Request
from starlette.responses import Response

from floatbowl.draw import palette, style

KINDS = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".woff2": "font/woff2",
}
_PACKED = (".css", ".js", ".svg", ".txt")
"""What gets smaller; fonts are packed already."""
_FOR_GOOD = "public, max-age=31536000, immutable"


@dataclass(frozen=True, slots=True)
class Kept:
    """One file on the shelf, as it is and packed."""

    kind: str
    plain: bytes
    packed: bytes | None


class Shelf:
    """All unchanging files, with the mark that stands in their addresses."""

    def __init__(self, files: dict[str, bytes]) -> None:
        """Take the files by their paths below the shelf."""
        self._files = {name: _kept(name, data) for name, data in files.items()}
        whole = hashlib.sha256()
        for name, data in sorted(files.items()):
            whole.update(f"{name} {len(data)} ".encode() + data)
        self.mark = whole.hexdigest()[:12]

    def address(self, name: str) -> str:
        """Give the address of a file; raises ``KeyError`` when there is none of that name."""
        _ = self._files[name]
        return f"/static/{self.mark}/{name}"

    def hand_out(self, request: Request) -> Response:
        """Answer a request below ``/static/``; an address with an old mark gets today's file, not kept."""
        mark, _, name = request.path_params["path"].partition("/")
        kept = self._files.get(name)
        if kept is None:
            return Response("There is no such file here.", status_code=404, media_type="text/plain")
        headers = {"Cache-Control": _FOR_GOOD if mark == self.mark else "no-cache", "Vary": "Accept-Encoding"}
        body = kept.plain
        if kept.packed is not None and "gzip" in request.headers.get("accept-encoding", ""):
            headers["Content-Encoding"], body = "gzip", kept.packed
        return Response(body, headers=headers, media_type=kept.kind)


def _kept(name: str, data: bytes) -> Kept:
    ending = f".{name.rpartition('.')[2]}"
    packed = gzip.compress(data, compresslevel=9, mtime=0) if ending in _PACKED else None
    return Kept(kind=KINDS[ending], plain=data, packed=packed)


def fill_shelf() -> Shelf:
    """Put the files that come with floatbowl on a shelf, and the inks of palette and pictures."""
    files = dict(_files_below(resources.files("floatbowl.web") / "static"))
    return Shelf({**files, "ink.css": f"{palette.theme_css()}\n{style.picture_css()}".encode()})


def _files_below(folder: Traversable, before: str = "") -> Iterator[tuple[str, bytes]]:
    for one in folder.iterdir():
        if one.is_dir():
            yield from _files_below(one, f"{before}{one.name}/")
        elif f".{one.name.rpartition('.')[2]}" in KINDS:
            yield f"{before}{one.name}", one.read_bytes()
