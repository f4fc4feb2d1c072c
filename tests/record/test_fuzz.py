"""Bad files: whatever stands in them the outcome is a bike or a sentence, and the record is unharmed.

A small share runs always; set FLOATBOWL_FUZZ to a number of cases for a longer run.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from floatbowl.record.bike_file import BikeFile, read_bike_bytes
from floatbowl.record.bike_text import bike_written, write_bike_file
from floatbowl.record.garage_file import read_garage_file
from floatbowl.record.store import Record
from floatbowl.record.trouble import GarageFileTrouble, RecordTrouble, Troubles
from tests.record.files import MAGPIE, NOW, bike_files

CASES = int(os.environ.get("FLOATBOWL_FUZZ", "60"))
"""How many cases each of these tests tries."""

BAD = settings(
    max_examples=CASES,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.function_scoped_fixture,
        HealthCheck.data_too_large,
    ],
)

WEIRD = st.recursive(
    st.one_of(
        st.integers(),
        st.floats(),
        st.booleans(),
        st.text(max_size=8),
        st.dates(),
        st.datetimes(),
        st.sampled_from([10**400, -1, 0, 1e-300, "1/4", "?", "nan", "\u202e", "9" * 50]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(min_size=1, max_size=6), inner, max_size=3)
    ),
    max_leaves=4,
)


@pytest.fixture(scope="module")
def garage(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Record]:
    """Give one record for all cases of a test: none of them may harm it."""
    with Record.open(tmp_path_factory.mktemp("fuzz") / "garage.sqlite") as record:
        record.add_bike(read_bike_bytes(MAGPIE.encode(), source_name="magpie.toml"), now=NOW)
        yield record


def outcome(data: bytes) -> BikeFile | None:
    """Read a file and see that any trouble is told in whole sentences with the file's name."""
    try:
        return read_bike_bytes(data, source_name="bad.toml")
    except Troubles as caught:
        trouble = caught
    assert trouble.troubles
    for sentence in str(trouble).splitlines():
        assert "bad.toml" in sentence
        assert sentence.endswith((".", "?"))
        assert sentence.isprintable()
    return None


def try_on(record: Record, data: bytes) -> None:
    """Offer a file to the record: it is taken whole or not at all, and Magpie stays as she was."""
    before = record.log()
    file = outcome(data)
    if file is None:
        assert record.log() == before
        return
    try:
        record.add_bike(file, now=NOW, replace=True)
    except RecordTrouble:
        assert record.log() == before
    else:
        bike = record.bike(file.name)
        assert bike == file.bike
        assert record.trials(file.name) is not None
    assert record.log()[: len(before)] == before


@st.composite
def spoilt(draw: st.DrawFn) -> bytes:
    """Give a good bike file with a few values put to something weird, keys added and keys taken away."""
    data: dict[str, Any] = bike_written(draw(bike_files()))
    for _ in range(draw(st.integers(1, 3))):
        spoil(draw, data)
    return as_toml(data)


def spoil(draw: st.DrawFn, data: Any) -> None:  # noqa: ANN401  (any part of plain data)
    """Walk down at random and change something there."""
    places = list(data.keys()) if isinstance(data, dict) else list(range(len(data)))
    if not places:
        return
    place = draw(st.sampled_from(places))
    act = draw(st.sampled_from(["deeper", "deeper", "weird", "gone", "more"]))
    if act == "deeper" and isinstance(data[place], dict | list):
        spoil(draw, data[place])
    elif act == "gone":
        del data[place]
    elif act == "more" and isinstance(data, dict):
        data[draw(st.text(min_size=1, max_size=8))] = draw(WEIRD)
    else:
        data[place] = draw(WEIRD)


def as_toml(data: dict[str, Any]) -> bytes:
    """Write plain data as TOML; text that is not Unicode is left as it would lie on a disk."""
    return tomlkit.dumps(data).encode("utf-8", "surrogatepass")


