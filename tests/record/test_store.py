"""The record: what is put in comes out, nothing is lost, and a change of mind is a further entry."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from floatbowl.bike.place import assume_day
from floatbowl.bike.rung import Rung
from floatbowl.record.bike_file import BikeFile, read_bike_file
from floatbowl.record.bike_text import write_bike_file
from floatbowl.record.mends import mended_after
from floatbowl.record.store import Record
from floatbowl.record.trial_file import reading_of_facts
from floatbowl.record.trouble import (
    CannotStrike,
    EntryTrouble,
    NameTaken,
    NotInDrawer,
    RecordTrouble,
    SetupTrouble,
    UnknownBike,
)
from floatbowl.signs.trial import LookReading
from tests.record.files import MAGPIE, NOW, bike_files

BOGS = {"did": "bogs", "at": "1/4", "how": "snap"}
FLAT = {"did": "flat", "at": Rung.FULL}


def entries_on_disk(place: Path) -> list[tuple[Any, ...]]:
    """Give every entry as it lies in the file."""
    with closing(sqlite3.connect(place)) as connection:
        return connection.execute("select * from entry order by id").fetchall()


# --- bikes -------------------------------------------------------------------------------------------------


def test_a_bike_comes_out_as_it_went_in(record: Record, magpie: BikeFile) -> None:
    """Bike, setup and trials of the file are those of the record."""
    assert record.bikes() == ("Magpie",)
    assert record.bike("Magpie") == magpie.bike
    assert record.setup("Magpie") == magpie.setup
    assert record.trials("Magpie") == magpie.trials


def test_capital_letters_make_no_difference(record: Record) -> None:
    """magpie, MAGPIE and Magpie are one bike."""
    assert record.bike("mAGPIE") == record.bike("Magpie")


def test_an_unknown_bike_is_met_with_the_names_there_are(record: Record) -> None:
    """A slip of the pen is met with a guess and the list."""
    with pytest.raises(UnknownBike, match=r"Did you mean Magpie\? Here are: Magpie\."):
        record.bike("magpy")


def test_the_same_file_again_adds_nothing(record: Record, magpie: BikeFile, place: Path) -> None:
    """Sent twice, kept once, even after the bike has moved on."""
    record.fit("magpie", replace(magpie.setup, clip_from_top=4), now=NOW)
    before = entries_on_disk(place)
    assert record.add_bike(magpie, now=NOW) == ()
    assert entries_on_disk(place) == before
    assert record.setup("magpie").clip_from_top == 4


def test_another_bike_of_the_same_name_is_refused(record: Record, magpie: BikeFile, place: Path) -> None:
    """Two bikes of one name would be mixed up; nothing is written."""
    before = entries_on_disk(place)
    with pytest.raises(NameTaken, match="Magpie stands here already"):
        record.add_bike(replace(magpie, name="MAGPIE", what="another"), now=NOW)
    assert entries_on_disk(place) == before


def test_a_file_may_replace_what_is_known_and_history_stays(record: Record) -> None:
    """New measures count from now on; setups, remarks and readings stand as they were."""
    record.say("magpie", FLAT, now=NOW)
    trials = record.trials("magpie")
    other = read_bike_file(MAGPIE.replace("bore_mm = 26.0", "bore_mm = 26.5"), source_name="magpie.toml")
    assert len(record.add_bike(other, now=NOW, replace=True)) == 1
    assert record.bike("magpie").carb.bore.value == pytest.approx(26.5e-3)
    assert record.trials("magpie") == trials


def test_a_replacing_file_adds_only_its_new_trials(record: Record) -> None:
    """An exported file with one more ride brings in that ride alone, under its own setup and air."""
    record.say("magpie", FLAT, now=NOW)
    text = write_bike_file(record.bike_file("magpie"))
    more = '\n[[trial]]\nplace = "Low Meadow"\nheight_m = 420\nsaid = [ { at = "1/2", did = "clean" } ]\n'
    record.add_bike(read_bike_file(text + more, source_name="magpie.toml"), now=NOW, replace=True)
    remarks = [(trial.day.place, remark.did) for trial in record.trials("magpie") for remark in trial.remarks]
    assert remarks == [("Tarn Hollow", "bogs"), ("Tarn Hollow", "flat"), ("Low Meadow", "clean")]


def test_a_ride_struck_out_does_not_come_back_with_its_file(record: Record, magpie: BikeFile) -> None:
    """Adding the old file again does not bring back what was struck out since."""
    ride = next(line for line in record.log("magpie") if line.entry == "ride-1")
    record.strike(ride.id, now=NOW)
    assert record.add_bike(magpie, now=NOW) == ()
    assert record.trials("magpie")[0].remarks == ()


@pytest.mark.property
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(file=bike_files())
def test_any_bike_survives_record_and_file(file: BikeFile, tmp_path_factory: pytest.TempPathFactory) -> None:
    """File to record to file tells the same, and the file that came out is known already."""
    with Record.open(tmp_path_factory.mktemp("any") / "garage.sqlite") as record:
        record.add_bike(file, now=NOW)
        out = record.bike_file(file.name)
        assert (out.engine, out.carb, out.fuel, out.setup) == (file.engine, file.carb, file.fuel, file.setup)
        assert set(out.earlier_setups) == set(file.earlier_setups)
        assert entries(out) == entries(file)
        assert mends(out) == mends(file)
        again = read_bike_file(write_bike_file(out), source_name="again.toml")
        assert record.add_bike(again, now=NOW) == ()


def entries(file: BikeFile) -> list[Any]:
    """Give every remark and reading with its setup and air, by name."""
    told = [
        (thing.entry, thing, trial.setup, trial.day)
        for trial in file.trials
        for thing in (*trial.remarks, *trial.readings)
    ]
    return sorted(told, key=lambda one: one[0])


def mends(file: BikeFile) -> list[Any]:
    """Give every mend with its setup and air, in order."""
    told = zip(file.trials, mended_after(file.trials), strict=True)
    return [(fault, trial.setup, trial.day) for trial, mended in told for fault in mended]


# --- setups ------------------------------------------------------------------------------------------------


def test_each_setup_gets_the_next_number_and_none_is_overwritten(record: Record) -> None:
    """The file's setup is 8; a new clip makes 9, a new main 10; all are kept."""
    clip = record.fit("magpie", replace(record.setup("magpie"), clip_from_top=4), now=NOW)
    record.fit("magpie", replace(clip, main="108"), now=NOW)
    assert [setup.number for setup in record.setups("magpie")] == [8, 9, 10]
    assert record.setup("magpie").main == "108"


