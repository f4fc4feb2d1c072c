"""Sets a template with its words and pictures as a PDF: tagged, and the same bytes for the same words.

The template is a ``.typ`` file of this folder. It reads its words from
``words.json`` and its pictures under their names; nothing else is at hand, no
system font, no date, no network.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from floatbowl.draw.svg import Svg

if TYPE_CHECKING:
    from typst import Fonts

STANDARD = "ua-1"
"""PDF/UA-1: every picture told in words, every line in its order."""
HOUSE = "house.typ"
"""What all our papers share: type, colours, boxes."""


def press(template: str, *, words: object, pictures: Mapping[str, Svg]) -> bytes:
    """Set one paper. ``words`` is plain data; ``pictures`` are ready for the press, by file name."""
    import typst  # noqa: PLC0415  (80 MB of library, loaded by what prints alone)

    files = {
        "main": _read(template),
        HOUSE: _read(HOUSE),
        "words.json": json.dumps(words).encode(),
        **{name: drawing.encode() for name, drawing in pictures.items()},
    }
    compile_files: Any = typst.compile  # takes files by name as well, which its types do not say
    printed: bytes = compile_files(files, font_paths=our_type(), pdf_standards=[STANDARD])
    return printed


def _read(name: str) -> bytes:
    """Read a template from our own shelf."""
    return (resources.files("floatbowl.paper") / name).read_bytes()


@cache
def our_type() -> Fonts:
    """Give our own type, and no other."""
    import typst  # noqa: PLC0415  (as above)

    with resources.as_file(resources.files("floatbowl.paper") / "fonts") as folder:
        return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder])
