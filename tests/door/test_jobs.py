"""What the pages ask of the library's door beside the commands: sent twice, struck, told anew, set aside."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from floatbowl.bike.bike import assumptions
from floatbowl.bike.rung import Rung
from floatbowl.jobs import (
    EntryTrouble,
    FirstAnswers,
    Garage,
    NotThereError,
    RecordTrouble,
    open_demo,
    open_garage,
)
from floatbowl.words.logbook import entry_words

pytestmark = pytest.mark.door

MAGPIE = """\
name = "Magpie"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0 } # the only one
setup = { number = 8, main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""
WREN = FirstAnswers(name="Wren", main="98", place="Tarn Hollow", height=1450.0, did="bogs", at="1/4")

WRITES: dict[str, Callable[[Garage], object]] = {
    "fit": lambda garage: garage.fit("magpie", main="105"),
    "drawer in": lambda garage: garage.put_in_drawer("main", ["98"]),
    "drawer out": lambda garage: garage.take_from_drawer("main", ["105"]),
    "air": lambda garage: garage.note_air(place="Low Meadow", height=420.0),
    "remark": lambda garage: garage.record_remark("magpie", "flat"),
    "reading": lambda garage: garage.record_reading("magpie", kind="hand", outcome="sinks"),
    "look": lambda garage: garage.record_look("magpie", "clear", look="choke seat"),
    "mend": lambda garage: garage.mend("magpie", "air leak"),
    "strip": lambda garage: garage.record_strip("magpie", "float", "fine", {"setup.float_height_mm": 19.0}),
    "strip measure": lambda garage: garage.record_strip("magpie", "outside", "fine", {"carb.bore_mm": 26.5}),
    "skip": lambda garage: garage.record_strip("magpie", "slide", "skipped"),
    "remeasure": lambda garage: garage.remeasure("magpie", {"carb.full_lift_mm": 25.0}),
    "new bike": lambda garage: garage.new_bike(WREN),
    "undo": lambda garage: garage.undo("magpie"),
    "strike": lambda garage: garage.strike(garage.log("magpie")[-1].id),
    "setting": lambda garage: garage.set_setting("units", "imperial"),
}


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Give a garage's file with Magpie in it, a few remarks and a part."""
    (tmp_path / "magpie.toml").write_text(MAGPIE, encoding="utf-8")
    with open_garage(tmp_path / "shed.garage") as garage:
        garage.add_bike(tmp_path / "magpie.toml")
        garage.put_in_drawer("main", ["105"])
        for did in ("bogs", "clean", "surges"):
            garage.record_remark("magpie", did)  # words of a list
    return tmp_path / "shed.garage"


@pytest.mark.parametrize("what", WRITES)
def test_what_is_sent_twice_stands_once(place: Path, what: str) -> None:
    """Everything that writes, sent again under the name of its visit, writes nothing and does not fail."""
    with open_garage(place) as garage:
        before = len(garage.log())
    with open_garage(place, once="tap") as garage:
        WRITES[what](garage)
    with open_garage(place) as garage:
        once = garage.log()
    with open_garage(place, once="tap") as garage:
        if what == "strike":
            garage.strike(once[-2].id)
        else:
            WRITES[what](garage)
    with open_garage(place) as garage:
        assert garage.log() == once
        assert len(once) > before


def test_a_line_says_whether_it_can_be_struck(place: Path) -> None:
    """What may be struck is struck without a word; what may not be is refused; nothing changes by asking."""
    with open_garage(place) as garage:
        garage.strike(garage.log("magpie")[-1].id)
        told = {line.id: line.can_be_struck for line in garage.log("magpie") if line.kind != "bike"}
        assert set(told.values()) == {True, False}
        for entry, can in told.items():
            if can:
                struck = garage.strike(entry)
                assert struck.struck
            else:
                with pytest.raises(RecordTrouble):
                    garage.strike(entry)


def test_measures_told_anew_turn_pencil_into_ink(place: Path) -> None:
    """A measure told counts as measured, all else stays, comments too; taken back it is assumed again."""
    with open_garage(place) as garage:
        trials, pencil = garage.trials("magpie"), assumptions(garage.bike("magpie"))
        bike = garage.remeasure("magpie", {"carb.needle_jet_bore_mm": 2.62, "carb.needle.tip_mm": 1.9})
        assert bike.carb.needle_jet_bore.value == pytest.approx(2.62e-3)
        inked = set(pencil) - set(assumptions(bike))
        assert "carb.needle_jet_bore" in inked
        assert any(name.startswith("carb.needle.stations") for name in inked)
        assert garage.trials("magpie") == trials
        assert "# the only one" in garage.export_bike("magpie")
        again = garage.remeasure("magpie", {"carb.needle_jet_bore_mm": None, "carb.needle.tip_mm": None})
        assert assumptions(again) == pencil


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("carb.bore_mm", 260.0),
        ("carb.bore_mm", "wide"),
        ("carb.full_lift_mm", -3.0),
        ("carb.colour", "red"),
        ("wheels.count", 2),
        ("carb", 3),
    ],
)
def test_what_cannot_be_is_refused(place: Path, field: str, value: object) -> None:
    """At a door what a file would keep as doubtful is refused with a sentence, and nothing is written."""
    with open_garage(place) as garage:
        before = garage.log()
        with pytest.raises(EntryTrouble):
            garage.remeasure("magpie", {field: value})
        assert garage.log() == before