def test_fitting_the_same_again_is_no_new_setup(record: Record) -> None:
    """Nothing changed, so nothing is written."""
    before = record.log()
    assert record.fit("magpie", replace(record.setup("magpie"), number=99), now=NOW).number == 8
    assert record.log() == before


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"clip_from_top": 7}, "clip_from_top is 7, but this needle has 5 grooves"),
        ({"main": "lots"}, "no number stamped"),
        ({"main": "9"}, "main is 9"),
        ({"screw_turns": float("nan")}, "not a number"),
        ({"screw_turns": -1.0}, "below nothing"),
        ({"cutaway": "8"}, "quarter of the bore"),
    ],
)
def test_a_setup_that_cannot_be_is_refused(record: Record, changes: dict[str, Any], told: str) -> None:
    """The sentence says what is wrong, and the setup before it is still in use."""
    before = record.log()
    with pytest.raises(SetupTrouble, match=told):
        record.fit("magpie", replace(record.setup("magpie"), **changes), now=NOW)
    assert record.log() == before


# --- what was said and measured ----------------------------------------------------------------------------


def test_remarks_and_readings_are_named_in_order_and_names_are_never_used_twice(record: Record) -> None:
    """ride-1 came with the file; ride-2 is struck out; the next is ride-3."""
    second = record.say("magpie", FLAT, now=NOW)
    record.undo("magpie", now=NOW)
    third = record.say("magpie", FLAT, now=NOW)
    reading = record.read("magpie", {"kind": "plug", "at": "1/2", "colour": "tan"}, now=NOW)
    assert (second.entry, third.entry, reading.entry) == ("ride-2", "ride-3", "reading-3")


