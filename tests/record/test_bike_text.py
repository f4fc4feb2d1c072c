"""Writing bikes out: reading what was written gives the same, and a person's own words stay."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floatbowl.bike.rung import Rung
from floatbowl.record.bike_file import BikeFile, read_bike_file
from floatbowl.record.bike_text import write_bike_file
from floatbowl.signs.trial import Remark
from tests.record.files import MAGPIE, bike_files


def read(text: str) -> BikeFile:
    """Read a text as magpie.toml."""
    return read_bike_file(text, source_name="magpie.toml")


@pytest.mark.property
@settings(max_examples=60)
@given(bike_files())
def test_what_is_written_reads_back_the_same(file: BikeFile) -> None:
    """Any bike survives being written and read: measures to the last bit, setups, trials, names."""
    assert read(write_bike_file(file)) == file


@pytest.mark.property
@settings(max_examples=40)
@given(bike_files(), st.data())
def test_a_change_is_written_into_the_old_text(file: BikeFile, data: st.DataObject) -> None:
    """Any bike can be written into the text of any other; unknown keys of the old text stay."""
    old = read(write_bike_file(file) + '\n[pannier]\nholds = "spanner"\n')
    other = data.draw(bike_files())
    changed = replace(old, setup=other.setup, earlier_setups=other.earlier_setups, trials=other.trials)
    fits = other.setup.clip_from_top <= file.bike.carb.needle.grooves
    if fits:
        assert read(write_bike_file(changed)) == changed


def test_an_unchanged_bike_gives_its_own_text_back() -> None:
    """Nothing changed, nothing written otherwise: comments, spaces, unknown keys and all."""
    assert write_bike_file(read(MAGPIE)) == MAGPIE


def test_a_change_touches_only_its_own_lines() -> None:
    """A further remark and another clip leave every other line as it was written."""
    file = read(MAGPIE)
    trial = file.trials[0]
    more = (*trial.remarks, Remark(entry="ride-2", did="flat", at=Rung.FULL))
    setup = replace(file.setup, clip_from_top=4)
    changed = replace(file, setup=setup, trials=(replace(trial, setup=setup, remarks=more),))
    before, after = MAGPIE.splitlines(), write_bike_file(changed).splitlines()
    assert len(before) == len(after)
    differing = [now for then, now in zip(before, after, strict=True) if then != now]
    assert [line.split()[0] for line in differing] == ["clip_from_top", "said"]
    assert read("\n".join(after)) == changed


def test_a_doubtful_value_stays_in_the_text() -> None:
    """What was kept but not used is still there after writing."""
    odd = MAGPIE.replace("float_height_mm = 18.0", "float_height_mm = 81")
    file = read(odd)
    assert "float_height_mm = 81" in write_bike_file(replace(file, what="another"))


def test_what_was_assumed_is_not_written() -> None:
    """Only ink goes into the file: no needle seat, no compression ratio nobody measured."""
    text = write_bike_file(replace(read(MAGPIE), text=""))
    assert "needle_seat" not in text
    assert "compression_ratio" not in text
