"""The tally of twenty: countable by eye, and read aloud as one number."""

import itertools

import pytest

from floatbowl.belief.belief import OF
from floatbowl.draw.svg import Svg
from floatbowl.draw.tally import GAP, PITCH, tally, tally_rows
from tests.draw.pictured import all_of, numbers, read, texts


def strokes(picture: Svg, kind: str) -> int:
    """Count the strokes of a kind."""
    return sum(one.attrib["d"].count("M") for one in all_of(picture, "path", kind))


@pytest.mark.parametrize("count", range(OF + 1))
def test_solid_and_dotted_strokes_make_twenty(count: int) -> None:
    """As many strokes are solid as are counted, the rest are dotted, and it is spoken as one number."""
    drawn = tally(count)
    assert (strokes(drawn, "tal-counted"), strokes(drawn, "tal-rest")) == (count, OF - count)
    assert read(drawn).get("aria-label") == f"{count} in 20"


def test_strokes_stand_in_fives() -> None:
    """After every fifth stroke there is a wider gap, so that thirteen is seen as five, five and three."""
    feet = numbers(all_of(tally(OF), "path", "tal-counted")[0].attrib["d"])[2::4]
    gaps = [right - left for left, right in itertools.pairwise(feet)]
    assert [place + 1 for place, gap in enumerate(gaps) if gap > PITCH + GAP / 2] == [5, 10, 15]


def test_rows_name_and_count() -> None:
    """Each suspect stands with its name and its count in figures, in the order given."""
    drawn = tally_rows([("Air leak", 16), ("Only the jets", 4)], title="Suspects")
    assert texts(drawn) == ["Air leak", "16 in 20", "Only the jets", "4 in 20"]
    assert "Only the jets, 4 in 20" in read(drawn).get("aria-label", "")


def test_a_long_name_is_broken_before_its_tally() -> None:
    """A name too long for its column goes on in another line."""
    lines = texts(tally_rows([("Petrol stood for months in the tank", 3)], title="Suspects"))
    assert len(lines) > 2
    assert " ".join(lines[:-1]) == "Petrol stood for months in the tank"