def test_sent_twice_it_stands_once(record: Record) -> None:
    """A page that sends its entry again after a lost connection gets the same entry back."""
    first = record.say("magpie", FLAT, now=NOW, uid="tap-1")
    assert record.say("magpie", FLAT, now=NOW, uid="tap-1") == first
    assert [remark.entry for trial in record.trials("magpie") for remark in trial.remarks] == [
        "ride-1",
        "ride-2",
    ]


def test_what_is_said_belongs_to_the_setup_and_air_in_force(record: Record) -> None:
    """Another clip, and then other air, each begin another trial."""
    record.fit("magpie", replace(record.setup("magpie"), clip_from_top=4), now=NOW)
    record.say("magpie", BOGS, now=NOW)
    record.note_air(assume_day("Low Meadow", height=420.0, temperature=290.0), now=NOW)
    record.say("magpie", FLAT, now=NOW)
    told = [
        (trial.setup.clip_from_top, trial.day.place, len(trial.remarks)) for trial in record.trials("magpie")
    ]
    assert told == [(3, "Tarn Hollow", 1), (4, "Tarn Hollow", 1), (4, "Low Meadow", 1)]


def test_under_a_struck_setup_it_counts_for_the_one_before(record: Record) -> None:
    """The wrong main was written down, not fitted: strike it out and the ride belongs to the right one."""
    wrong = record.fit("magpie", replace(record.setup("magpie"), main="140"), now=NOW)
    record.say("magpie", FLAT, now=NOW)
    line = next(line for line in record.log("magpie") if line.facts.get("number") == wrong.number)
    record.strike(line.id, now=NOW)
    assert record.setup("magpie").main == "110"
    assert [(trial.setup.main, len(trial.remarks)) for trial in record.trials("magpie")] == [("110", 2)]


def test_under_struck_air_it_counts_for_the_air_before(record: Record) -> None:
    """The same holds for the air."""
    record.note_air(assume_day("Tarn Hollow", height=1450.0), now=NOW)
    record.note_air(assume_day("Low Meadow", height=420.0), now=NOW)
    record.say("magpie", FLAT, now=NOW)
    line = next(line for line in record.log() if line.facts.get("place") == "Low Meadow")
    record.strike(line.id, now=NOW)
    assert record.trials("magpie")[-1].day.height == 1450.0
    assert record.day() == assume_day("Tarn Hollow", height=1450.0)


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"did": "bog"}, 'Did you mean "bogs"?'),
        ({"at": "1/4"}, "does not say what it did"),
        ({"did": "bogs", "at": "1/3"}, "at is '1/3'"),
        ({"did": "bogs", "loud": True}, "loud means nothing"),
        ({"did": 3}, "did is 3"),
    ],
)
def test_a_remark_that_is_none_is_refused(record: Record, fields: dict[str, object], told: str) -> None:
    """What was said is checked before it is kept, in the same words as a file's."""
    before = record.log()
    with pytest.raises(EntryTrouble) as caught:
        record.say("magpie", fields, now=NOW)
    assert told in str(caught.value)
    assert record.log() == before


