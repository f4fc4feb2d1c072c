"""Ride notes as text: what is read, what is refused by its line, and what stands once in the record."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.jobs import FirstAnswers, Garage, RecordTrouble, open_garage
from floatbowl.record.notes_text import NotesTrouble, is_notes, read_notes

FITTED = "2026-11-25T14:02Z 00112233445566aa fitted clip 4; main 98"
SAID = "2026-11-25T14:10Z 00112233445566ab said bogs, 1/4, snap, hot, every time"
ELSEWHERE = "2026-11-25T14:12Z 00112233445566ac said hard start, cold"


def text_of(*notes: str, setup: int = 1, bike: str = "Wren") -> str:
    """Write notes as a take-along hands them out."""
    return "\n".join([f"FLOATBOWL-NOTES/1 {bike}", f"Setup {setup}", *notes, f"END {len(notes)}", ""])


@pytest.fixture
def shed(tmp_path: Path) -> Garage:
    """Give a garage with one bike."""
    garage = open_garage(tmp_path / "its.garage")
    garage.new_bike(FirstAnswers(name="Wren", strokes=4, swept_cc=107.0, main="95"))
    return garage


def test_a_note_is_read_word_by_word() -> None:
    """What was said and what was fitted come back under the fields of a remark and of a setup."""
    fitted, said, elsewhere = read_notes(text_of(FITTED, SAID, ELSEWHERE)).notes
    assert fitted.fitted == {"clip_from_top": 4, "main": "98"}
    assert said.said == {"did": "bogs", "at": "1/4", "how": "snap", "engine": "hot", "often": "every time"}
    assert elsewhere.said == {"did": "hard start", "engine": "cold"}
    assert said.when.isoformat() == "2026-11-25T14:10:00+00:00"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("FLOATBOWL-NOTES/1 Wren", "Line 1"),
        ("FLOATBOWL-NOTES/1\nSetup 1\nEND 0", "Line 1"),
        (text_of(SAID).replace("END 1\n", ""), "break off"),
        (text_of(SAID, ELSEWHERE).replace("END 2", "END 3"), "counts 3 notes, but there are 2"),
        (text_of(SAID.replace("bogs", "sings")), "Line 3"),
        (text_of(SAID.replace("bogs, ", "")), "Line 3"),
        (text_of(SAID.replace("snap", "hot")), "Line 3"),
        (text_of(FITTED.replace("clip 4", "clip four")), "Line 3"),
        (text_of(FITTED.replace("clip 4", "colour red")), "Line 3"),
        (text_of(SAID.replace("-25T", "-35T")), "Line 3"),
        (text_of(SAID.replace("00112233445566ab", "1")), "Line 3"),
    ],
)
def test_what_is_no_note_is_named_by_its_line(text: str, told: str) -> None:
    """Text that was cut, counted wrong or changed on its way is refused whole, with where and why."""
    with pytest.raises(NotesTrouble, match=told):
        read_notes(text)


@pytest.mark.property
@given(st.text())
def test_any_text_is_read_or_refused(text: str) -> None:
    """Whatever stands behind the first words, it is notes or a trouble told by lines."""
    with pytest.raises(NotesTrouble, match=r"Line \d") if "END" not in text else suppress(NotesTrouble):
        read_notes(f"FLOATBOWL-NOTES/1 {text}")


def test_a_card_is_no_notebook() -> None:
    """The text of a setup card and that of notes are told apart by their first word."""
    assert is_notes(text_of(SAID))
    assert not is_notes("FLOATBOWL/1 WREN MAIN 95")


def test_notes_are_written_down_once_and_in_order(shed: Garage) -> None:
    """Taken twice they stand once; with more notes behind them only those are new."""
    first = shed.take_notes(text_of(FITTED, SAID))
    assert (first.new, first.known, first.setup.number) == (2, 0, 2)
    again = shed.take_notes(text_of(FITTED, SAID))
    assert (again.new, again.known, again.setup) == (0, 2, first.setup)
    later = shed.take_notes(text_of(FITTED, SAID, ELSEWHERE))
    assert (later.new, later.known) == (1, 2)
    lines = [line.kind for line in shed.log("Wren")][-3:]
    assert lines == ["setup", "remark", "remark"]
    assert [one.setup.number for one in shed.trials("Wren") if one.remarks] == [2]


def test_a_part_put_back_is_followed(shed: Garage) -> None:
    """Fitted, put back, and taken again: the notes end where they ended at the track."""
    back = FITTED.replace("clip 4; main 98", "main 95").replace("66aa", "66bb")
    there = FITTED.replace("clip 4; ", "")
    for _ in range(2):
        assert shed.take_notes(text_of(there, back)).setup.main == "95"


def test_notes_of_parts_that_are_gone_are_refused(shed: Garage) -> None:
    """Where other parts were fitted here meanwhile, nothing is written down, and it says why."""
    shed.fit("Wren", main="100")
    with pytest.raises(RecordTrouble, match="begin on setup 1 of Wren"):
        shed.take_notes(text_of(SAID))
    assert not any(trial.remarks for trial in shed.trials("Wren"))


def test_what_was_struck_out_stays_struck(shed: Garage) -> None:
    """A note that was taken back in the logbook does not come again with the same text."""
    shed.take_notes(text_of(SAID))
    shed.undo("Wren")
    assert shed.take_notes(text_of(SAID)).new == 0
    assert not any(trial.remarks for trial in shed.trials("Wren"))
