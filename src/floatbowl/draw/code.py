"""The code on the setup card: a text as a QR code, dark on light whatever the theme, for a phone to read."""

from __future__ import annotations

from itertools import groupby

import segno

from floatbowl.draw.svg import Svg, element, picture

QUIET = 4
"""Empty modules round a code, as ISO/IEC 18004 asks."""


def code_picture(text: str, *, title: str) -> Svg:
    """Draw a text in the compact alphabet (error level Q: a quarter of it may be dirt); one unit a module."""
    code = segno.make_qr(text, error="q", mode="alphanumeric", boost_error=False)
    rows = [bytes(row) for row in code.matrix]
    side = len(rows) + 2 * QUIET
    dark = "".join(map(_row, range(len(rows)), rows))
    return picture(
        element("rect", width=side, height=side, fill="#fff"),
        element("path", d=dark, fill="#000", shape_rendering="crispEdges"),
        view=(0.0, 0.0, float(side), float(side)),
        title=title,
        class_="code",
    )


def _row(y: int, row: bytes) -> str:
    """Write a row as its dark stretches."""
    found, x = [], QUIET
    for is_dark, run in groupby(row):
        wide = len(list(run))
        if is_dark:
            found.append(f"M{x} {y + QUIET}h{wide}v1h-{wide}z")
        x += wide
    return "".join(found)
