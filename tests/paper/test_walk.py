"""Walk 8, on paper: printed in grey at 100 %, laid under a ruler, read by a phone, and typed in elsewhere."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from click.testing import CliRunner

from floatbowl.cli import main
from tests.paper.sheets import grey_of

pytestmark = [pytest.mark.door, pytest.mark.slow]

MAGPIE = """\
name = "Magpie"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0, needle_jet_bore_mm = 2.60 }
setup = { main = "105", pilot = "40", clip_from_top = 4, cutaway = "2.5", screw_turns = 1.25 }
"""
DPI = 600


def ask(garage: Path, *words: str) -> str:
    """Ask in a garage; it must succeed."""
    told = CliRunner().invoke(main, list(words), env={"FLOATBOWL_GARAGE": str(garage)})
    assert told.exit_code == 0, told.output
    return told.stdout


def test_the_card_travels_on_paper(tmp_path: Path) -> None:
    """The printed bore measures 26.0 mm within 0.3, and what a decoder reads sets the bike up elsewhere."""
    file, here, there = tmp_path / "magpie.toml", tmp_path / "here.garage", tmp_path / "there.garage"
    file.write_text(MAGPIE, encoding="utf-8")
    ask(here, "add", str(file))
    ask(here, "card", "magpie", "--pdf", str(tmp_path / "card.pdf"))
    page = grey_of((tmp_path / "card.pdf").read_bytes(), tmp_path, dpi=DPI)
    assert min(abs(one - 26.0) for one in wide_lines_apart(page)) < 0.3
    (code,) = zxingcpp.read_barcodes(page)
    file.write_text(MAGPIE.replace("105", "98").replace("1.25", "2"), encoding="utf-8")
    ask(there, "add", str(file))
    ask(there, "add", *code.text.split())
    fitted = json.loads(ask(there, "fitted", "magpie", "--json"))
    assert [fitted[key] for key in ("main", "clip_from_top", "screw_turns")] == ["105", 4, 1.25]


def wide_lines_apart(page: np.ndarray) -> list[float]:
    """Lay a ruler down the drawing, left of the slide, and give how far apart its wide lines are, mm."""
    left, right = (round(mm / 25.4 * DPI) for mm in (30.0, 34.0))
    dark = (page[:, left:right] < 110).mean(axis=1) > 0.95
    edges = np.flatnonzero(np.diff(np.concatenate(([0], dark.astype(np.int8), [0]))))
    wide = [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if (b - a) / DPI * 25.4 > 0.25]
    middles = [(a + b) / 2.0 / DPI * 25.4 for a, b in wide]
    return [b - a for a, b in pairwise(middles)]
