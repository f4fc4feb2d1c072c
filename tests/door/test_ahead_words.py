"""Words of another height and of a day ahead: rules by the thermometer, open ends, what may be typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest

from floatbowl.advice.air_way import thickness
from floatbowl.advice.day_sheet import DaySheet, HourAhead, likely_air
from floatbowl.advice.swaps import Band, Range, SwapLine
from floatbowl.belief.belief import Belief
from floatbowl.bike.hour import Hour
from floatbowl.bike.place import assume_day
from floatbowl.bike.setup import Setup
from floatbowl.units import FREEZING
from floatbowl.words.carry import height_fields, ranged
from floatbowl.words.day import rules
from floatbowl.words.heard_ahead import minute, sea_level
from floatbowl.words.trouble import NotUnderstoodError

COLD, WARM = "112", "110"
"""The main under the line of these tests, and the one over it, which is fitted."""


def ahead(clock: int, celsius: float, best: str, what: str = "") -> HourAhead:
    """Give an hour of which 13 of the twenty want one main."""
    day = assume_day("Low Meadow", height=420.0, temperature=celsius + FREEZING, pressure=97e3, humidity=0.6)
    other = WARM if best == COLD else COLD
    return HourAhead(
        hour=Hour(minute=60 * clock, day=day, what=what),
        thickness=thickness(day),
        twenty=likely_air(day),
        mains=((best, 13), (other, 7)),
        best={"main": best},
    )


@pytest.fixture
def lay_out(believe_by_hand: Callable[..., Belief], setup: Setup) -> Callable[..., DaySheet]:
    """Lay a day out whose only line lies at 14 degrees."""

    def make(hours: Sequence[HourAhead]) -> DaySheet:
        thick = ahead(0, 14.0, COLD).thickness
        line = SwapLine(
            part="main",
            thin=WARM,
            thick=COLD,
            thickness=Range(value=thick, low=None, high=None),
            there=Range(value=14.0 + FREEZING, low=None, high=None),
        )
        bands = (
            Band(part="main", stamp=WARM, setup=setup, thin=1.0, thick=thick, there=(313.0, 287.0)),
            Band(part="main", stamp=COLD, setup=setup, thin=thick, thick=1.3, there=(287.0, 263.0)),
        )
        return DaySheet(
            here=believe_by_hand(),
            hours=tuple(hours),
            pressure=97e3,
            humidity=0.6,
            bands=bands,
            lines=(line,),
            pack=(COLD,),
            buy=(),
        )

    return make


def test_an_hour_near_a_line_goes_by_the_thermometer(lay_out: Callable[..., DaySheet]) -> None:
    """Within 5 degrees of a line the rule says which main on either side of it; farther off it names one."""
    told = rules(lay_out([ahead(9, 2.0, COLD), ahead(13, 12.0, COLD, "second heat")]))
    assert told == (
        "Before 09:00: fit main 112 (13 in 20).",
        "Under 14 \u00b0C before your second heat (13:00): fit main 112; over it leave main 110.",
    )


def test_like_hours_share_a_rule(lay_out: Callable[..., DaySheet]) -> None:
    """Hours alike are told together, and a day without a doubtful hour in one sentence."""
    assert rules(lay_out([ahead(9, 1.0, COLD), ahead(11, 3.0, COLD)])) == (
        "All day: fit main 112 (13 in 20).",
    )
    two = rules(lay_out([ahead(9, 1.0, COLD), ahead(11, 3.0, COLD), ahead(15, 25.0, WARM)]))
    assert two == (
        "Before 09:00 and 11:00: fit main 112 (13 in 20).",
        "Before 15:00: leave main 110 (13 in 20).",
    )


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (Range(value=1184.0, low=482.0, high=1801.0), "1,200 (500 to 1,800)"),
        (Range(value=834.0, low=None, high=1450.0), "850 (up to 1,450)"),
        (Range(value=834.0, low=20.0, high=None), "850 (0 and up)"),
        (Range(value=-20.0, low=None, high=None), "0 (hardly sure)"),
        (None, ""),
    ],
)
def test_a_range_is_told_with_its_open_ends(line: Range | None, told: str) -> None:
    """Heights are told by fifty metres; an end beyond the hill is left open, and a nought has no sign."""
    assert ranged(height_fields(line), ",.0f") == told


@pytest.mark.parametrize(("typed", "minutes"), [("9", 540), ("9:30", 570), ("09.05", 545), (" 23:59 ", 1439)])
def test_a_time_of_day_is_read(typed: str, minutes: int) -> None:
    """Hours alone, and hours and minutes with a colon or a point."""
    assert minute(typed) == minutes


@pytest.mark.parametrize("typed", ["24:00", "9:60", "noon", "", "-1"])
def test_what_is_no_time_is_asked_again(typed: str) -> None:
    """What no clock shows is refused with how to write it."""
    with pytest.raises(NotUnderstoodError, match="9:30"):
        minute(typed)


@pytest.mark.parametrize(
    ("typed", "pascal"), [("1021", 102100.0), ("1021hPa", 102100.0), ("30.1inHg", 101930.3)]
)
def test_a_forecast_is_read(typed: str, pascal: float) -> None:
    """A forecast's pressure is read in its own unit, or else in hectopascal."""
    assert sea_level(typed) == pytest.approx(pascal, abs=0.1)


def test_the_pressure_of_a_shed_up_high_is_no_forecast() -> None:
    """851 hPa at sea level was never seen: it is asked whether it was read at the door."""
    with pytest.raises(NotUnderstoodError, match="at the door"):
        sea_level("851hPa")