@pytest.mark.parametrize(
    "fields",
    [
        {"kind": "lambda", "at": "1/2"},
        {"kind": "lambda", "at": "1/2", "value": float("nan")},
        {"kind": "lambda", "at": "1/2", "value": 14.7},
        {"kind": "rollon", "at": "1/2", "seconds": ()},
        {"kind": "rollon", "at": "1/2", "seconds": (4.0, 4.1), "ways": ("there",)},
        {"kind": "rollon", "at": "1/2", "seconds": (4.0,), "ways": ("north",)},
        {"kind": "rollon", "at": "1/2", "seconds": (4.0,), "by": "sun"},
        {"kind": "log", "at": (), "value": (), "spread": ()},
        {"kind": "log", "at": ("1/2",), "value": (0.9, 0.9), "spread": (0.01,)},
        {"kind": "log", "at": ("1/2",), "value": (0.9,), "spread": (0.01,), "rpm": (5000.0, 6000.0)},
        {"kind": "log", "at": ("1/3",), "value": (0.9,), "spread": (0.01,)},
        {"kind": "log", "at": ("1/2",), "value": (14.7,), "spread": (0.01,)},
        {"kind": "gas", "at": "1/2", "co_pct": 2.0, "co2_pct": 12.0, "hc_ppm": 200.0},
        {"kind": "gas", "at": "1/2", "co_pct": 2.0, "co2_pct": 120.0, "hc_ppm": 200.0, "o2_pct": 1.0},
        {"kind": "gas", "co_pct": 2.0, "co2_pct": 12.0, "hc_ppm": 200.0, "o2_pct": 1.0},
        {"kind": "rollon", "at": "1/2", "seconds": ("quick",)},
        {"kind": "rollon", "at": "1/2", "seconds": 4},
        {"kind": "plug", "at": "1/2", "colour": "green"},
        {"kind": "smell", "at": "1/2"},
        {"kind": "rollon", "at": "1/2", "seconds": (4.0,), "rpm": "many"},
        {"kind": "choke", "at": "1/2"},
        {"kind": "choke", "outcome": "better"},
        {"kind": "choke", "at": "1/2", "outcome": "richer"},
        {"kind": "hand", "outcome": "better"},
        {"kind": "hand", "outcome": "rises", "at": "1/2"},
        {"kind": "sweep", "turns": (1.5,), "rpm": (1400.0,)},
        {"kind": "sweep", "turns": (1.0, 1.5), "rpm": (1400.0,)},
        {"kind": "sweep", "turns": (1.0, 1.5), "rpm": (1400.0, -5.0)},
        {"kind": "sweep", "turns": (1.0, 95.0), "rpm": (1400.0, 1450.0)},
        {"kind": "level"},
        {"kind": "level", "above_mm": 90.0},
        {"kind": "touched", "part": "the saddle"},
        {"kind": "look", "look": "soap on the joints"},
        {"kind": "look", "look": "soap on the saddle", "outcome": "found"},
        {"kind": "look", "look": "choke seat", "outcome": "perhaps"},
        {"kind": "look", "look": "choke seat", "outcome": "clear", "at": "1/2"},
        {},
    ],
)
def test_a_reading_that_is_none_is_refused(record: Record, fields: dict[str, object]) -> None:
    """So is what was measured."""
    before = record.log()
    with pytest.raises(EntryTrouble):
        record.read("magpie", fields, now=NOW)
    assert record.log() == before


@pytest.mark.parametrize(
    "fields",
    [
        {"kind": "rollon", "from": "full", "seconds": [5.1, 5.0], "rpm": 6000.0},
        {
            "kind": "rollon",
            "from": "1/2",
            "seconds": [3.894, 3.764],
            "ways": ["there", "back"],
            "by": "trace",
        },
        {
            "kind": "log",
            "at": ["1/4", "1/2"],
            "value": [0.91, 0.93],
            "spread": [0.004, 0.002],
            "rpm": [4200.0, 6000.0],
        },
        {"kind": "log", "at": ["shut"], "value": [0.88], "spread": [0.01]},
        {"kind": "gas", "at": "shut", "co_pct": 3.1, "co2_pct": 11.8, "hc_ppm": 420.0, "o2_pct": 1.2},
        {"kind": "choke", "at": "1/4", "outcome": "no change"},
        {"kind": "hand", "outcome": "sinks"},
        {"kind": "sweep", "turns": [1.0, 1.5, 2.0], "rpm": [1380.0, 1450.0, 0.0]},
        {"kind": "level", "above_mm": -1.5},
        {"kind": "touched", "part": "carburettor off"},
    ],
)
def test_a_reading_stands_in_the_log_as_it_was_told(record: Record, fields: dict[str, object]) -> None:
    """Every kind is kept with its own facts, comes back as the same noun, and counts in the trial."""
    reading = record.read("magpie", fields, now=NOW)
    line = record.log("magpie")[-1]
    assert line.facts == fields
    assert reading_of_facts(line.facts, entry=reading.entry) == reading
    assert record.trials("magpie")[-1].readings[-1] == reading


