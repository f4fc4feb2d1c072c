"""The whole garage as plain files: out and back it is equal, and no spoilt file harms a record."""

from __future__ import annotations

import csv
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from floatbowl.bike.aside import Aside
from floatbowl.bike.place import assume_day
from floatbowl.record import steps, whole
from floatbowl.record.bike_file import BikeFile, load_bike_file, read_bike_file
from floatbowl.record.garage_file import load_garage_file
from floatbowl.record.log import LogLine
from floatbowl.record.store import Record
from floatbowl.record.trouble import LogbookTrouble, NameTaken, NotKept, RecordTrouble
from tests.record.files import MAGPIE, NOW, bike_files

CASES = int(os.environ.get("FLOATBOWL_FUZZ", "60"))


def say(line: LogLine) -> str:
    """Tell a line of the log, as a person might be fooled by."""
    return f"={line.kind}"


def fill(record: Record, magpie: BikeFile) -> None:
    """Do one of everything that can be done."""
    record.add_bike(magpie, now=NOW, uid="first")
    record.add_bike(replace(magpie, name="Otter ä"), now=NOW)
    record.add_bike(replace(magpie, what="told anew"), now=NOW, replace=True)
    record.put_in_drawer("main", ["105", "108"], now=NOW)
    record.take_from_drawer("main", ["105"], now=NOW)
    record.put_needle_in_drawer(replace(magpie.bike.carb.needle, stamp="5D1"), now=NOW)
    record.note_air(assume_day("Low Meadow", height=420.0, pressure=96_500.0), now=NOW)
    record.note_place("Low Meadow", 420.0, now=NOW)
    record.fit("magpie", replace(record.setup("magpie"), clip_from_top=2), now=NOW, tag="air leak")
    record.say("magpie", {"did": "bogs", "at": "1/4"}, now=NOW)
    record.read("magpie", {"kind": "plug", "at": "full", "colour": "tan"}, now=NOW)
    record.mend("magpie", "air leak", now=NOW)
    record.strip("magpie", "outside", "fine", now=NOW)
    record.set_aside("magpie", Aside(part="clip", after=4), now=NOW)
    record.keep_card("magpie", 'A "card",\nof two lines; with commas', signed="floatbowl", now=NOW)
    record.set_setting("units", "imperial", now=NOW)
    record.undo("magpie", now=NOW)
    record.strike(record.log()[-1].id, now=NOW)


def state(record: Record) -> dict[str, Any]:
    """Give all that a record tells, under every question there is."""
    bikes = record.bikes()
    return {
        "bikes": [record.bike(name) for name in bikes],
        "setups": [record.setups(name) for name in bikes],
        "trials": [record.trials(name) for name in bikes],
        "asides": [record.asides(name) for name in bikes],
        "cards": [record.cards(name) for name in bikes],
        "drawer": record.drawer(),
        "places": record.places(),
        "day": record.day(),
        "settings": record.settings(),
        "log": record.log(),
        "sent": record.sent("first"),
    }


def test_out_and_back_a_garage_is_equal(record: Record, magpie: BikeFile, tmp_path: Path) -> None:
    """Every answer is the same, down to the struck lines, their times, and what was sent under a name."""
    fill(record, magpie)
    written = record.write_out(tmp_path / "out", say=say)
    assert written.bikes == ("bikes/magpie.toml", "bikes/otter.toml")
    with Record.open(tmp_path / "back.sqlite") as back:
        assert back.read_in(tmp_path / "out", now=NOW) == len(record.log())
        assert state(back) == state(record)
        back.say("magpie", {"did": "flat"}, now=NOW)


