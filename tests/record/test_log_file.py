"""Logs of any shape: what is guessed of them, what they come to, and what is said where they are broken."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.random import Generator

from benchmarks.made_logs import HEAD, Log, Probe, made, write
from floatbowl.record.log_columns import column, guess, named, refuse_unread, with_travel
from floatbowl.record.log_file import PIECE, Torn, pieces, stretches
from floatbowl.record.log_text import LogFileTrouble, number, open_log
from floatbowl.signs.lambda_log.samples import Samples, joined

AIR_PER_FUEL = 14.7


@pytest.fixture
def log() -> Log:
    """Give a short made log, always the same."""
    return made(Probe(dead=0.4, lag=0.1), np.random.default_rng(3), seconds=40.0)


def read(path: Path) -> Samples:
    """Read a whole log as guessed."""
    text = open_log(path)
    return joined(list(pieces(text, guess(text), air_per_fuel=AIR_PER_FUEL)))


def plain(log: Log) -> str:
    """Give a log as plain text with commas between the columns."""
    rows = zip(log.time, log.rpm, log.throttle, log.lam, strict=True)
    return "time,rpm,throttle,lambda\n" + "".join(
        f"{t:.2f},{n:.0f},{u:.3f},{lam:.3f}\n" for t, n, u, lam in rows
    )


def _semicolons(log: Log) -> bytes:
    head = "Messung vom 26.11.2026\r\n\r\nZeit [s];Drehzahl [1/min];Drosselklappe [%];Lambda\r\n"
    rows = zip(log.time, log.rpm, log.throttle, log.lam, strict=True)
    text = "".join(f"{t:.2f};{n:.0f};{100 * u:.1f};{lam:.3f}\r\n".replace(".", ",") for t, n, u, lam in rows)
    return (head + text).encode("latin-1")


def _units_row(log: Log) -> bytes:
    rows = zip(log.time, log.rpm, log.throttle, log.lam, strict=True)
    text = "".join(
        f'"{1000 * t:.0f}"\t"{n:.0f}"\t"{100 * u:.1f}"\t"{lam * 14.7:.3f}"\n' for t, n, u, lam in rows
    )
    return ("Clock\tRevs\tTPS\tAFR\nms\trpm\t%\t-\n" + text).encode()


def _clock(log: Log) -> bytes:
    began = dt.datetime(2026, 11, 26, 23, 59, 50, tzinfo=dt.UTC)
    rows = zip(log.time, log.rpm, log.throttle, log.lam, strict=True)
    text = "".join(
        f"{began + dt.timedelta(seconds=float(t)):%d.%m.%Y %H:%M:%S.%f},{n:.0f},{u:.3f},{lam:.3f}\n"
        for t, n, u, lam in rows
    )
    return ("Time,RPM,Throttle,Lambda\n" + text).encode()


def _days(log: Log) -> bytes:
    rows = zip(log.time, log.rpm, log.throttle, log.lam, strict=True)
    text = "".join(f"{45987 + t / 86400:.9f};{n:.0f};{u:.3f};{lam:.3f}\n" for t, n, u, lam in rows)
    return ("time;rpm;throttle;lambda\n" + text).encode()


def _spaces(log: Log) -> bytes:
    rows = zip(log.time, log.rpm, log.throttle, log.lam, strict=True)
    return "".join(f"  {t:.2f}   {n:.0f} {100 * u:.1f}  {lam:.3f}\n" for t, n, u, lam in rows).encode()


def _one_line_ends(log: Log) -> bytes:
    return plain(log).replace("\n", "\r").encode()


SHAPES: dict[str, Callable[[Log], bytes]] = {
    "commas": lambda log: plain(log).encode(),
    "a mark before the text": lambda log: b"\xef\xbb\xbf" + plain(log).encode(),
    "wide letters": lambda log: plain(log).encode("utf-16"),
    "wide letters without a mark": lambda log: plain(log).encode("utf-16-le"),
    "decimal commas, another language, an old encoding": _semicolons,
    "tabs, quotes, a row of units, milliseconds, air to fuel": _units_row,
    "a clock with its date, over midnight": _clock,
    "days as a spreadsheet counts them": _days,
    "spaces, and no names": _spaces,
    "line ends of one old kind": _one_line_ends,
}


@pytest.mark.parametrize("shape", SHAPES)
def test_one_ride_reads_the_same_in_any_shape(shape: str, log: Log, tmp_path: Path) -> None:
    """Time from its first row, engine speed, throttle and lambda come back, to the digits written."""
    path = tmp_path / "ride.txt"
    path.write_bytes(SHAPES[shape](log))
    back = read(path)
    assert len(back) == len(log.time)
    # A clock over midnight is taken for another log that begins there, ten seconds on.
    same = np.diff(back.time) < 1.0
    assert np.diff(back.time)[same] == pytest.approx(np.diff(log.time)[same], abs=0.0021)
    assert same.sum() >= len(same) - 1
    assert back.rpm == pytest.approx(log.rpm, abs=0.51)
    assert back.throttle == pytest.approx(log.throttle, abs=0.0006)
    assert back.lam == pytest.approx(log.lam, abs=0.0006)


def test_holes_and_torn_lines_are_counted_and_nothing_else_is_lost(log: Log, tmp_path: Path) -> None:
    """Blank fields, NaN, words and torn lines: the rows around them are read, and torn lines are counted."""
    lines = plain(log).splitlines()
    lines[10] = "0.45,,0.1,0.9"
    lines[11] = "0.50,1500,0.1,NaN"
    lines[12] = "0.55,1500,0.1,ERR"
    lines[13] = "0.60,15"
    lines[14] = "logger restarted; low battery"
    lines[15] = "0.70;1500;0.1;0.9"
    path = tmp_path / "ride.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    text, torn = open_log(path), Torn()
    back = joined(list(pieces(text, guess(text), air_per_fuel=AIR_PER_FUEL, torn=torn)))
    assert torn.lines == 3
    assert len(back) == len(log.time) - 3
    assert np.isnan(np.asarray(back.rpm)).sum() == 1
    assert np.isnan(np.asarray(back.lam)).sum() == 2


def test_blanks_alone_keep_the_quick_way(log: Log, tmp_path: Path) -> None:
    """A log whose lambda is often blank reads the same numbers as one that says nan."""
    blank, nan = tmp_path / "blank.csv", tmp_path / "nan.csv"
    rows = plain(log).splitlines()
    bare = [row if k % 3 else row.rsplit(",", 1)[0] + "," for k, row in enumerate(rows, 1)]
    blank.write_text("\n".join(bare) + "\n", encoding="utf-8")
    nan.write_text(
        "\n".join(row + "nan" if row.endswith(",") else row for row in bare) + "\n", encoding="utf-8"
    )
    one, other = read(blank), read(nan)
    assert np.array_equal(np.asarray(one.lam), np.asarray(other.lam), equal_nan=True)


BROKEN: dict[str, tuple[bytes, str]] = {
    "0 bytes": (b"", "is empty"),
    "zeros": (b"\0" * 4000, "holds nothing"),
    "a spreadsheet": (b"PK\x03\x04" + b"\1\2\3" * 900, "spreadsheet's own file"),
    "a sound by the wrong name": (b"RIFF\xff\xff\xff\xffWAVE" + b"\0\1" * 900, "a sound or a film"),
    "a letter": (b"Dear friend,\nthe bike runs badly.\nYours\n" * 20, "no rows of numbers"),
    "one column": (b"0.9\n0.91\n0.92\n0.93\n", "no rows of numbers"),
    "one endless line": (b"1,2,3," * 60_000, "longer than any row"),
    "bytes of chance": (bytes(np.random.default_rng(1).integers(0, 256, 5000, dtype=np.uint8)), "rows"),
}


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_file_gets_a_sentence(kind: str, tmp_path: Path) -> None:
    """What is no log is told from one in a plain sentence that says that nothing was written down."""
    path = tmp_path / "ride.csv"
    content, told = BROKEN[kind]
    path.write_bytes(content)
    with pytest.raises(LogFileTrouble) as caught:
        open_log(path)
    assert told in str(caught.value)
    assert "Nothing was written down" in str(caught.value)


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    """A name that is wrong is said back."""
    with pytest.raises(LogFileTrouble, match=r"There is no file .*nowhere\.csv"):
        open_log(tmp_path / "nowhere.csv")


@pytest.mark.parametrize("cut", [0.999, 0.7, 0.31])
def test_a_file_cut_off_is_read_as_far_as_it_goes(cut: float, log: Log, tmp_path: Path) -> None:
    """A log that ends in the middle of a row loses at most that row."""
    whole = plain(log).encode()
    path = tmp_path / "ride.csv"
    path.write_bytes(whole[: int(cut * len(whole))])
    assert len(read(path)) >= whole[: int(cut * len(whole))].count(b"\n") - 1


def test_columns_are_put_right_by_number_or_name(log: Log, tmp_path: Path) -> None:
    """A column is named by its number or its name, and a throttle may say its own ends."""
    path = tmp_path / "ride.csv"
    path.write_text(plain(log), encoding="utf-8")
    text = open_log(path)
    assert [named(text, word) for word in ("4", "Lambda", "throtle")] == [4, 4, 3]
    with pytest.raises(LogFileTrouble, match='no column "colour"'):
        named(text, "colour")
    with pytest.raises(LogFileTrouble, match="no column 9"):
        column(text, "lambda", 9)
    taken = with_travel(column(text, "throttle", 3), 0.5, 4.5)
    assert 0.5 * taken.times + taken.plus == pytest.approx(0.0)
    assert 4.5 * taken.times + taken.plus == pytest.approx(1.0)


def test_a_log_without_lambda_or_time_says_what_to_write(log: Log, tmp_path: Path) -> None:
    """No lambda, or no time and no step: the sentence holds what to write."""
    path = tmp_path / "ride.csv"
    path.write_text(plain(log), encoding="utf-8")
    text = open_log(path)
    columns = guess(text)
    with pytest.raises(LogFileTrouble, match="--columns lambda=4"):
        refuse_unread(text, {"time": columns["time"]}, rows_apart=0.0)
    with pytest.raises(LogFileTrouble, match=r"step=0\.05s"):
        refuse_unread(text, {"lambda": columns["lambda"]}, rows_apart=0.0)
    refuse_unread(text, {"lambda": columns["lambda"]}, rows_apart=0.05)


def test_targets_and_exhaust_warmth_are_taken_for_nothing(tmp_path: Path) -> None:
    """A wanted lambda is not the lambda, and an exhaust's warmth is not the engine's."""
    head = "time,lambda target,lambda,exhaust temp (C),engine temp (C)\n"
    rows = "".join(
        f"{0.1 * k:.1f},0.900,{0.9 + 0.001 * (k % 37):.3f},{600 + k % 50},{70 + k % 9}\n" for k in range(300)
    )
    path = tmp_path / "ride.csv"
    path.write_text(head + rows, encoding="utf-8")
    found = guess(open_log(path))
    assert (found["lambda"].number, found["temperature"].number) == (3, 5)


@pytest.mark.parametrize(
    ("field", "is_comma", "value"),
    [
        ("1.5", False, 1.5),
        ("1,5", True, 1.5),
        ("1.234,5", True, 1234.5),
        ("1:02.5", False, 62.5),
        ("00:01:02.5", False, 62.5),
        ("26.11.2026 01:00:02", False, 3602.0),
        ("11/26/2026 1:00:02 PM", False, 46802.0),
        ("2026-11-26T01:00:02.25", False, 3602.25),
        ("1/4", False, 0.25),
        ("full", False, 1.0),
    ],
)
def test_fields_are_read_as_meant(field: str, is_comma: bool, value: float) -> None:  # noqa: FBT001  (a case)
    """Decimal commas, clocks with and without a day, rungs."""
    assert number(field, is_decimal_comma=is_comma) == pytest.approx(value)


@pytest.mark.slow
def test_a_long_log_is_held_by_pieces(rng: Generator, tmp_path: Path) -> None:
    """A log of several pieces yields all its rows, no piece larger than it must be, and a few to look at."""
    path = tmp_path / "long.csv"
    rows = write(path, made(Probe(dead=0.4, lag=0.1), rng, seconds=60.0), times=400)
    text = open_log(path)
    assert text.begins == len(HEAD)
    columns = guess(text)
    told: list[int] = []
    got = [len(one) for one in pieces(text, columns, air_per_fuel=AIR_PER_FUEL, progress=told.append)]
    assert sum(got) == rows
    assert max(got) <= PIECE // 25
    assert sum(told) == path.stat().st_size - text.begins
    looked = stretches(text, columns, air_per_fuel=AIR_PER_FUEL)
    assert len(looked) == 8
    assert sum(len(one) for one in looked) < rows
    assert all((np.diff(one.time) >= 0.0).all() for one in looked)