# --- what a look brought, and what was mended ---------------------------------------------------------------


LOOK = {"kind": "look", "look": "soap on the joints", "outcome": "found"}


def test_what_a_look_brought_is_a_reading(record: Record) -> None:
    """It stands under its own name with the setup and air in force, and comes out as it went in."""
    reading = record.read("magpie", LOOK, now=NOW)
    assert reading == LookReading(entry="reading-3", look="soap on the joints", outcome="found")
    assert record.trials("magpie")[-1].readings[-1] == reading


def test_what_was_told_before_a_mend_was_told_of_a_bike_that_still_had_it(record: Record) -> None:
    """A mend ends the trial, with the same setup on the same day as well."""
    record.read("magpie", LOOK, now=NOW)
    assert record.mend("magpie", " Air Leak", now=NOW) == "air leak"
    record.say("magpie", {"did": "clean", "at": "shut"}, now=NOW)
    before, after = record.trials("magpie")
    assert (before.mended, after.mended) == (("air leak",), ())
    assert (before.setup, before.day) == (after.setup, after.day)
    assert [remark.did for remark in after.remarks] == ["clean"]


def test_each_trial_knows_all_that_was_mended_since(record: Record) -> None:
    """Two mends, one after the other: the first trial had both faults, the second the later one."""
    record.mend("magpie", "air leak", now=NOW)
    record.say("magpie", FLAT, now=NOW)
    record.mend("magpie", "choke not off", now=NOW)
    record.say("magpie", FLAT, now=NOW)
    told = [trial.mended for trial in record.trials("magpie")]
    assert told == [("air leak", "choke not off"), ("choke not off",), ()]


def test_a_mend_struck_out_never_was(record: Record) -> None:
    """Undo takes the mend back and the trials are one again; striking the strike brings it back."""
    record.mend("magpie", "air leak", now=NOW)
    mended = record.trials("magpie")
    line = record.undo("magpie", now=NOW)
    assert line is not None
    assert (line.kind, line.facts, line.struck) == ("mend", {"fault": "air leak"}, True)
    assert [trial.mended for trial in record.trials("magpie")] == [()]
    record.strike(record.log()[-1].id, now=NOW)
    assert record.trials("magpie") == mended


def test_a_mend_sent_twice_stands_once(record: Record) -> None:
    """A page that sends it again adds nothing; the same fault mended again is another mend."""
    for _ in range(2):
        record.mend("magpie", "air leak", now=NOW, uid="tap-1")
    assert record.trials("magpie")[0].mended == ("air leak",)
    record.mend("magpie", "air leak", now=NOW)
    assert record.trials("magpie")[0].mended == ("air leak", "air leak")


def test_only_a_fault_that_this_bike_can_have_is_mended(record: Record) -> None:
    """A slip is met with the nearest; a bike without a choke has none to mend."""
    before = record.log()
    with pytest.raises(EntryTrouble, match='Did you mean "air leak"'):
        record.mend("magpie", "air leek", now=NOW)
    assert record.log() == before
    bare = read_bike_file(MAGPIE.replace("bore_mm = 26.0", 'bore_mm = 26.0\nchoke = "none"'), source_name="")
    record.add_bike(bare, now=NOW, replace=True)
    with pytest.raises(EntryTrouble, match="choke not off"):
        record.mend("magpie", "choke not off", now=NOW)