@pytest.mark.parametrize("step", [1, 2, 3])
def test_a_garage_of_any_earlier_step_comes_out_and_back(
    place: Path, magpie: BikeFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    """Made at that step, opened today, written out, read back: equal."""
    with monkeypatch.context() as then:
        then.setattr(steps, "STEPS", steps.STEPS[:step])
        then.setattr(steps, "NEWEST", step)
        with Record.open(place) as record:
            record.add_bike(magpie, now=NOW)
            record.undo("magpie", now=NOW)
    with Record.open(place) as record, Record.open(tmp_path / "back.sqlite") as back:
        record.write_out(tmp_path / "out", say=say)
        back.read_in(tmp_path / "out", now=NOW)
        assert state(back) == state(record)


def test_the_files_are_those_that_people_read(record: Record, magpie: BikeFile, tmp_path: Path) -> None:
    """Each bike's file and the garage's are read by themselves, and the table opens as a table."""
    fill(record, magpie)
    record.write_out(tmp_path / "out", say=say)
    assert load_bike_file(tmp_path / "out" / "bikes" / "magpie.toml").bike == record.bike("magpie")
    assert load_garage_file(tmp_path / "out" / "garage.toml").drawer == record.drawer()
    with (tmp_path / "out" / "logbook.csv").open(newline="", encoding="utf-8") as file:
        lines = list(csv.DictReader(file))
    assert len(lines) == len(record.log())
    assert {line["what"][:2] for line in lines} == {"'="}
    assert [line["struck out"] for line in lines].count("yes") == sum(line.struck for line in record.log())


def test_into_a_garage_where_bikes_stand_only_what_is_new_is_added(
    record: Record, magpie: BikeFile, tmp_path: Path
) -> None:
    """The folder twice adds nothing the second time; a bike that tells something else is refused, whole."""
    fill(record, magpie)
    record.write_out(tmp_path / "out", say=say)
    with Record.open(tmp_path / "other.sqlite") as other:
        other.add_bike(replace(magpie, name="Wren"), now=NOW)
        assert other.read_in(tmp_path / "out", now=NOW) is None
        assert other.bikes() == ("Wren", "Magpie", "Otter ä")
        assert other.drawer() == record.drawer()
        before = other.log()
        other.read_in(tmp_path / "out", now=NOW)
        assert other.log() == before
    with Record.open(tmp_path / "third.sqlite") as third:
        third.add_bike(replace(magpie, what="another bike of this name"), now=NOW)
        before = third.log()
        with pytest.raises(NameTaken):
            third.read_in(tmp_path / "out", now=NOW)
        assert third.log() == before


def test_nothing_is_written_over_and_an_empty_folder_is_told(record: Record, tmp_path: Path) -> None:
    """A folder with something in it is left alone; one with nothing in it says so."""
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine.txt").write_text("mine")
    with pytest.raises(NotKept, match="left alone"):
        record.write_out(tmp_path / "full", say=say)
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["mine.txt"]
    (tmp_path / "empty").mkdir()
    with pytest.raises(NotKept, match="no bike file"):
        record.read_in(tmp_path / "empty", now=NOW)


@pytest.mark.property
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
@given(files=some.lists(bike_files(), max_size=3, unique_by=lambda file: file.name.strip().casefold()))
def test_any_bikes_come_back_equal(files: list[BikeFile], tmp_path_factory: pytest.TempPathFactory) -> None:
    """Whatever bikes hypothesis thinks of, whatever they are called."""
    folder = tmp_path_factory.mktemp("any")
    with Record.open(folder / "a.sqlite") as record, Record.open(folder / "b.sqlite") as back:
        for file in files:
            record.add_bike(file, now=NOW)
        record.write_out(folder / "out", say=say)
        back.read_in(folder / "out", now=NOW)
        assert state(back) == state(record)


# --- spoilt logbooks ---------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Give the text of a good logbook."""
    folder = tmp_path_factory.mktemp("table")
    with Record.open(folder / "garage.sqlite") as record:
        fill(record, read_bike_file(MAGPIE, source_name="magpie.toml"))
        record.write_out(folder / "out", say=say)
    return (folder / "out" / "logbook.csv").read_bytes().decode()


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Callable[[bytes], Record]:
    """Give a way to offer a logbook to an empty record: None of the lines or all of them are taken."""
    folder = tmp_path_factory.mktemp("offered")

    def offer(data: bytes) -> Record:
        (folder / "logbook.csv").write_bytes(data)
        (folder / "garage.sqlite").unlink(missing_ok=True)
        record = Record.open(folder / "garage.sqlite")
        try:
            record.read_in(folder, now=NOW)
        except RecordTrouble as caught:
            trouble = caught
        else:
            return record
        assert all(line.isprintable() for line in str(trouble).splitlines())
        assert record.log() == ()
        return record

    return offer


@pytest.mark.property
@settings(
    max_examples=CASES,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
    deadline=None,
)
@given(data=some.data())
def test_a_spoilt_logbook_gives_a_garage_or_sentences(
    data: some.DataObject, table: str, empty: Callable[[bytes], Record]
) -> None:
    """Bytes changed, cut out and put in: a record that can be read through and through, or none of it."""
    spoilt = bytearray(table.encode())
    for _ in range(data.draw(some.integers(1, 4))):
        start = data.draw(some.integers(0, len(spoilt)))
        end = data.draw(some.integers(start, min(len(spoilt), start + 30)))
        some_bytes = some.binary(max_size=8) | some.sampled_from(
            [b'"', b"\r\n", b",", b"1", b"9" * 30, b"null"]
        )
        spoilt[start:end] = data.draw(some_bytes)
    with empty(bytes(spoilt)) as record:
        state(record)


def test_a_logbook_from_a_spreadsheet_is_read(table: str, empty: Callable[[bytes], Record]) -> None:
    """Saved with semicolons and a byte order mark it is the same."""
    lines = csv.reader(table.splitlines(keepends=True))
    again = "\r\n".join(";".join('"' + cell.replace('"', '""') + '"' for cell in cells) for cells in lines)
    text = again.replace(f'"{whole.FORM}"', whole.FORM, 1)
    with empty(b"\xef\xbb\xbf" + text.encode()) as record:
        assert len(record.log()) == len(list(csv.reader(table.splitlines(keepends=True)))) - 1


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        (whole.FORM, "floatbowl.logbook/2", "first cell"),
        ("strikes", "strokes", "no column strikes"),
        ('""did"": ""bogs""', '""did"": ""boggles""', "Line"),
        (",remark,", ",remork,", "Line"),
    ],
)
def test_what_is_wrong_with_a_logbook_is_told(
    table: str, tmp_path: Path, before: str, after: str, told: str
) -> None:
    """The sentence names the line."""
    assert before in table
    (tmp_path / "logbook.csv").write_text(table.replace(before, after, 1), encoding="utf-8", newline="")
    with Record.open(tmp_path / "garage.sqlite") as record, pytest.raises(LogbookTrouble, match=told):
        record.read_in(tmp_path, now=NOW)