@pytest.mark.parametrize("known", [(), ("swept_cc",), ("bore_mm",), ("swept_cc", "bore_mm")])
def test_the_first_evening_inks_what_is_known(place: Path, known: tuple[str, ...]) -> None:
    """Swept volume and bore are measured exactly where they were told; the stand goes out and comes in."""
    sizes = {key: {"swept_cc": 140.0, "bore_mm": 24.0}[key] for key in known}
    with open_garage(place) as garage:
        bike = garage.new_bike(FirstAnswers(name="Wren", strokes=4, **sizes))  # type: ignore[arg-type]
        pencil = set(assumptions(bike))
        assert ("engine.swept_volume" in pencil) is ("swept_cc" not in known)
        assert ("carb.bore" in pencil) is ("bore_mm" not in known)
        assert garage.fitted("wren").main == garage.fitted("wren").pilot == "?"
        file = place.with_name("wren.toml")
        file.write_text(garage.export_bike("wren"), encoding="utf-8")
        assert garage.add_bike(file).bike == bike


def test_the_first_evening_keeps_place_and_remark(place: Path) -> None:
    """Where we are and what it does are kept: the one as the air, the other as the first remark."""
    with open_garage(place) as garage:
        garage.new_bike(WREN)
        (trial,) = garage.trials("wren")
        (remark,) = trial.remarks
        assert (remark.did, remark.at) == ("bogs", Rung.QUARTER)
        assert (garage.air().place, garage.air().height) == ("Tarn Hollow", 1450.0)


def test_a_card_keeps_its_look_and_its_measures(place: Path) -> None:
    """Not fine is a look that found; a measure is of the bike or of what is fitted; both show on the card."""
    with open_garage(place) as garage:
        card = garage.record_strip("magpie", "needle jet", "not fine", {"carb.needle_jet_bore_mm": 2.7})
        assert (card.state, card.measured) == ("not fine", {"carb.needle_jet_bore_mm": 2.7})
        garage.record_strip("magpie", "float", "fine", {"setup.float_height_mm": 19.0})
        assert garage.fitted("magpie").float_height_mm == 19.0
        looks = [reading for trial in garage.trials("magpie") for reading in trial.readings]
        assert [(one.look, one.outcome) for one in looks] == [  # type: ignore[union-attr]
            ("needle jet against the light", "found"),
            ("float held under", "clear"),
        ]
        garage.undo("magpie")
        states = {card.part.key: card.state for card in garage.strip_sheet("magpie")}
        assert (states["float"], states["needle jet"]) == ("open", "not fine")


