"""Drawer and places in one file."""

from __future__ import annotations

from dataclasses import replace

import pytest

from floatbowl.record.bike_text import write_garage_file
from floatbowl.record.garage_file import GarageFile, read_garage_file
from floatbowl.record.store import Record
from floatbowl.record.trouble import GarageFileTrouble
from tests.record.files import NOW

GARAGE = """\
form = "floatbowl.garage/1"

[drawer]                      # the tin on the left
mains = ["105", "108", "110"]
pilots = ["38", "40"]
cutaways = ["2.5", "3.0"]
spanners = 3

[[drawer.needle]]
stamp = "5D1"
top_mm = 2.51
straight_mm = 14
tip_mm = 1.85
length_mm = 38

[[place]]
name = "Tarn Hollow"
height_m = 1450
"""


def read(text: str) -> GarageFile:
    """Read a text as garage.toml."""
    return read_garage_file(text, source_name="garage.toml")


def test_drawer_and_places_are_read() -> None:
    """Jets, slides, needles by their shape, places by their height."""
    file = read(GARAGE)
    assert file.drawer.mains == ("105", "108", "110")
    assert [(place.name, place.height) for place in file.places] == [("Tarn Hollow", 1450.0)]
    needle = file.drawer.needles[0]
    assert [place.diameter.value for place in needle.stations] == pytest.approx([2.51e-3, 1.85e-3])
    assert not needle.length.is_assumed
    assert [key.key for key in file.unknown] == ["drawer.spanners"]


def test_what_is_written_reads_back_the_same() -> None:
    """With its text every letter stays; without it the facts do."""
    file = read(GARAGE)
    assert write_garage_file(file) == GARAGE
    bare = replace(file, text="", unknown=())
    assert read(write_garage_file(bare)) == bare


def test_a_change_is_written_into_the_old_text() -> None:
    """A jet more changes one line; the tin on the left stays on the left."""
    file = read(GARAGE)
    drawer = replace(file.drawer, mains=("105", "108", "110", "112"))
    text = write_garage_file(replace(file, drawer=drawer))
    assert "# the tin on the left" in text
    assert "spanners = 3" in text
    assert read(text).drawer == drawer


def test_the_record_takes_a_garage_file_in_and_gives_it_out(record: Record) -> None:
    """In and out again it is the same drawer; in twice adds nothing."""
    file = read(GARAGE)
    record.take_in(file, now=NOW)
    before = record.log()
    record.take_in(file, now=NOW)
    assert record.log() == before
    assert (record.garage_file().drawer, record.garage_file().places) == (file.drawer, file.places)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('"108"', '"lots"', "Line 4 of garage.toml: main is 'lots'"),
        ('"108"', "[]", "Line 4 of garage.toml: main is []"),
        ('mains = ["105", "108", "110"]', 'mains = "105"', "there may be several"),
        ("tip_mm = 1.85\n", "", "needs tip_mm"),
        ('stamp = "5D1"\n', "", "needs stamp"),
        ("height_m = 1450", "height_m = 145000", "which cannot be"),
        ("height_m = 1450", "", "has no height"),
        ('name = "Tarn Hollow"\n', "", "has no name"),
        ("floatbowl.garage/1", "floatbowl.bike/1", "does not read"),
    ],
)
def test_each_slip_is_told_in_a_sentence(old: str, new: str, told: str) -> None:
    """The same spirit as a bike file: where, what, what to do."""
    assert old in GARAGE
    with pytest.raises(GarageFileTrouble) as caught:
        read(GARAGE.replace(old, new))
    assert told in str(caught.value)
