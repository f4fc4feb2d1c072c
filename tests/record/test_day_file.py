"""A day ahead in a file: what is read, and every trouble with its line."""

from __future__ import annotations

import pytest

from floatbowl.record.day_file import DayFile, read_day_file
from floatbowl.record.trouble import DayFileTrouble

DAY = """\
form = "floatbowl.day/1"
place = "Low Meadow"
height_m = 420
date = 2026-11-14
[[hour]]
time = "13:00"
what = "second heat"
temperature_c = 24
pressure_hpa_sea_level = 1020
humidity_pct = 55
[[hour]]
time = 09:05:00
temperature_c = 8
pressure_hpa_at_door = 968.5
wind = "none"
"""


def read(text: str) -> DayFile:
    """Read a text as day.toml."""
    return read_day_file(text, source_name="day.toml")


def test_a_day_is_read_in_the_order_of_its_hours() -> None:
    """Place, date and hours come in SI, the earliest first; what was not told is None."""
    day = read(DAY)
    assert (day.place, day.height, day.date) == ("Low Meadow", 420.0, "2026-11-14")
    early, late = day.hours
    assert (early.minute, early.what, early.temperature, early.pressure) == (545, "", 281.15, 96850.0)
    assert (early.sea_level_pressure, early.humidity) == (None, None)
    assert (late.minute, late.what, late.sea_level_pressure) == (780, "second heat", 102000.0)
    assert late.humidity == pytest.approx(0.55)


def test_what_means_nothing_is_told_and_kept() -> None:
    """A key that we do not know is named with its line."""
    (unknown,) = read(DAY).unknown
    assert "wind" in unknown.sentence()
    assert unknown.sentence().startswith("Line 15")


@pytest.mark.parametrize(
    ("old", "new", "line", "told"),
    [
        ('time = "13:00"', 'time = "25:00"', 6, "25:00"),
        ('time = "13:00"\n', "", 5, "no time"),
        ("temperature_c = 24", 'temperature_c = "warm"', 8, "not a number"),
        ("humidity_pct = 55", "humidity_pct = 55\npressure_hpa_at_door = 968", 9, "twice"),
        ('"floatbowl.day/1"', '"floatbowl.bike/1"', 1, "floatbowl.day/1"),
    ],
)
def test_a_slip_is_told_with_its_line(old: str, new: str, line: int, told: str) -> None:
    """What is wrong is told with the line it stands on and what to write instead."""
    with pytest.raises(DayFileTrouble) as trouble:
        read(DAY.replace(old, new))
    assert f"Line {line} of day.toml" in str(trouble.value)
    assert told in str(trouble.value)


def test_every_slip_is_told_at_once() -> None:
    """Two slips give two lines."""
    with pytest.raises(DayFileTrouble) as trouble:
        read(DAY.replace('"13:00"', '"noon"').replace("temperature_c = 8", "temperature_c = []"))
    assert len(str(trouble.value).splitlines()) == 2


@pytest.mark.parametrize("text", ['place = "Low Meadow"', "hour = []", "hour = 3"])
def test_a_day_without_hours_is_no_day(text: str) -> None:
    """A file in which there is no hour says how to write one."""
    with pytest.raises(DayFileTrouble, match=r"hour"):
        read(text)
