"""The ladder on a phone, and the small one in the garage."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.belief.belief import OF
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.rungs import REACH_PCT, WIDE, across, middle_sixteen, rung_row, small_ladder
from tests.draw.pictured import FAR, ROWS, all_of, number, numbers, row, texts

OFFS = st.lists(st.floats(-80.0, 80.0), min_size=OF, max_size=OF).map(tuple)


@pytest.mark.property
@given(OFFS)
def test_each_of_the_twenty_is_a_stroke_or_counted(off_pct: tuple[float, ...]) -> None:
    """Strokes within the reach and counts beyond it add to twenty."""
    drawn = rung_row(row(Rung.HALF, off_pct))
    strokes = all_of(drawn, "path", "rung-one")[0].attrib["d"].count("V")
    counted = sum(int(words) for words in texts(drawn) if words.isdigit())
    assert strokes + counted == OF


def test_a_stroke_stands_where_its_bike_is_off() -> None:
    """Nothing off stands in the middle; the reach ends at the same distance to either side."""
    assert across(0.0, left=10, width=100) == 60.0
    assert across(REACH_PCT, left=10, width=100) == across(900.0, left=10, width=100) == 110.0
    assert across(-REACH_PCT, left=10, width=100) == 10.0


@pytest.mark.parametrize("at", RUNGS)
def test_the_say_bar_is_as_wide_as_the_say(at: Rung) -> None:
    """The parts of the bar are as wide as their say and fill the row."""
    one = row(at)
    widths = [number(part, "width") for part in all_of(rung_row(one), "rect", "say-part")]
    shares = [pct for pct in one.say_pct if pct]
    assert widths == pytest.approx([(WIDE - 1.0) * pct / 100.0 for pct in shares], abs=0.01)


def test_a_wide_part_carries_its_letter() -> None:
    """Every part that has room for it says its letter, so that no colour is needed."""
    assert [words for words in texts(rung_row(row(Rung.QUARTER))) if words.isalpha()] == ["P", "C", "N"]


def test_a_dry_fit_shows_both() -> None:
    """The new twenty are dashed, the old ones stay behind them."""
    drawn = rung_row(ROWS[2], before=ROWS[2])
    assert [len(all_of(drawn, "path", name)) for name in ("rung-was", "rung-fit", "rung-one")] == [1, 1, 0]


def test_the_small_ladder_shows_the_middle_sixteen() -> None:
    """The thick bar leaves out two of the twenty at either end; the tick is the middle one."""
    least, middle, most = middle_sixteen(ROWS[0].off_pct)
    drawn = small_ladder(ROWS, title="Magpie")
    bar, tick = all_of(drawn, "line", "rung-most")[0], all_of(drawn, "line", "rung-tick")[0]
    per_pct = (number(bar, "x2") - number(bar, "x1")) / (most - least)
    assert number(tick, "x1") - number(bar, "x1") == pytest.approx(per_pct * (middle - least), abs=0.02)
    assert texts(drawn)[:6] == [at.value for at in reversed(RUNGS)]


def test_a_bike_beyond_the_small_ladder_is_pointed_at() -> None:
    """Where the middle one lies beyond the edge an arrow says so, one a rung."""
    assert len(all_of(small_ladder(FAR, title="x"), "path", "mk-solid")) == len(RUNGS)
    assert all_of(small_ladder(ROWS, title="x"), "path", "mk-solid") == []


def test_the_arrow_points_to_the_side_that_is_off() -> None:
    """Far short points left, to the word for it."""
    arrow = numbers(all_of(small_ladder(FAR, title="x"), "path", "mk-solid")[0].attrib["d"])
    assert arrow[0] < min(arrow[2::2])