@pytest.mark.property
@BAD
@given(data=spoilt())
def test_a_spoilt_bike_file_gives_a_bike_or_sentences(data: bytes, garage: Record) -> None:
    """Wrong types, NaN, the huge and the negative, unknown and missing keys: never a traceback."""
    try_on(garage, data)


@pytest.mark.property
@BAD
@given(data=st.data())
def test_bytes_changed_at_random_give_a_bike_or_sentences(data: st.DataObject, garage: Record) -> None:
    """Magpie's own file with bytes overwritten, cut out or put in."""
    text = bytearray(MAGPIE.encode())
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = data.draw(st.integers(start, min(len(text), start + 12)))
        text[start:end] = data.draw(
            st.binary(max_size=6) | st.sampled_from([b"[", b"{", b'"', b"\n", b"=", b"'''"])
        )
    try_on(garage, bytes(text))


@pytest.mark.property
@BAD
@given(data=st.binary(max_size=200))
def test_any_bytes_at_all_give_a_bike_or_sentences(data: bytes, garage: Record) -> None:
    """Whatever is mailed to us."""
    try_on(garage, data)


@pytest.mark.property
@BAD
@given(data=spoilt())
def test_what_can_be_read_can_be_written(data: bytes) -> None:
    """A file with unknown and doubtful things in it comes out as it went in."""
    file = outcome(data)
    if file is not None:
        assert read_bike_bytes(write_bike_file(file).encode(), source_name="bad.toml") == file


@pytest.mark.property
@BAD
@given(data=st.dictionaries(st.sampled_from(["drawer", "place", "form", "x"]), WEIRD, max_size=4))
def test_a_spoilt_garage_file_gives_a_garage_or_sentences(data: dict[str, Any]) -> None:
    """The same for drawer and places."""
    try:
        told = repr(read_garage_file(as_toml(data).decode("utf-8", "replace"), source_name="bad.toml"))
    except GarageFileTrouble as trouble:
        told = str(trouble)
    assert "bad.toml" in told


NASTY = {
    "empty": b"",
    "only a byte order mark": b"\xef\xbb\xbf",
    "nul": b'name = "a\x00b"',
    "utf-16": MAGPIE.encode("utf-16"),
    "half a letter": MAGPIE.encode() + b"\xc3",
    "lists in lists": b"a = " + b"[" * 100_000,
    "tables in tables": b"a = " + b"{a=" * 50_000,
    "a name of many parts": b".".join([b"a"] * 100_000) + b" = 1",
    "many headers": b"".join(b"[[trial]]\n" for _ in range(20_000)),
    "many remarks": MAGPIE.encode() + b"[[trial]]\nsaid = [" + b"{did='bogs'}," * 2_000 + b"]\n",
    "a very long number": b"a = " + b"1" * 100_000,
    "a very long text": b'name = "' + b"m" * 400_000 + b'"',
    "an unclosed text": b'name = """' + b"m\n" * 200_000,
    "backslashes": b'name = "' + b"\\" * 200_000 + b'"',
    "a date that is none": b"date = 2026-02-31",
    "huge exponents": MAGPIE.replace("26.0", "1e308").replace("38,", "1e-308,").encode(),
    "infinite": MAGPIE.replace("26.0", "inf").encode(),
    "a key named like a place in a list": b'"0" = 1\n[trial]\n"0" = 1\n',
    "a picture for a name": MAGPIE.replace("Magpie", "\U0001f3cd").encode(),
}


@pytest.mark.parametrize("name", NASTY)
def test_a_nasty_file_made_by_hand_does_no_harm(name: str, garage: Record) -> None:
    """Each is read or refused in a sentence, and soon."""
    try_on(garage, NASTY[name])


def test_a_folder_full_of_nasty_files_leaves_the_record_file_alone(tmp_path: Path) -> None:
    """Refused files do not change one byte of the record."""
    place = tmp_path / "garage.sqlite"
    with Record.open(place):
        pass
    before = place.read_bytes()
    with Record.open(place) as record:
        for data in NASTY.values():
            file = outcome(data)
            assert file is None or file.name not in record.bikes()
    assert place.read_bytes() == before