def test_a_look_and_a_mend_go_out_with_the_bike_and_come_in_again(record: Record, tmp_path: Path) -> None:
    """The file tells the mend once, behind the ride it ended; another garage that adds it knows the same."""
    record.read("magpie", LOOK, now=NOW)
    record.mend("magpie", "air leak", now=NOW)
    record.say("magpie", FLAT, now=NOW)
    text = write_bike_file(record.bike_file("magpie"))
    assert text.count('mended = ["air leak"]') == 1
    read = read_bike_file(text, source_name="magpie.toml")
    assert read.trials == record.trials("magpie")
    assert record.add_bike(read, now=NOW, replace=True) == ()
    with Record.open(tmp_path / "other.garage") as other:
        other.add_bike(read, now=NOW)
        assert other.trials("magpie") == record.trials("magpie")
        assert write_bike_file(other.bike_file("magpie")) == text


def test_a_mend_before_any_ride_is_kept_as_well(record: Record) -> None:
    """Nothing was told yet: the mend stands by itself, and goes out with the bike."""
    for _ in range(3):
        record.undo("magpie", now=NOW)
    record.mend("magpie", "air leak", now=NOW)
    (trial,) = record.trials("magpie")
    assert (trial.remarks, trial.readings, trial.mended) == ((), (), ("air leak",))
    out = read_bike_file(write_bike_file(record.bike_file("magpie")), source_name="magpie.toml")
    assert out.trials == (trial,)


# --- striking out ------------------------------------------------------------------------------------------


def test_undo_goes_back_step_by_step_and_stops_at_the_bike(record: Record) -> None:
    """Undo takes back the remark, then the clip, then what came with the file; the bike stays."""
    record.fit("magpie", replace(record.setup("magpie"), clip_from_top=4), now=NOW)
    record.say("magpie", FLAT, now=NOW)
    undone = []
    while (line := record.undo("magpie", now=NOW)) is not None:
        undone.append(line.entry or line.kind)
    assert undone == ["ride-2", "setup", "reading-2", "reading-1", "ride-1"]
    assert (record.bikes(), record.setup("magpie").clip_from_top, record.trials("magpie")) == (
        ("Magpie",),
        3,
        (),
    )


def test_a_strike_can_be_struck_out_in_turn(record: Record) -> None:
    """Striking out the strike brings the remark back, and striking that out takes it away again."""
    record.say("magpie", FLAT, now=NOW)
    whole = record.trials("magpie")
    record.undo("magpie", now=NOW)
    without = record.trials("magpie")
    seen = []
    for _ in range(2):
        record.strike(record.log()[-1].id, now=NOW)
        seen.append(record.trials("magpie"))
    assert whole != without
    assert seen == [whole, without]


def test_what_is_struck_out_still_stands_in_the_logbook(record: Record, place: Path) -> None:
    """The line is there, struck; nothing on disk was changed, one entry was added."""
    before = entries_on_disk(place)
    record.undo("magpie", now=NOW)
    after = entries_on_disk(place)
    assert after[: len(before)] == before
    assert len(after) == len(before) + 1
    assert [line.entry for line in record.log("magpie") if line.struck] == ["reading-2"]


@pytest.mark.parametrize("target", [0, 999, -1])
def test_an_entry_that_is_not_there_cannot_be_struck(record: Record, target: int) -> None:
    """A wrong number is told, and nothing changes."""
    with pytest.raises(CannotStrike, match="no entry"):
        record.strike(target, now=NOW)


def test_nothing_is_struck_twice(record: Record) -> None:
    """A second strike would only confuse whoever takes back the first."""
    line = record.undo("magpie", now=NOW)
    assert line is not None
    with pytest.raises(CannotStrike, match="already"):
        record.strike(line.id, now=NOW)


