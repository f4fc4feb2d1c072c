"""The stop tag: told by its words and its shape, whatever fault is on it."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from floatbowl.draw.tag import stop_tag
from floatbowl.words.suspects import SUSPECTS
from floatbowl.words.tag import STOP

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize("fault", sorted(SUSPECTS))
@pytest.mark.parametrize("count", [None, 16])
def test_every_fault_fits_on_the_tag(fault: str, count: int | None) -> None:
    """All words stand on the card, line under line, and a count has its strokes and its number."""
    line = f"{SUSPECTS[fault].name} likely"
    drawn = ET.fromstring(stop_tag(line, count=count))  # noqa: S314  (our own picture)
    texts = list(drawn.iter(f"{SVG}text"))
    card = next(one for one in drawn.iter(f"{SVG}rect"))
    top, foot = float(card.attrib["y"]), float(card.attrib["y"]) + float(card.attrib["height"])
    lines = [float(one.attrib["y"]) for one in texts]
    assert lines == sorted(lines)
    assert all(top < y < foot for y in lines)
    assert min(low - high for high, low in pairwise(lines)) >= 20.0
    told = " ".join(one.text or "" for one in texts)
    assert told == " ".join([STOP, line, *([f"{count} in 20"] if count else [])])
    paths = [one.attrib["d"] for one in drawn.iter(f"{SVG}path") if "tal-" in one.attrib["class"]]
    assert sum(d.count("M") for d in paths) == (20 if count else 0)


def test_the_tag_is_read_as_one_sentence() -> None:
    """Who does not see it hears what hangs there."""
    drawn = ET.fromstring(stop_tag("Air leak likely", count=16))  # noqa: S314  (our own picture)
    assert drawn.attrib["aria-label"] == "Stop jetting: Air leak likely, 16 in 20"


def test_what_is_named_with_markup_stays_words() -> None:
    """Words on the tag are escaped."""
    assert "<b>" not in stop_tag("<b>Air</b> leak")
