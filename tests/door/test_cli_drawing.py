"""floatbowl draw, as a mechanic would ask for it."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from floatbowl.cli import main

pytestmark = pytest.mark.door

MAGPIE = """\
name = "Magpie"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0, needle_jet_bore_mm = 2.60 }
setup = { main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Put a bike in a garage."""
    folder = tmp_path_factory.mktemp("shed")
    (folder / "magpie.toml").write_text(MAGPIE, encoding="utf-8")
    assert ask(folder, "add", str(folder / "magpie.toml")).exit_code == 0
    return folder


def ask(folder: Path, *words: str) -> Result:
    """Ask in a garage."""
    return CliRunner().invoke(main, list(words), env={"FLOATBOWL_GARAGE": str(folder / "shed.garage")})


def test_a_drawing_goes_to_its_file(shed: Path) -> None:
    """``--out`` writes a whole picture that stands alone, and says where it is and what it shows."""
    told = ask(shed, "draw", "magpie", "--at", "1/4", "--out", str(shed / "magpie.svg"))
    assert told.exit_code == 0, told.output
    assert "magpie.svg" in told.output
    assert "25 % of its way" in " ".join(told.output.split())
    root = ET.fromstring((shed / "magpie.svg").read_text(encoding="utf-8"))  # noqa: S314  (our own markup)
    assert root.find(f"{SVG}style") is not None
    assert "groove 3 of 5" in [text.text for text in root.iter(f"{SVG}text")]


def test_a_drawing_goes_down_a_pipe(shed: Path) -> None:
    """Without a file the picture alone is printed, and without labels it names nothing but the shares."""
    shown = ask(shed, "draw", "magpie", "--no-labels").stdout
    root = ET.fromstring(shown)  # noqa: S314  (our own markup)
    assert all((text.text or "").endswith("%") for text in root.iter(f"{SVG}text"))


def test_a_program_gets_the_same_areas(shed: Path) -> None:
    """As JSON the lift asked for, both areas and the picture come along."""
    told = json.loads(ask(shed, "draw", "magpie", "--lift", "6.5", "--json").stdout)
    assert told["form"] == "floatbowl.drawing/1"
    assert told["lift_mm"] == pytest.approx(6.5)
    assert 60.0 < told["open_mm2"] < 110.0
    assert told["svg"].startswith("<svg")
    assert told["troubles"] == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--lift", "6", "--at", "1/4"), "not both"),
        (("--out", "magpie.toml"), "magpie.svg"),
        (("--at", "5/9"), "not an opening"),
    ],
)
def test_odd_words_are_refused_and_nothing_is_written(shed: Path, words: tuple[str, ...], said: str) -> None:
    """What cannot be meant is refused with a sentence, before anything is drawn."""
    before = (shed / "magpie.toml").read_text(encoding="utf-8")
    told = ask(shed, "draw", "magpie", *words)
    assert told.exit_code == 2
    assert said in told.output
    assert (shed / "magpie.toml").read_text(encoding="utf-8") == before
