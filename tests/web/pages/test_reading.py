"""Readings: every kind has its form, and what it sends is the reading that the command would write."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.web.pages.reading import TYPED
from floatbowl.words.care import care_lines
from floatbowl.words.measuring import how_taken
from tests.web.browser import Browser
from tests.web.pages.conftest import Read
from tests.web.pages.writing import MARKUP, Typed, refused, written

pytestmark = pytest.mark.door
READING = "/bikes/magpie/reading"

SENT: dict[str, tuple[Typed, dict[str, object]]] = {
    "plug": ({"at": "full", "value": "light tan"}, {"at": "full", "colour": "light tan"}),
    "lambda": ({"at": "1/2", "value": "0,92", "rpm": "5200"}, {"at": "1/2", "value": 0.92, "rpm": 5200.0}),
    "rollon": (
        {"at": "1/4", "value": ["3.9", "", "4.0 s"], "choke": "half"},
        {"from": "1/4", "seconds": [3.9, 4.0], "choke": "half"},
    ),
    "gas": (
        {"at": "shut", "co": "2.1", "co2": "12.5", "hc": "250", "o2": "0.8", "rpm": "1500"},
        {"at": "shut", "co_pct": 2.1, "co2_pct": 12.5, "hc_ppm": 250.0, "o2_pct": 0.8, "rpm": 1500.0},
    ),
    "choke": ({"at": "1/8", "value": "no change"}, {"at": "1/8", "outcome": "no change"}),
    "hand": ({"value": "rises"}, {"outcome": "rises"}),
    "sweep": (
        {"turns": ["1", "1.5", "", "2"], "value": ["1380", "1450", "", "0"]},
        {"turns": [1.0, 1.5, 2.0], "rpm": [1380.0, 1450.0, 0.0]},
    ),
    "level": ({"value": "-1.5"}, {"above_mm": -1.5}),
    "touched": ({"value": "hoses"}, {"part": "hoses"}),
}


@pytest.mark.parametrize("kind", SENT)
def test_a_reading_stands_once(ask: Browser, shed: Path, kind: str) -> None:
    """What the form of a kind holds is one entry with just that, however often it arrives."""
    typed, facts = SENT[kind]
    (line,) = written(ask, shed, READING, {"kind": kind, **typed})
    assert dict(line.facts) == {"kind": kind, **facts}


def test_which_way_a_run_went(ask: Browser, shed: Path) -> None:
    """Runs may say which way they went, each for itself."""
    typed: Typed = {"at": "1/4", "value": ["3.9", "", "4.1"], "way": ["there", "there", "back"]}
    (line,) = written(ask, shed, READING, {"kind": "rollon", **typed})
    assert line.facts["ways"] == ["there", "back"]


@pytest.mark.parametrize("kind", TYPED)
def test_every_kind_says_how_it_is_taken_and_what_to_mind(ask: Browser, kind: str) -> None:
    """Each kind that can be typed has a form, how it is taken, and its care above the button."""
    page = Read(ask.get(f"{READING}?kind={kind}").text)
    look = how_taken(kind)
    assert all(page.says(line) for line in (look.act, *look.how, *care_lines(look.care)))
    assert page.value("kind") == kind


def test_the_list_names_every_kind(ask: Browser) -> None:
    """The page lists every kind that is not read out of a file, so that a new one shows up by itself."""
    page = Read(ask.get(READING).text)
    assert {f"{READING}?kind={kind}" for kind in TYPED} <= page.links.keys()


@pytest.mark.parametrize(
    ("kind", "typed", "wrong"),
    [
        ("plug", {"value": "tan"}, "at"),
        ("lambda", {"at": "1/2"}, "value"),
        ("rollon", {"at": "1/2", "value": ["", ""]}, "value"),
        ("gas", {"at": "1/2", "co": "2", "co2": "12", "o2": "1"}, "hc"),
        ("sweep", {"turns": ["1"], "value": ["1400"]}, "value"),
    ],
)
def test_what_is_missing_is_asked_for_at_its_field(
    ask: Browser, shed: Path, kind: str, typed: Typed, wrong: str
) -> None:
    """A form that lacks something is shown again with that field marked, and nothing is written."""
    page = Read(refused(ask, shed, READING, {"kind": kind, **typed}))
    marked = {field["name"] for field in page.fields if "aria-invalid" in field}
    assert marked == {wrong}


def test_what_cannot_be_read_is_kept_as_it_was_typed(ask: Browser, shed: Path) -> None:
    """Markup typed for a number is no number, and stays what it is."""
    text = refused(ask, shed, READING, {"kind": "level", "value": MARKUP})
    assert "<b>x" not in text
    assert Read(text).value("value") == MARKUP


def test_an_unknown_kind_is_refused(ask: Browser, shed: Path) -> None:
    """A kind that there is not writes nothing, and the list of kinds is shown."""
    page = Read(refused(ask, shed, READING, {"kind": MARKUP, "words": "1"}))
    assert f"{READING}?kind=plug" in page.links
