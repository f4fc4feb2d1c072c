"""The wide ladder: true to the slide's lift, all twenty on it, nothing hidden beyond its edge."""

from dataclasses import replace
from itertools import accumulate, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.belief.belief import OF, PARTS
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.ladder import BoreScale, Frame, Ladder, ladder_drawing, ladder_picture
from floatbowl.draw.moving import Travel
from floatbowl.draw.svg import Svg, picture
from floatbowl.words.ladder import ladder_table
from tests.draw.pictured import FAR, ROWS, TRAVEL, all_of, number, numbers, read, row, texts

FRAME = Frame()


def rung_lines(drawn: Svg) -> list[float]:
    """Give the heights of the rungs, from full down."""
    return [number(one, "y1") for one in all_of(drawn, "line", "lad-rung")]


@pytest.mark.property
@given(st.floats(0.2, 2.0), st.floats(10.0, 40.0))
def test_rungs_stand_true_to_lift(shut: float, full: float) -> None:
    """A rung's height on the ladder is its share of the travel, whatever the carburettor."""
    drawn = ladder_picture(ROWS, travel=Travel(shut=shut, full=full, lift=full))
    expected = [FRAME.bottom - at.opening * FRAME.height for at in reversed(RUNGS)]
    assert rung_lines(drawn) == pytest.approx(expected, abs=0.01)


@pytest.mark.property
@given(st.floats(0.0, 1.0))
def test_the_position_line_moves_evenly_with_the_lift(share: float) -> None:
    """Knob and line stand at the lift after the shift that the browser goes on with, at any lift."""
    travel = Travel(shut=0.9, full=26.0, lift=Travel(0.9, 26.0, 0.0).at(share))
    drawn = ladder_picture(ROWS, travel=travel)
    crossing = all_of(drawn, "g", "lad-crossing")[0]
    (at_no_lift,) = {number(one, "y1") for one in all_of(drawn, "line", "lad-position")}
    shift = numbers(crossing.attrib["transform"])[1]
    assert shift == pytest.approx(-travel.lift * number(crossing, "data-rise"), abs=0.01)
    assert at_no_lift + shift == pytest.approx(FRAME.bottom - share * FRAME.height, abs=0.02)


def test_the_projection_joins_the_bore_s_scale_to_the_ladder() -> None:
    """At both stops the dashed line leaves the bore at the slide's lift and meets the ladder at it."""
    bore = BoreScale(x=50.0, floor_y=400.0, per_mm=7.0, from_x=20.0)
    one = Ladder(rows=ROWS, travel=TRAVEL, bore=bore)
    drawn = picture(ladder_drawing(one), view=(0, 0, 900, 600), title="ladder")
    line = all_of(drawn, "path", "lad-projected")[0]
    for name, lift in (("data-shut", TRAVEL.shut), ("data-full", TRAVEL.full)):
        ends = numbers(line.attrib[name])
        assert ends[1] == ends[3] == pytest.approx(400.0 - 7.0 * lift, abs=0.01)
        assert ends[4:] == pytest.approx([FRAME.left, one.y(lift)], abs=0.01)


def test_all_twenty_are_drawn() -> None:
    """Twenty pencil lines; on a dry fit twenty blue dashes over the same twenty, faint."""
    assert len(all_of(ladder_picture(ROWS, travel=TRAVEL), "path", "lad-one")) == OF
    tried = ladder_picture(ROWS, travel=TRAVEL, tried=FAR)
    assert [len(all_of(tried, "path", name)) for name in ("lad-one", "lad-was", "lad-fit")] == [0, OF, OF]


def test_those_beyond_the_edge_are_counted() -> None:
    """Lines that leave the chart run at its edge, and their number stands there at every rung."""
    written = texts(ladder_picture(FAR, travel=TRAVEL))
    assert (written.count("17"), written.count("3")) == (len(RUNGS), len(RUNGS))
    assert "17" not in texts(ladder_picture(ROWS, travel=TRAVEL))


def test_no_line_leaves_the_chart() -> None:
    """However far off a bike is, its line stays inside the frame of the chart."""
    for one in all_of(ladder_picture(FAR, travel=TRAVEL), "path", "lad-one"):
        across = numbers(one.attrib["d"])[::2]
        assert FRAME.fuel_left < min(across)
        assert max(across) < FRAME.fuel_left + FRAME.fuel_wide


def test_the_say_fills_its_chart() -> None:
    """At a rung each part is as wide as its say, and the four fill the chart from edge to edge."""
    drawn = ladder_picture(ROWS, travel=TRAVEL)
    for k, field in enumerate(all_of(drawn, "path", "lad-part")):
        start = numbers(field.attrib["d"])[0]
        share = list(accumulate(ROWS[0].say_pct))[k] / 100.0
        assert start == pytest.approx(FRAME.say_left + share * FRAME.say_wide, abs=0.01)
    assert len(all_of(drawn, "path", "lad-part")) == len(PARTS)


def test_what_it_did_stands_beside_its_rung() -> None:
    """A remark is bracketed at the height of its rung."""
    (bracket,) = all_of(ladder_picture(ROWS, travel=TRAVEL), "path", "mk-outline")
    top, tall = numbers(bracket.attrib["d"])[1], numbers(bracket.attrib["d"])[3]
    quarter = FRAME.bottom - Rung.QUARTER.opening * FRAME.height
    assert top + tall / 2 == pytest.approx(quarter, abs=0.01)


def test_remarks_of_close_rungs_do_not_touch() -> None:
    """Where every rung was spoken of at length, the brackets still stand apart and inside the frame."""
    heard = ("revs hang, hot", "surges, hot", "pops when you shut it, cold", "dies, hot")
    drawn = ladder_picture([replace(one, heard=heard) for one in ROWS], travel=TRAVEL)
    reach = sorted(
        (d[1], d[1] + d[3]) for d in (numbers(one.attrib["d"]) for one in all_of(drawn, "path", "mk-outline"))
    )
    assert len(reach) == len(RUNGS)
    assert reach[-1][1] <= FRAME.bottom
    assert all(foot < top for (_, foot), (top, _) in pairwise(reach))
    assert "and 3 more" in texts(drawn)


def test_what_a_person_typed_stays_text() -> None:
    """A remark that looks like markup is written, not obeyed."""
    drawn = ladder_picture(
        [row(at, heard=("<script>x</script>, hot",)) for at in reversed(RUNGS)], travel=TRAVEL
    )
    assert not list(read(drawn).iter("script"))
    assert any("<script>" in words for words in texts(drawn))


def test_the_table_says_what_the_picture_shows() -> None:
    """The table has a row a rung, from full down, each with the say, the counts and what it did."""
    table = ladder_table(ROWS)
    assert table.rows[0][0] == "fully open"
    assert len(table.rows) == len(RUNGS)
    assert table.rows[3][1:] == (
        "the needle 37 %, the pilot 30 %, the slide cutaway 30 %, the main jet 3 %",
        "of 20: 20 about right",
        "bogs, hot, 3 times",
    )
