"""Mains by height and the chart of a day: what stands where, and that no words cross."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.advice.air_way import thickness, warmth_at
from floatbowl.advice.day_sheet import DaySheet, HourAhead, likely_air
from floatbowl.advice.swaps import Band, Range, SwapLine
from floatbowl.bike.hour import Hour
from floatbowl.bike.place import assume_day
from floatbowl.draw.day_sheet import day_chart
from floatbowl.draw.heights import PlaceMark, main_by_height, spread
from floatbowl.units import FREEZING
from tests.draw.pictured import SETUP, all_of, number, read

EDGES = (3000.0, 1900.0, 1650.0, 1200.0, 850.0, 0.0)
STAMPS = ("155", "158", "160", "162", "165")
BANDS = tuple(
    Band(
        part="main", stamp=stamp, setup=SETUP, thin=1.2 - top / 1e4, thick=1.2 - foot / 1e4, there=(top, foot)
    )
    for stamp, (top, foot) in zip(STAMPS, itertools.pairwise(EDGES), strict=True)
)
HOME, AWAY = (
    PlaceMark(name="Tarn Hollow", metres=1450.0, is_home=True),
    PlaceMark(name="Low Meadow", metres=420.0),
)


def line_at(
    thick: float, part: str = "main", *, low: float | None = None, high: float | None = None
) -> SwapLine:
    """Give a swap line; 10 m up the hill for each thousandth thinner than 1.2."""
    there = Range(value=1e4 * (1.2 - thick), low=low, high=high)
    thin, new = ("160", "165") if part == "main" else (2, 3)
    return SwapLine(
        part=part, thin=thin, thick=new, thickness=Range(value=thick, low=None, high=None), there=there
    )


def test_bands_stand_as_high_as_they_are() -> None:
    """Every band is drawn to one scale, the fitted one is framed, and both places stand at their height."""
    drawn = main_by_height(BANDS, fitted="160", places=[HOME, AWAY])
    tops = [number(one, "y") for one in all_of(drawn, "rect", "hill-band")]
    per_metre = (tops[1] - tops[0]) / (EDGES[0] - EDGES[1])
    assert tops == pytest.approx([tops[0] + per_metre * (EDGES[0] - edge) for edge in EDGES[:-1]], abs=0.02)
    assert len(all_of(drawn, "rect", "hill-fitted")) == 1
    home, away = all_of(drawn, "circle", "hill-home") + all_of(drawn, "circle", "hill-there")
    assert number(away, "cy") - number(home, "cy") == pytest.approx(per_metre * (1450.0 - 420.0), abs=0.02)


def test_the_picture_is_read_to_who_does_not_see_it() -> None:
    """Every band and the height of home are told."""
    told = read(main_by_height(BANDS, fitted="160", places=[HOME])).get("aria-label", "")
    assert "Main 165 up to 850 m" in told
    assert "Tarn Hollow lies at 1,450 m" in told


def test_an_open_end_has_no_tick() -> None:
    """A range that reaches beyond the hill is drawn without its end, a closed one with both."""
    both = line_at(1.08, low=500.0, high=1800.0)
    drawn = {
        len([step for step in (one.get("d") or "").split("M") if "h6" in step])
        for line in (both, line_at(1.08, low=500.0), line_at(1.08))
        for one in all_of(
            main_by_height(BANDS, fitted="160", places=[HOME], lines=[line]), "path", "hill-doubt"
        )
    }
    assert drawn == {0, 1, 2}


@pytest.mark.property
@given(st.lists(st.floats(0.0, 300.0), min_size=1, max_size=8))
def test_words_pushed_apart_keep_their_order_and_their_room(places: list[float]) -> None:
    """No two come closer than they may, none leaves the picture, and none overtakes another."""
    found = spread(sorted(places), apart=19.0, low=0.0, high=300.0)
    assert all(below - above >= 19.0 - 1e-9 for above, below in itertools.pairwise(found))
    assert found == sorted(found)
    assert found[0] >= -1e-9
    assert found[-1] <= 300.0 + 1e-9


def sheet(*, hours: int = 4, lines: tuple[SwapLine, ...] = ()) -> DaySheet:
    """Lay a day out by hand; nothing of the belief is drawn."""
    ahead = []
    for k in range(hours):
        day = assume_day(
            "Low Meadow",
            height=420.0,
            temperature=FREEZING + 8.0 + 6.0 * k,
            pressure=97000.0,
            humidity=0.6,
        )
        ahead.append(
            HourAhead(
                hour=Hour(minute=540 + 120 * k, day=day),
                thickness=thickness(day),
                twenty=likely_air(day),
                mains=(("165", 13), ("162", 7)),
                best={"main": "165"},
            )
        )
    none: object = None
    return DaySheet(
        here=none,  # type: ignore[arg-type]
        hours=tuple(ahead),
        pressure=97000.0,
        humidity=0.6,
        bands=BANDS,
        lines=lines,
        pack=("165",),
        buy=(),
    )


@pytest.fixture(autouse=True)
def _unread(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave the description out: it is words, and is tested with the words."""
    monkeypatch.setattr("floatbowl.draw.day_sheet.day_told", lambda _: "")


def test_twenty_lines_run_through_the_hours() -> None:
    """Each of the twenty is one line through all hours; warmer hours stand lower."""
    drawn = day_chart(sheet())
    assert len(all_of(drawn, "path", "day-twenty")) == 20
    middles = [number(one, "cy") for one in all_of(drawn, "circle", "day-middle")]
    assert len(middles) == 4
    assert middles == sorted(middles)


def test_a_single_hour_is_drawn_as_well() -> None:
    """One hour has one dot and twenty strokes in the middle of the chart."""
    drawn = day_chart(sheet(hours=1))
    (strokes,) = all_of(drawn, "path", "day-twenty")
    assert (strokes.get("d") or "").count("M") == 20
    assert len(all_of(drawn, "circle", "day-middle")) == 1


def test_a_swap_line_meets_its_warmth_on_the_thermometer() -> None:
    """A line lies as high as its thickness, and the thermometer's degrees stand by the air's own sum."""
    thick = thickness(sheet().hours[1].hour.day)
    drawn = day_chart(sheet(lines=(line_at(thick),)))
    (line,) = all_of(drawn, "line", "day-swap")
    dot = all_of(drawn, "circle", "day-middle")[1]
    assert number(line, "y1") == pytest.approx(number(dot, "cy"), abs=0.02)
    degrees = {
        one.text: number(one, "y") - 6.0 for one in all_of(drawn, "text", "") if (one.text or "").isdigit()
    }
    warm = warmth_at(thick, pressure=97000.0, humidity=0.6) - FREEZING
    below, above = (degrees[str(int(10 * np.floor(warm / 10)) + step)] for step in (0, 10))
    assert below < number(line, "y1") < above


def test_other_parts_are_dashed_and_named() -> None:
    """A line of the clip is dashed and says what is the better bet above it."""
    drawn = day_chart(sheet(lines=(line_at(1.16, "clip"),)))
    assert len(all_of(drawn, "line", "day-also")) == 1
    assert "clip 3" in {one.text for one in all_of(drawn, "text", "")}
