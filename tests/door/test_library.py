"""The library's door: the same jobs, the same nouns, one clock and one set of dice."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import floatbowl
from floatbowl.bike.place import assume_day
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup
from floatbowl.jobs import DEMO_NOW, Garage, RecordTrouble, TooLittleKnownError, dice_of, open_demo

pytestmark = pytest.mark.door

MAGPIE = """\
name = "Magpie"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0 }
setup = { number = 8, main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""


@pytest.fixture
def garage(tmp_path: Path) -> Garage:
    """Give an open garage with Magpie on a stand."""
    (tmp_path / "magpie.toml").write_text(MAGPIE, encoding="utf-8")
    opened = floatbowl.open_garage(tmp_path / "shed.garage")
    opened.add_bike(tmp_path / "magpie.toml")
    return opened


def test_a_change_is_a_new_frozen_setup(garage: Garage) -> None:
    """Fitting a part gives the setup that stands from now on; the one before stays what it was."""
    before = garage.fitted("magpie")
    after = garage.fit("magpie", main="108", clip_from_top=4)
    assert isinstance(after, Setup)
    assert (before.main, after.main, after.number) == ("110", "108", 9)
    assert garage.fitted("Magpie") == after


def test_a_needle_without_a_shape_is_refused(garage: Garage) -> None:
    """A needle that lies in no drawer is not guessed at; the bike's own can be put back."""
    with pytest.raises(RecordTrouble, match="no needle X9"):
        garage.fit("magpie", needle="X9")
    own = garage.bike("magpie").carb.needle.stamp
    assert garage.fit("magpie", needle=own).needle is None


@pytest.fixture
def odd(garage: Garage, monkeypatch: pytest.MonkeyPatch) -> Garage:
    """Give the garage with a main that no jet is stamped with, kept when records still took such stamps."""
    monkeypatch.setattr("floatbowl.record.store.check_setup", lambda *_: None)
    garage.fit("magpie", main="900")
    return garage


def test_too_little_known_names_what_is_missing(odd: Garage) -> None:
    """From a stamp that is no size nothing can be worked out; the trouble says which part it waits for."""
    with pytest.raises(TooLittleKnownError) as caught:
        odd.look_at_bench("magpie")
    assert (caught.value.bike, caught.value.missing) == ("Magpie", ("main",))
    odd.fit("magpie", main="?")
    assert odd.look_at_bench("magpie").setup.main == "?"


@pytest.mark.slow
def test_not_knowing_is_an_answer(garage: Garage) -> None:
    """With no stamp read there is a bench and a next thing to do, and what leans on one is named.

    Such a bike once ran, so its jets cannot be far off: how much leans on each hardly shows.
    """
    garage.fit("magpie", main="?", pilot="?", cutaway="?")
    assert {"setup.main", "setup.pilot"} & set(garage.look_at_bench("magpie").leaned_on)
    garage.record_remark("magpie", "flat", at=Rung.FULL)
    assert garage.advise_next("magpie").kind in {"change", "look"}


@pytest.mark.slow
def test_jets_without_a_stamp_in_place_of_known_ones_are_leaned_on(garage: Garage) -> None:
    """Ridden with jets that can be read, then given others that cannot: main and pilot both are named."""
    for at in Rung:
        garage.record_remark("magpie", "clean", at=at)
    garage.fit("magpie", main="?", pilot="?")
    assert {"setup.main", "setup.pilot"} <= set(garage.look_at_bench("magpie").leaned_on)


def test_the_same_bike_throws_the_same_dice(garage: Garage) -> None:
    """Dice come from the bike's measures: the same each time, others for another bike."""
    bike = garage.bike("magpie")
    with open_demo() as demo:
        other = demo.bike("otter")
    first, again, others = (dice_of(one).random(4) for one in (bike, bike, other))
    assert np.array_equal(first, again)
    assert not np.array_equal(first, others)


def test_the_demo_has_its_own_clock() -> None:
    """Whatever the wall says, in the demo it is that evening."""
    with open_demo() as demo:
        remark = demo.record_remark("magpie", "bogs", at=Rung.QUARTER)
        line = next(line for line in demo.log("magpie") if line.entry == remark.entry)
    assert line.when == DEMO_NOW


@pytest.mark.slow
def test_another_day_may_be_asked_about(garage: Garage) -> None:
    """In thinner air the same setup gives too much fuel at full: the whole of the twenty moves that way."""
    low = garage.look_at_bench("magpie", day=assume_day("Low Meadow", height=0.0))
    high = garage.look_at_bench("magpie", day=assume_day("Tarn Hollow", height=2500.0))
    assert np.median(high.twenty_at(Rung.FULL)) > np.median(low.twenty_at(Rung.FULL))


@pytest.mark.slow
def test_going_round_thinks_at_each_stand(odd: Garage) -> None:
    """A bike of which too little is known does not stop the round; it says what is missing."""
    (stand,) = odd.look_round()
    assert stand.bike.name == "Magpie"
    assert getattr(stand, "missing", None) == ("main",)
