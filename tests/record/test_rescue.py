"""A damaged record: what can be read goes into a new one, what is lost is named, the old one stays."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from floatbowl.bike.place import assume_day
from floatbowl.record import health, rescue
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.log import LogLine
from floatbowl.record.store import Record
from floatbowl.record.trouble import NotKept
from tests.record.files import NOW

PAGE = 4096


def filled(place: Path, magpie: BikeFile, *, is_copied: bool = False) -> tuple[LogLine, ...]:
    """Make a record of some pages with most kinds of entries in it, and give its logbook."""
    with Record.open(place) as record:
        record.add_bike(magpie, now=NOW)
        record.add_bike(replace(magpie, name="Otter"), now=NOW)
        record.put_in_drawer("main", ["105", "108"], now=NOW)
        record.set_setting("units", "imperial", now=NOW)
        for count in range(40):
            record.say("magpie", {"did": "flat"}, now=NOW)
            record.note_air(assume_day("Tarn Hollow", height=1400.0 + count), now=NOW)
            record.fit("otter", replace(record.setup("otter"), clip_from_top=1 + count % 3), now=NOW)
            record.read("otter", {"kind": "plug", "at": "full", "colour": "tan"}, now=NOW)
        record.undo("magpie", now=NOW)
        if is_copied:
            record.keep_spare(now=NOW)
        return record.log()


def spoilt(content: bytes, page: int) -> bytes:
    """Overwrite one page."""
    return content[: page * PAGE] + b"\xa5" * PAGE + content[(page + 1) * PAGE :]


def told(saved: Path) -> dict[int, LogLine]:
    """Read a saved record as floatbowl reads any, all of it, and give its logbook by number."""
    with Record.open(saved) as record:
        assert record.only_read_because == ""
        for name in record.bikes():
            assert record.setups(name)
            record.trials(name)
        record.drawer()
        record.settings()
        record.say(record.bikes()[0], {"did": "bogs"}, now=NOW)
        return {line.id: line for line in record.log()[:-1]}


def test_whichever_page_is_spoilt_the_rest_is_saved(place: Path, magpie: BikeFile, tmp_path: Path) -> None:
    """Every page in turn: what is saved reads as it did, what is not is named, the old bytes stay."""
    log: dict[int, LogLine] = {line.id: line for line in filled(place, magpie)}
    whole = place.read_bytes()
    worst = 0
    for page in range(len(whole) // PAGE):
        place.write_bytes(spoilt(whole, page))
        saved = rescue.rescue(place, tmp_path / f"{page}.sqlite")
        assert place.read_bytes() == spoilt(whole, page)
        kept = told(saved.place)
        assert saved.entries == len(kept)
        changed = {*saved.stood_in, *saved.leaning}
        as_before = {number: line for number, line in kept.items() if number not in changed}
        assert {number: (line.kind, line.facts) for number, line in as_before.items()} == {
            number: (log[number].kind, log[number].facts) for number in as_before
        }
        named = {*kept, *saved.lost}
        assert named == set(range(1, max(named) + 1))
        worst = max(worst, len(log) - len(as_before))
    assert 0 < worst < len(log) / 3


def test_what_a_copy_still_holds_is_taken_from_there(place: Path, magpie: BikeFile, tmp_path: Path) -> None:
    """With a copy of the day nothing is lost, whichever page is spoilt."""
    log = filled(place, magpie, is_copied=True)
    whole = place.read_bytes()
    from_copies = 0
    for page in range(len(whole) // PAGE):
        place.write_bytes(spoilt(whole, page))
        saved = rescue.rescue(place, tmp_path / f"{page}.sqlite")
        assert (saved.lost, saved.stood_in, saved.leaning) == ((), (), ())
        assert list(told(saved.place).values()) == list(log)
        from_copies += len(saved.from_copies)
    assert from_copies > 0


def test_a_copy_of_another_garage_gives_nothing(place: Path, magpie: BikeFile, tmp_path: Path) -> None:
    """Entries of other names under the same numbers: the copy is left out."""
    filled(place, magpie, is_copied=True)
    place.unlink()
    filled(place, magpie)
    whole = place.read_bytes()
    place.write_bytes(spoilt(whole, len(whole) // PAGE - 1))
    assert rescue.rescue(place, tmp_path / "new.sqlite").from_copies == ()


def test_a_file_in_which_nothing_is_left_is_told(tmp_path: Path) -> None:
    """No entry anywhere: a sentence, and no new file."""
    place = tmp_path / "garage.sqlite"
    place.write_bytes(b"\xa5" * 3 * PAGE)
    with pytest.raises(NotKept, match="Not one entry"):
        rescue.rescue(place, tmp_path / "new.sqlite")
    assert not (tmp_path / "new.sqlite").exists()


def test_nothing_is_written_over(place: Path, magpie: BikeFile, tmp_path: Path) -> None:
    """A file that is there already is left alone."""
    filled(place, magpie)
    (tmp_path / "new.sqlite").write_text("mine")
    with pytest.raises(NotKept, match="left alone"):
        rescue.rescue(place, tmp_path / "new.sqlite")
    assert (tmp_path / "new.sqlite").read_text() == "mine"


def test_what_was_told_of_a_lost_bike_stays(place: Path, magpie: BikeFile, tmp_path: Path) -> None:
    """Its first entry gone: a bike nobody knows stands in, and its rides are under it."""
    filled(place, magpie)
    rows = rescue.read_by_pages(place)
    place.write_bytes(place.read_bytes().replace(rows[1].uid.encode(), b"\xff" * 32))
    saved = rescue.rescue(place, tmp_path / "new.sqlite")
    assert 1 in saved.stood_in
    with Record.open(saved.place) as record:
        assert record.bikes() == ("Lost bike 1", "Otter")
        assert record.trials("lost bike 1")


# --- the doctor --------------------------------------------------------------------------------------------


def keys(place: Path) -> dict[str, health.Weight]:
    """Name what is found."""
    return {
        finding.key: finding.weight
        for finding in health.examine(place, now=NOW)
        if finding.key != "old sqlite"
    }


def test_a_whole_record_is_called_whole(place: Path, magpie: BikeFile) -> None:
    """Nothing bad, and its copy is named; looking writes nothing."""
    filled(place, magpie, is_copied=True)
    before = place.read_bytes()
    assert keys(place) == {"whole": "good", "copies": "good"}
    assert place.read_bytes() == before


def test_every_spoilt_page_is_found(place: Path, magpie: BikeFile) -> None:
    """The full check sees what each page holds; without the copy's help too."""
    filled(place, magpie)
    whole = place.read_bytes()
    for page in range(len(whole) // PAGE):
        place.write_bytes(spoilt(whole, page))
        assert "bad" in keys(place).values()


def test_a_letter_that_changed_is_found_by_the_copy(place: Path, magpie: BikeFile) -> None:
    """SQLite sees nothing wrong in a main jet of 109; an entry is never changed, so the copy does."""
    filled(place, magpie, is_copied=True)
    content = place.read_bytes()
    assert content.count(b'"stamps": ["105", "108"]') == 1
    place.write_bytes(content.replace(b'"stamps": ["105", "108"]', b'"stamps": ["105", "109"]'))
    assert keys(place)["changed"] == "bad"


def test_an_entry_that_makes_no_sense_is_found(place: Path, magpie: BikeFile) -> None:
    """A behaviour that does not exist: well-formed for SQLite, nonsense for us."""
    filled(place, magpie)
    place.write_bytes(place.read_bytes().replace(b'"did": "flat"', b'"did": "flit"', 1))
    assert keys(place)["garbled"] == "bad"


def test_no_record_and_a_foreign_file_are_told_apart(tmp_path: Path) -> None:
    """What is not there is no trouble; what is not ours is one."""
    assert keys(tmp_path / "none.sqlite") == {"no record": "note"}
    (tmp_path / "letter.txt").write_text("Dear all,\n" * 100)
    assert keys(tmp_path / "letter.txt")["not ours to read"] == "bad"
