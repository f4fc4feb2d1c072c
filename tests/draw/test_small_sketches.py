"""The small drawings on buttons and cards: an opening is as far open as it is, a part sits where it sits."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.openings import SIDE, opening_sketch
from floatbowl.draw.strip_card import INKED, part_in_ink
from floatbowl.jobs import open_demo
from floatbowl.words.names import ALOUD
from floatbowl.words.parts import alone_words


def edge_of(at: Rung) -> float:
    """Give how far below the top of the sketch the slide's edge stands."""
    found = re.search(r'd="M[\d.]+ ([\d.]+)A', opening_sketch(at))
    assert found is not None
    return float(found[1])


def test_the_further_open_the_higher_the_slide() -> None:
    """From rung to rung the slide's edge rises, from just above the floor of the bore to its roof."""
    edges = [edge_of(at) for at in RUNGS]
    assert all(lower > higher for lower, higher in pairwise(edges))
    assert edges[RUNGS.index(Rung.HALF)] == pytest.approx(SIDE / 2)


def test_an_opening_that_nobody_knows_has_no_slide() -> None:
    """Where the opening is not known nothing but a dashed ring is drawn."""
    assert "opn-slide" not in opening_sketch(None)
    assert "opn-none" in opening_sketch(None)


@pytest.mark.parametrize("at", RUNGS)
def test_an_opening_is_told(at: Rung) -> None:
    """Who does not see the sketch hears the opening in words."""
    assert f"<title>{ALOUD[at]}</title>" in opening_sketch(at)


@pytest.mark.parametrize("part", INKED)
def test_a_part_is_drawn_in_ink_and_told(part: str) -> None:
    """Each part of the sheet has ink of its own, the rest is there in pencil, and the title names it."""
    with open_demo() as garage:
        drawn = part_in_ink(garage.bike("thistle"), garage.fitted("thistle"), part)
    assert f"<title>{alone_words(part)}</title>" in drawn
    assert drawn.count("lone-rest") > 0
    has_ink = re.search(r'class="lone-ink"><g|lone-beside|lone-hose|cut-screw', drawn)
    assert has_ink is not None