def test_no_bike_is_left_with_nothing_fitted(record: Record) -> None:
    """The only setup stays, whichever way one tries to take it away."""
    only = next(line for line in record.log("magpie") if line.kind == "setup")
    with pytest.raises(CannotStrike, match="nothing fitted"):
        record.strike(only.id, now=NOW)
    record.fit("magpie", replace(record.setup("magpie"), clip_from_top=4), now=NOW)
    second = next(line for line in record.log("magpie") if line.facts.get("clip_from_top") == 4)
    record.strike(second.id, now=NOW)
    gone = record.log()[-1]
    record.strike(gone.id, now=NOW)
    back = record.log()[-1]
    record.strike(only.id, now=NOW)
    with pytest.raises(CannotStrike, match="nothing fitted"):
        record.strike(back.id, now=NOW)
    assert record.setup("magpie").clip_from_top == 4


def test_a_bike_struck_out_leaves_and_can_come_back(record: Record, magpie: BikeFile) -> None:
    """The name is free while it is away; two of one name never stand side by side."""
    first = record.log()[0]
    record.strike(first.id, now=NOW)
    away = record.log()[-1]
    assert record.bikes() == ()
    record.add_bike(replace(magpie, what="another", trials=()), now=NOW)
    assert record.bike("magpie").what == "another"
    assert record.trials("magpie") == ()
    with pytest.raises(CannotStrike, match="two bikes"):
        record.strike(away.id, now=NOW)
    assert record.bikes() == ("Magpie",)


# --- drawer, air, places, cards ----------------------------------------------------------------------------


def test_the_drawer_holds_what_was_put_in_and_not_taken_out(record: Record) -> None:
    """By size, each stamp once."""
    record.put_in_drawer("main", ["115", "105", "97.5"], now=NOW)
    record.put_in_drawer("main", ["105"], now=NOW)
    record.put_in_drawer("cutaway", ["3.0"], now=NOW)
    drawer = record.take_from_drawer("main", ["115"], now=NOW)
    assert (drawer.mains, drawer.pilots, drawer.cutaways) == (("97.5", "105"), (), ("3.0",))


def test_only_what_is_there_can_be_taken_out(record: Record) -> None:
    """The sentence says what the drawer holds."""
    record.put_in_drawer("pilot", ["40"], now=NOW)
    with pytest.raises(NotInDrawer, match=r"no pilot jet 42 in the drawer\. It holds 40\."):
        record.take_from_drawer("pilot", ["42"], now=NOW)


def test_a_needle_in_the_drawer_keeps_its_shape(record: Record, magpie: BikeFile) -> None:
    """A needle comes out as it went in, and goes by its stamp."""
    needle = replace(magpie.bike.carb.needle, stamp="5D1")
    assert record.put_needle_in_drawer(needle, now=NOW).needles == (needle,)
    assert record.take_from_drawer("needle", ["5D1"], now=NOW).needles == ()


@pytest.mark.parametrize("stamp", ["", "big", "9999", "nan", "1" * 40])
def test_a_stamp_that_is_none_stays_out_of_the_drawer(record: Record, stamp: str) -> None:
    """What nobody stamps on a main jet is refused."""
    with pytest.raises(EntryTrouble):
        record.put_in_drawer("main", [stamp], now=NOW)


def test_the_air_noted_here_goes_before_air_that_came_with_a_bike(record: Record, magpie: BikeFile) -> None:
    """Without air of our own the last trial's stands in; once noted, ours counts."""
    assert record.day() == magpie.trials[0].day
    ours = assume_day("Low Meadow", height=420.0, pressure=96_500.0, date="2026-11-14")
    record.note_air(ours, now=NOW)
    assert record.day() == ours


def test_air_that_cannot_be_is_refused(record: Record) -> None:
    """851 written where pascal belong is not taken for air."""
    with pytest.raises(EntryTrouble):
        record.note_air(assume_day(pressure=851.0), now=NOW)


def test_a_place_keeps_the_height_last_noted(record: Record) -> None:
    """A better height replaces the old one; the name is the same place, capitals or not."""
    record.note_place("Tarn Hollow", 1400.0, now=NOW)
    record.note_place("tarn hollow", 1450.0, now=NOW)
    assert [(place.name, place.height) for place in record.places()] == [("tarn hollow", 1450.0)]


