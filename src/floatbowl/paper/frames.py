"""Sets pictures as dots: each a PNG, with our own type and nothing else at hand."""

from __future__ import annotations

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
    """Give each picture as a PNG this many dots wide."""
    for start in range(0, len(pictures), _AT_ONCE):
        yield from _set(pictures[start : start + _AT_ONCE], width=width)


def _set(pictures: Sequence[Svg], *, width: int) -> list[bytes]:
    import typst  # noqa: PLC0415  (80 MB of library, loaded by what prints alone)

    names = [f"frame-{number}.svg" for number in range(len(pictures))]
    pages = "#pagebreak()\n".join(f'#image("{name}", width: {width}pt)\n' for name in names)
    head = '#set document(title: "film")\n#set page(width: auto, height: auto, margin: 0pt, fill: white)\n'
    files = {
        "main": f"{head}{pages}".encode(),
        **{name: printed(one).encode() for name, one in zip(names, pictures, strict=True)},
    }
    compile_files: Any = typst.compile  # takes files by name as well, which its types do not say
    made: bytes | list[bytes] = compile_files(files, font_paths=our_type(), format="png", ppi=_POINTS)
    return made if isinstance(made, list) else [made]
