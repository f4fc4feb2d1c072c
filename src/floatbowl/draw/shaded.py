"""A field of shades as a small picture file inside an SVG: grey with see-through, written by ourselves."""

from __future__ import annotations

import base64
import struct
import zlib
from typing import TYPE_CHECKING

from floatbowl.draw.svg import Svg, element

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_GREY_AND_ALPHA = 4
_INK = 0x24


def png(shades: NDArray[np.float32]) -> bytes:
    """Write shades, (row, column) from 0 to 1, as a PNG: one dark grey, the more see-through the fainter.

    Source: [png2003], from memory: signature, IHDR, one IDAT of rows without filter, IEND.
    """
    rows, columns = shades.shape
    alpha = (shades * 255.0).round().astype("uint8")
    pixels = [b"".join((bytes((0,)), _row(alpha[row].tobytes()))) for row in range(rows)]
    head = struct.pack(">IIBBBBB", columns, rows, 8, _GREY_AND_ALPHA, 0, 0, 0)
    body = zlib.compress(b"".join(pixels), 9)
    return b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", head) + _chunk(b"IDAT", body) + _chunk(b"IEND", b"")


def _row(alpha: bytes) -> bytes:
    both = bytearray(2 * len(alpha))
    both[0::2] = bytes((_INK,)) * len(alpha)
    both[1::2] = alpha
    return bytes(both)


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def shaded(shades: NDArray[np.float32], *, left: float, top: float, width: float, height: float) -> Svg:
    """Put shades into a rectangle of a picture."""
    told = base64.b64encode(png(shades)).decode("ascii")
    return element(
        "image",
        x=left,
        y=top,
        width=width,
        height=height,
        href=f"data:image/png;base64,{told}",
        preserveAspectRatio="none",
    )