def test_a_card_is_kept_word_for_word(record: Record) -> None:
    """What was said to the rider stands with its date and who signed it."""
    record.keep_card("magpie", "Raise the needle one groove.", signed="floatbowl 0.1.0", now=NOW)
    card = record.cards("magpie")[0]
    assert (card.text, card.signed, card.when) == ("Raise the needle one groove.", "floatbowl 0.1.0", NOW)


# --- the file itself ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "statement",
    [
        "update entry set at = 'never'",
        "delete from entry",
        "insert or replace into entry select * from entry where id = 2",
        "insert into entry (id, uid, at, kind, body, strikes) values (1000, 'x', '', 'strike', '{}', 999)",
        "insert into entry (id, uid, at, kind, body) values (1000, 'x', '', 'guess', '{}')",
        "insert into entry (id, uid, at, kind, body) values (1000, 'x', '', 'place', 'not json')",
        "insert into entry (id, uid, at, kind, body) values (1000, 'x', '', 'strike', '{}')",
        "insert into entry (id, uid, at, kind, body) values ('x', 'x', '', 'place', '{}')",
    ],
)
def test_the_file_itself_refuses_change(record: Record, place: Path, statement: str) -> None:
    """Whoever opens the file with another program cannot change, erase, replace or garble an entry."""
    before = entries_on_disk(place)
    with closing(sqlite3.connect(place)) as connection:
        connection.execute("pragma foreign_keys = on")
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute(statement)
    assert entries_on_disk(place) == before
    assert record.bikes() == ("Magpie",)


def test_a_failure_in_the_middle_leaves_nothing_behind(
    record: Record, magpie: BikeFile, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A bike whose file cannot be kept whole is not kept in part."""
    before = entries_on_disk(place)
    real = record._entries.add

    def add(kind: Any, body: Any, **under: Any) -> Any:  # noqa: ANN401  (stands in for Entries.add)
        if kind == "reading":
            message = "the lamp went out"
            raise RuntimeError(message)
        return real(kind, body, **under)

    monkeypatch.setattr(record._entries, "add", add)
    with pytest.raises(RuntimeError, match="lamp"):
        record.add_bike(replace(magpie, name="Otter"), now=NOW)
    assert entries_on_disk(place) == before


ACTS: list[Callable[[Record, BikeFile], object]] = [
    lambda record, file: record.add_bike(file, now=NOW),
    lambda record, _: record.say("magpie", BOGS, now=NOW),
    lambda record, _: record.fit("magpie", replace(record.setup("magpie"), clip_from_top=2), now=NOW),
    lambda record, _: record.undo("magpie", now=NOW),
    lambda record, _: record.mend("magpie", "air leak", now=NOW),
    lambda record, _: record.strike(record.log()[-1].id, now=NOW),
    lambda record, _: record.strike(record.log()[0].id, now=NOW),
    lambda record, file: record.add_bike(replace(file, what="other"), now=NOW, replace=True),
    lambda record, _: record.take_from_drawer("main", ["1"], now=NOW),
]


@pytest.mark.property
@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
@given(acts=st.lists(st.sampled_from(ACTS), max_size=12))
def test_whatever_is_done_the_record_only_grows_and_stays_whole(
    acts: list[Callable[[Record, BikeFile], object]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Any row of acts leaves earlier entries as they were, and every bike with something fitted."""
    place = tmp_path_factory.mktemp("acts") / "garage.sqlite"
    file = read_bike_file(MAGPIE, source_name="magpie.toml")
    with Record.open(place) as record:
        record.add_bike(file, now=NOW)
        for act in acts:
            before = entries_on_disk(place)
            try:
                act(record, file)
            except RecordTrouble:
                assert entries_on_disk(place) == before
            assert entries_on_disk(place)[: len(before)] == before
            assert [record.setups(name) for name in record.bikes() if not record.setups(name)] == []
