"""A day ahead: the air of twenty likely days, the mains that are wanted, rules that can all be followed."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from floatbowl.advice.air_way import thickness
from floatbowl.advice.day_sheet import DaySheet, day_sheet, likely_air
from floatbowl.belief.belief import OF
from floatbowl.belief.believe import believe
from floatbowl.bike.day import Day
from floatbowl.bike.drawer import Drawer
from floatbowl.bike.hour import Hour
from floatbowl.bike.place import assume_day
from floatbowl.bike.setup import PART_FIELDS, Setup
from floatbowl.units import FREEZING
from tests.flow.bikes import SIZES, bike_of

DRAWER = Drawer(mains=("158", "162", "165", "170", "175", "180", "185"))
SETUP = Setup(number=1, main="160", pilot="45", clip_from_top=3, cutaway="3.0", screw_turns=1.5)


def hour(minute: int, celsius: float) -> Hour:
    """Give an hour in a meadow."""
    day = assume_day(
        "Low Meadow", height=420.0, temperature=celsius + FREEZING, pressure=97000.0, humidity=0.6
    )
    return Hour(minute=minute, day=day)


@pytest.fixture(scope="module")
def sheet() -> DaySheet:
    """Lay a long day out, frost to heat."""
    home = assume_day("Tarn Hollow", height=1450.0, temperature=292.15, pressure=85100.0)
    rng = np.random.default_rng(7)
    belief = believe(bike_of(SIZES[13]), setup=SETUP, day=home, trials=(), rng=rng, draws=300)
    hours = [hour(60 * k, celsius) for k, celsius in ((8, -5.0), (11, 12.0), (13, 25.0), (15, 36.0))]
    return day_sheet(belief, drawer=DRAWER, hours=hours)


@pytest.mark.property
def test_the_twenty_days_spread_about_the_one_expected() -> None:
    """Half lie to each side of the day expected, as far as forecasts miss, and not in the twenty's order."""
    day = hour(600, 15.0).day
    twenty = likely_air(day)
    assert np.count_nonzero(twenty < thickness(day)) == pytest.approx(OF / 2, abs=2)
    # 2.2 K of 288, 2.2 hPa of 970 and the damp: nine parts in a thousand, all together
    assert twenty.std() / thickness(day) == pytest.approx(0.009, abs=0.002)
    assert abs(np.corrcoef(np.arange(OF), twenty)[0, 1]) < 0.2


@pytest.mark.property
def test_a_day_that_is_off_is_off_all_day() -> None:
    """The likely day that is thickest at noon is thickest in the morning: a line never jumps."""
    morning, noon = (likely_air(hour(600, celsius).day) for celsius in (8.0, 20.0))
    assert (np.argsort(morning) == np.argsort(noon)).mean() > 0.7
    assert np.argmax(morning) == np.argmax(noon)


def test_every_one_of_the_twenty_wants_a_main(sheet: DaySheet) -> None:
    """At each hour twenty are counted, and colder hours never want smaller mains on the whole."""
    for ahead in sheet.hours:
        assert sum(count for _, count in ahead.mains) == OF
    sizes = [sum(float(stamp) * count for stamp, count in ahead.mains) for ahead in sheet.hours]
    assert sizes == sorted(sizes, reverse=True)
    bests = [float(ahead.best["main"]) for ahead in sheet.hours]
    assert bests == sorted(bests, reverse=True)
    assert len(set(bests)) > 1


def test_what_is_packed_is_wanted_and_at_hand(sheet: DaySheet) -> None:
    """What to take along is in the drawer, is wanted by somebody at some hour, and is not fitted already."""
    wanted = {stamp for ahead in sheet.hours for stamp, _ in ahead.mains}
    assert set(sheet.pack) == wanted - {SETUP.main}
    assert set(sheet.pack) <= set(DRAWER.mains)


def test_all_rules_of_a_day_can_be_followed_together(sheet: DaySheet) -> None:
    """Each part is weighed with the parts before it as they are best at the middle of the day."""
    by_part: dict[str, list[Setup]] = {}
    for band in sheet.bands:
        by_part.setdefault(band.part, []).append(band.setup)
    middle = sorted(sheet.hours, key=lambda ahead: ahead.thickness)[len(sheet.hours) // 2]
    for before, after in pairwise(by_part):
        fields = [PART_FIELDS[part] for part in by_part if part != after][: list(by_part).index(after)]
        for setup in by_part[after]:
            for part, field in zip(by_part, fields, strict=False):
                assert getattr(setup, field) == middle.best[part], (before, after)


def test_one_hour_is_a_day_as_well(sheet: DaySheet) -> None:
    """A day of a single hour has its lines and its rules."""
    one = day_sheet(sheet.here, drawer=Drawer(), hours=[hour(600, 15.0)])
    assert one.pack == ()
    assert one.hours[0].mains == ((SETUP.main, OF),)
    assert isinstance(one.hours[0].hour.day, Day)
