"""floatbowl card and chart, and add with a card's text, as a mechanic would ask for them."""

from __future__ import annotations

import json
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
CARD = "FLOATBOWL/1 MAGPIE MAIN 108 PILOT 40 CLIP 4 CUTAWAY 2.5 SCREW 1.5"


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """Put a bike in a garage."""
    (tmp_path / "magpie.toml").write_text(MAGPIE, encoding="utf-8")
    assert ask(tmp_path, "add", str(tmp_path / "magpie.toml")).exit_code == 0
    return tmp_path


def ask(folder: Path, *words: str, pasted: str = "") -> Result:
    """Ask in a garage."""
    place = {"FLOATBOWL_GARAGE": str(folder / "shed.garage")}
    return CliRunner().invoke(main, list(words), env=place, input=pasted)


def fitted(folder: Path) -> tuple[str, int]:
    """Give the main and the clip that are fitted."""
    setup = json.loads(ask(folder, "fitted", "magpie", "--json").stdout)
    return setup["main"], setup["clip_from_top"]


def test_a_card_is_printed_told_and_taken_back(shed: Path) -> None:
    """``card --pdf`` writes the paper; its text, as JSON gives it, fits the same setup again."""
    told = json.loads(ask(shed, "card", "magpie", "--pdf", str(shed / "card.pdf"), "--json").stdout)
    assert (shed / "card.pdf").read_bytes().startswith(b"%PDF")
    assert told["file"] == str(shed / "card.pdf")
    assert {"name": "Main jet", "value": "110", "is_assumed": False} in told["items"]
    assert ask(shed, "fitted", "magpie", "main=105", "clip=5").exit_code == 0
    assert ask(shed, "add", told["text"]).exit_code == 0
    assert fitted(shed) == ("110", 3)


def test_a_card_is_typed_word_by_word(shed: Path) -> None:
    """The words of a card may be typed as they stand, without quotes; the logbook has the entry."""
    told = ask(shed, "add", *CARD.lower().split())
    assert told.exit_code == 0
    assert "setup 2, as on the card: main 108" in " ".join(told.output.split())
    assert fitted(shed) == ("108", 4)
    assert "setup 2 fitted: main 108" in " ".join(ask(shed, "log", "magpie").output.split())


def test_a_card_comes_from_a_file_or_is_pasted(shed: Path) -> None:
    """A file that begins as a card is one; ``-`` takes what is pasted."""
    (shed / "card.txt").write_text(f"\n{CARD}\n", encoding="utf-8")
    assert ask(shed, "add", str(shed / "card.txt")).exit_code == 0
    assert fitted(shed) == ("108", 4)
    again = ask(shed, "add", "-", pasted=CARD)
    assert "as on the card already" in " ".join(again.output.split())


def test_a_card_of_a_bike_that_is_not_here(shed: Path) -> None:
    """Exit code 4, what is missing by name, and nothing written down."""
    told = ask(shed, "add", *CARD.replace("MAGPIE", "ROOK").split(), "--json")
    assert told.exit_code == 4
    assert json.loads(told.stdout)["missing"] == ["engine.strokes", "engine.swept_cc", "carb.bore_mm"]
    assert fitted(shed) == ("110", 3)


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("add", "FLOATBOWL/1", "MAGPIE", "MAIN", "105"), 3, "says nothing of pilot"),
        (("add", "magpie.toml", "thistle.toml"), 2, "Name one file"),
        (("add", "nowhere.toml"), 3, "nowhere.toml"),
        (("card", "magpie", "--pdf", "card.svg"), 2, "write --pdf card.pdf"),
        (("chart", "magpie", "--pdf", "chart"), 2, "write --pdf chart.pdf"),
        (("card", "rook"), 2, "no bike called"),
    ],
)
def test_trouble_is_told_calmly(shed: Path, words: tuple[str, ...], code: int, says: str) -> None:
    """What cannot be done ends with its code and a sentence that says what to write."""
    told = ask(shed, *words)
    assert told.exit_code == code
    assert says in told.output


def test_a_chart_is_printed_and_told(shed: Path) -> None:
    """``chart --pdf`` writes the paper; the screen tells six plates, each with question and answer."""
    told = ask(shed, "chart", "magpie", "--pdf", str(shed / "chart.pdf"), "--paper", "a3")
    assert told.exit_code == 0, told.output
    assert (shed / "chart.pdf").read_bytes().startswith(b"%PDF")
    assert "six plates, A3" in " ".join(told.output.split())
    assert told.output.count("First answer this") == told.output.count("The answer:") == 6
