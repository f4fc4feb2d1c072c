"""Sets pictures as dots: each a PNG, with our own type and nothing else at hand."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from floatbowl.draw.printed import printed
from floatbowl.draw.svg import Svg
from floatbowl.paper.press import our_type

_AT_ONCE = 20
"""Pictures set in one go: more are no quicker, and take memory."""
_POINTS = 72.0
"""Points to the inch, as the press counts."""


def frames(pictures: Sequence[Svg], *, width: int) -> Iterator[bytes]:
    """Give each picture, all of one size, as a PNG this many dots wide and an even number of them high."""
    for start in range(0, len(pictures), _AT_ONCE):
        yield from _set(pictures[start : start + _AT_ONCE], width=width)


def _set(pictures: Sequence[Svg], *, width: int) -> list[bytes]:
    import typst  # noqa: PLC0415  (80 MB of library, loaded by what prints alone)

    names = [f"frame-{number}.svg" for number in range(len(pictures))]
    high = _even_height(pictures[0], width)
    size = f"width: {width}pt, height: {high}pt"
    pages = "#pagebreak()\n".join(f'#image("{name}", {size}, fit: "stretch")\n' for name in names)
    head = f'#set document(title: "film")\n#set page({size}, margin: 0pt, fill: white)\n'
    files = {
        "main": f"{head}{pages}".encode(),
        **{name: printed(one).encode() for name, one in zip(names, pictures, strict=True)},
    }
    compile_files: Any = typst.compile  # takes files by name as well, which its types do not say
    made: bytes | list[bytes] = compile_files(files, font_paths=our_type(), format="png", ppi=_POINTS)
    return made if isinstance(made, list) else [made]


def _even_height(picture: Svg, width: int) -> int:
    """Give the height of a picture so wide, as an even number: films hold colours two dots by two."""
    found = re.search(r'viewBox="\S+ \S+ (\S+) (\S+)"', picture)
    assert found is not None  # noqa: S101  (our own pictures have a window)
    return 2 * round(width * float(found[2]) / float(found[1]) / 2.0)