def test_a_card_refuses_what_it_does_not_ask(place: Path) -> None:
    """A card that is not on the sheet, and a measure of another card, are told with what there is."""
    with open_garage(place) as garage:
        before = garage.log()
        with pytest.raises(NotThereError):
            garage.record_strip("magpie", "crank seals", "fine")
        with pytest.raises(NotThereError):
            garage.record_strip("magpie", "vents", "fine", {"carb.bore_mm": 26.0})
        with pytest.raises(NotThereError):
            garage.sides("magpie", 8, 99)
        assert garage.log() == before


def test_a_tag_that_hung_stands_in_the_logbook(place: Path) -> None:
    """What was fitted under a stop tag says so, and is a setup like any other."""
    with open_garage(place) as garage:
        garage.fit("magpie", tag="air leak", main="105")
        assert "a stop tag hung there: air leak" in entry_words(garage.log("magpie")[-1])
        assert garage.fitted("magpie").main == "105"


def test_settings_are_metric_until_told(place: Path) -> None:
    """Units begin metric, the last word counts, undo takes it back, and what cannot be set is refused."""
    with open_garage(place) as garage:
        assert (garage.settings().units, garage.settings().home_place) == ("metric", "")
        assert garage.set_setting("units", "imperial").units == "imperial"
        assert garage.set_setting("home_place", " Tarn Hollow ").home_place == "Tarn Hollow"
        garage.undo()
        assert garage.settings().home_place == ""
        for key, value in (("units", "cubits"), ("colour", "red"), ("home_place", "two\nlines")):
            with pytest.raises(EntryTrouble):
                garage.set_setting(key, value)


def test_a_copy_is_whole_and_never_written_over(place: Path, tmp_path: Path) -> None:
    """Two copies of one day are two files, each with the same log; a file is refused as a folder."""
    folder = tmp_path / "copies"
    with open_garage(place) as garage:
        garage.set_setting("backup_folder", str(folder))
        copies = [garage.backup(), garage.backup(folder)]
        log = garage.log()
        with pytest.raises(RecordTrouble, match="No copy was made"):
            garage.backup(place)
    assert sorted(folder.iterdir()) == sorted(set(copies))
    assert len(set(copies)) == 2
    for copy in copies:
        with closing(sqlite3.connect(copy)) as connection:
            assert connection.execute("pragma integrity_check").fetchone() == ("ok",)
        with open_garage(copy) as garage:
            assert garage.log() == log


@pytest.mark.slow
def test_what_was_set_aside_is_not_offered_until_nothing_else_is() -> None:
    """Each "not this one" brings another card, until one is offered again and says so; undone, it is back."""
    with open_demo() as garage:
        first = garage.advise_next("Magpie")
        offered = {(first.steps, first.look, first.why.at)}
        aside = garage.set_aside("Magpie")
        second = garage.advise_next("Magpie")
        assert (second.steps, second.look, second.why.at) not in offered
        assert second.aside == (aside,)
        assert not second.is_offered_again
        garage.undo("Magpie")
        assert garage.advise_next("Magpie") == first
        garage.set_aside("Magpie")
        garage.fit("Magpie", screw_turns=2.25)
        assert garage.advise_next("Magpie").aside == ()


@pytest.mark.slow
def test_two_setups_stand_on_one_belief() -> None:
    """Side by side with itself nothing differs; with another the parts and errors do, from one crowd."""
    with open_demo() as garage:
        garage.fit("Magpie", clip_from_top=4)
        numbers = [setup.number for setup in garage.setups("Magpie")]
        same = garage.sides("Magpie", numbers[-1], numbers[-1])
        assert same.steps == ()
        assert (same.first.error == same.second.error).all()
        two = garage.sides("Magpie", numbers[-2], numbers[-1])
        assert [step.part for step in two.steps] == ["clip"]
        assert two.second.error == pytest.approx(two.belief.error[two.belief.twenty])
        assert abs(two.first.error - two.second.error).max() > 0.01
