"""Papers read back: from their own coordinates, and as they are seen, in grey too."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass, replace
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from pypdf import PdfReader
from pypdf.generic import ArrayObject, ContentStream, DictionaryObject, StreamObject

POINT_MM = 25.4 / 72.0
"""Millimetres in a point."""

Matrix = NDArray[np.float64]
Pixels = NDArray[np.uint8]


@dataclass(frozen=True)
class Stroke:
    """A straight line of a page, in mm from its lower left corner, as wide as it is drawn."""

    start: tuple[float, float]
    end: tuple[float, float]
    wide: float
    is_dashed: bool

    @property
    def length(self) -> float:
        """Give its length, mm."""
        return float(np.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1]))

    @property
    def is_level(self) -> bool:
        """Say whether it lies level."""
        return abs(self.end[1] - self.start[1]) < 1e-3


def pages_of(pdf: bytes) -> list[tuple[float, float]]:
    """Give the size of every page, mm."""
    return [
        (float(page.mediabox.width) * POINT_MM, float(page.mediabox.height) * POINT_MM)
        for page in PdfReader(BytesIO(pdf)).pages
    ]


def words_of(pdf: bytes) -> str:
    """Give all words of a paper, in the order in which they are read."""
    return " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)


def strokes_of(pdf: bytes, page: int = 0) -> list[Stroke]:
    """Give every straight line of a page from the page's own coordinates, whatever nests in it."""
    reader = PdfReader(BytesIO(pdf))
    sheet = reader.pages[page]
    contents = sheet.get_contents()
    assert contents is not None
    return list(_strokes(contents, sheet["/Resources"], Pen(np.eye(3)), reader))


def _matrix(numbers: list[float]) -> Matrix:
    a, b, c, d, e, f = (float(number) for number in numbers)
    return np.array([[a, b, 0.0], [c, d, 0.0], [e, f, 1.0]])


@dataclass(frozen=True)
class Pen:
    """How lines are drawn: where they land on the page, how wide, and whether dashed."""

    matrix: Matrix
    wide: float = 1.0
    is_dashed: bool = False

    @property
    def wide_mm(self) -> float:
        """Give the width on paper, mm."""
        return self.wide * float(np.sqrt(abs(np.linalg.det(self.matrix[:2, :2])))) * POINT_MM


def _strokes(contents: StreamObject, resources: object, pen: Pen, reader: PdfReader) -> Iterator[Stroke]:
    kept: list[Pen] = []
    path: list[tuple[float, float]] = []
    for operands, operator in ContentStream(contents, reader).operations:
        if operator == b"q":
            kept.append(pen)
        elif operator == b"Q":
            pen = kept.pop()
        elif operator in {b"m", b"l"}:
            path = [*([] if operator == b"m" else path), _seen(operands, pen.matrix)]
        elif operator in {b"S", b"s", b"B", b"b"}:
            yield from (Stroke(a, b, pen.wide_mm, pen.is_dashed) for a, b in pairwise(path))
        elif operator == b"Do":
            yield from _nested(operands[0], resources, pen, reader)
        else:
            pen = _turned(pen, operator, operands)


def _turned(pen: Pen, operator: bytes, operands: list[float]) -> Pen:
    """Give the pen as an operator leaves it."""
    if operator == b"cm":
        return replace(pen, matrix=_matrix(operands) @ pen.matrix)
    if operator == b"w":
        return replace(pen, wide=float(operands[0]))
    return replace(pen, is_dashed=bool(operands[0])) if operator == b"d" else pen


def _nested(name: object, resources: object, pen: Pen, reader: PdfReader) -> Iterator[Stroke]:
    """Give the lines of a drawing that stands in a drawing."""
    found = resources.get_object()  # type: ignore[attr-defined]
    form = found["/XObject"].get_object()[name].get_object()
    if form.get("/Subtype") == "/Form":
        own = _matrix(list(form.get("/Matrix", ArrayObject([1, 0, 0, 1, 0, 0]))))
        inside = form.get("/Resources", found)
        yield from _strokes(form, inside, replace(pen, matrix=own @ pen.matrix), reader)


def _seen(point: list[float], matrix: Matrix) -> tuple[float, float]:
    x, y, _ = np.array([float(point[0]), float(point[1]), 1.0]) @ matrix
    return float(x) * POINT_MM, float(y) * POINT_MM


def tags_of(pdf: bytes) -> list[str]:
    """Give the kinds of all tags of a paper, from the first on."""
    root = PdfReader(BytesIO(pdf)).trailer["/Root"]["/StructTreeRoot"]  # type: ignore[index]
    return list(_tags(root))


def _tags(node: object) -> Iterator[str]:
    one = node.get_object()  # type: ignore[attr-defined]
    if isinstance(one, ArrayObject):
        for kid in one:
            yield from _tags(kid)
    elif isinstance(one, DictionaryObject):
        if "/S" in one:
            yield str(one["/S"])
        if "/K" in one:
            yield from _tags(one["/K"])


def told_pictures(pdf: bytes) -> list[str]:
    """Give what every picture says to those who do not see it."""
    reader = PdfReader(BytesIO(pdf))
    found = []
    for number in range(1, len(reader.xref[0]) + len(reader.xref_objStm) + 1):
        one = reader.get_object(number)
        if isinstance(one, DictionaryObject) and one.get("/S") == "/Figure":
            found.append(str(one.get("/Alt", "")))
    return found


def grey_of(pdf: bytes, folder: Path, *, dpi: int, page: int = 1) -> Pixels:
    """Give a page as a printer without colour would print it: rows of greys, 0 black to 255 white."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm is not installed here: pages are not looked at as pixels")
    (folder / "paper.pdf").write_bytes(pdf)
    asked = ["pdftoppm", "-gray", "-r", str(dpi), "-f", str(page), "-l", str(page), "-singlefile"]
    subprocess.run([*asked, folder / "paper.pdf", folder / "paper"], check=True)
    raw = (folder / "paper.pgm").read_bytes()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", raw)
    assert head is not None
    wide, high = int(head[1]), int(head[2])
    return np.frombuffer(raw, dtype=np.uint8, offset=head.end()).reshape(high, wide)


def contrast(one: float, other: float) -> float:
    """Give the contrast of two greys, 0 to 255, as WCAG 2.2 reckons it: 1 to 21."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(grey: float) -> float:
    share = grey / 255.0
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4
