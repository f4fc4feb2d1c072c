"""Commands that ask for an answer: the bench, the next job, a dry fit, the garage, the demo."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from floatbowl.cli import main
from floatbowl.cli.door import ORDER

pytestmark = [pytest.mark.door, pytest.mark.slow]

AVOID = re.compile(
    r"\b(config|tune|map|gauge|session|prior|posterior|likelihood|sigma|probability|user|error code)s?\b",
    re.IGNORECASE,
)
BIKES = ("Magpie", "Thistle", "Otter")
THINKING = (
    "garage",
    "bench magpie",
    "next magpie",
    "next thistle",
    "next otter",
    "dryfit magpie clip=3",
    "log magpie --suspects",
    "prove magpie",
)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Result]:
    """Give the demo's shed, kept, and what the demo showed; made once for all tests here."""
    kept = tmp_path_factory.mktemp("demo") / "demo.garage"
    shown = CliRunner().invoke(main, ["demo", "--terminal", "--keep", str(kept)], env={"COLUMNS": "80"})
    assert shown.exit_code == 0, shown.output
    return kept, shown


@pytest.fixture
def shed(demo: tuple[Path, Result], tmp_path: Path) -> Path:
    """Give a copy of the demo's shed for one test to write in."""
    mine = tmp_path / "mine.garage"
    mine.write_bytes(demo[0].read_bytes())
    return mine


def ask(shed: Path, words: str, *, columns: int = 100) -> Result:
    """Write a command in a shed."""
    result = CliRunner().invoke(
        main, words.split(), env={"FLOATBOWL_GARAGE": str(shed), "COLUMNS": str(columns)}
    )
    assert result.exit_code == 0, result.output
    return result


def answer(shed: Path, words: str) -> dict[str, Any]:
    """Ask for JSON and read it."""
    read: dict[str, Any] = json.loads(ask(shed, f"{words} --json").stdout)
    return read


def numbers(value: object) -> Iterator[float]:
    """Give every number in a form."""
    if isinstance(value, dict):
        for one in value.values():
            yield from numbers(one)
    elif isinstance(value, list):
        for one in value:
            yield from numbers(one)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield float(value)


# --- the demo ----------------------------------------------------------------------------------------------


def test_the_demo_shows_each_bike_with_its_card(demo: tuple[Path, Result]) -> None:
    """Three bikes, each with its sentence, its ladder of six rungs, and a card with a closing line on use."""
    shown = demo[1].stdout
    places = [re.search(rf"^{bike}  \d", shown, re.MULTILINE) for bike in BIKES]
    assert all(places)
    assert [place.start() for place in places if place] == sorted(place.start() for place in places if place)
    assert len(re.findall(r"^  1/4 ", shown, re.MULTILINE)) >= 3
    assert len(re.findall(r"(JOB|NEXT LOOK|STOP TAG|NOTHING TO DO)", shown)) == 3
    assert f"--garage {demo[0]}" in shown.replace("\n", "")


def test_the_demo_is_the_same_for_everybody(demo: tuple[Path, Result], tmp_path: Path) -> None:
    """Clock and dice are fixed: another process with another hash seed shows the same to the letter."""
    kept = tmp_path / "demo.garage"
    again = subprocess.run(
        [sys.executable, "-m", "floatbowl", "demo", "--terminal", "--keep", str(kept)],
        env={**os.environ, "COLUMNS": "80", "PYTHONHASHSEED": "7", "PYTHONIOENCODING": "utf-8"},
        check=True,
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    upto = "The shed is kept"
    assert again.stdout.split(upto)[0] == demo[1].stdout.split(upto)[0]


def test_the_demo_leaves_a_file_alone(demo: tuple[Path, Result]) -> None:
    """A file that is there already is not written over."""
    before = demo[0].read_bytes()
    refused = CliRunner().invoke(main, ["demo", "--terminal", "--keep", str(demo[0])])
    assert refused.exit_code == 3
    assert demo[0].read_bytes() == before


# --- what is shown -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", THINKING)
@pytest.mark.parametrize("columns", [44, 60, 80, 120])
def test_every_answer_fits_the_terminal(demo: tuple[Path, Result], words: str, columns: int) -> None:
    """No line is wider than the terminal, from 44 columns up."""
    lines = ask(demo[0], words, columns=columns).stdout.splitlines()
    assert max(map(len, lines)) <= columns


@pytest.mark.parametrize("words", THINKING)
def test_no_answer_uses_a_word_to_avoid(demo: tuple[Path, Result], words: str) -> None:
    """What is shown is said in words of the bench."""
    assert AVOID.findall(ask(demo[0], words).stdout) == []


@pytest.mark.parametrize("name", ORDER)
def test_no_help_uses_a_word_to_avoid(name: str) -> None:
    """Help is said in words of the bench as well."""
    assert AVOID.findall(CliRunner().invoke(main, [name, "--help"]).stdout) == []


@pytest.mark.parametrize(("no_colour", "is_coloured"), [("", True), ("1", False)], ids=["colour", "NO_COLOR"])
def test_a_terminal_gets_colour_unless_it_asks_for_none(
    demo: tuple[Path, Result],
    no_colour: str,
    is_coloured: bool,  # noqa: FBT001  (a case of the table above)
) -> None:
    """On a terminal the parts are laid on in their colours; with NO_COLOR set no escape is in the answer."""
    ours, theirs = os.openpty()
    place = {**os.environ, "FLOATBOWL_GARAGE": str(demo[0]), "TERM": "xterm-256color", "COLUMNS": "80"}
    asked = [sys.executable, "-m", "floatbowl", "log", "magpie"]
    with os.fdopen(ours, "rb", buffering=0) as screen:
        ran = subprocess.run(
            asked, env={**place, "NO_COLOR": no_colour}, check=True, stdout=theirs, stderr=subprocess.PIPE
        )
        os.close(theirs)
        shown = screen.read(4096)
    assert ran.stderr == b""
    assert (b"\x1b[" in shown) is is_coloured


@pytest.mark.parametrize("bike", BIKES)
def test_chances_are_counts_of_twenty(demo: tuple[Path, Result], bike: str) -> None:
    """On a card stands no per cent sign, and every "in" of a chance is of twenty."""
    shown = ask(demo[0], f"next {bike}").stdout
    assert "%" not in shown
    assert {of for _, of in re.findall(r"\b(\d+) in (\d+)\b", shown)} <= {"20"}


def test_one_rung_alone(demo: tuple[Path, Result]) -> None:
    """``--at`` shows that rung and its sentence only."""
    shown = ask(demo[0], "bench magpie --at 1/4").stdout
    assert "At 1/4 open," in shown
    assert len(re.findall(r"^  (?:shut|1/8|1/4|1/2|3/4|full) ", shown, re.MULTILINE)) <= 2
    assert [rung["at"] for rung in answer(demo[0], "bench magpie --at 1/4")["rungs"]] == ["1/4"]


def test_a_terminal_without_utf_8_gets_the_same_in_ascii(demo: tuple[Path, Result]) -> None:
    """Ladder and card are drawn with plain signs where others cannot be shown."""
    shown = subprocess.run(
        [sys.executable, "-m", "floatbowl", "bench", "magpie"],
        env={**os.environ, "FLOATBOWL_GARAGE": str(demo[0]), "PYTHONIOENCODING": "ascii"},
        check=True,
        capture_output=True,
    )
    assert shown.stdout.isascii()
    assert b"1/4" in shown.stdout


# --- what the answers hold ---------------------------------------------------------------------------------


@pytest.mark.parametrize("bike", BIKES)
def test_the_bench_counts_twenty_at_every_rung(demo: tuple[Path, Result], bike: str) -> None:
    """Six rungs; at each the twenty are shared out, and the say is a hundred."""
    told = answer(demo[0], f"bench {bike}")
    assert [rung["at"] for rung in told["rungs"]] == ["full", "3/4", "1/2", "1/4", "1/8", "shut"]
    for rung in told["rungs"]:
        assert rung["short"] + rung["right"] + rung["too_much"] == 20
        assert sum(rung["say_pct"].values()) == 100
        assert len(rung["off_pct"]) == 20
    assert all(suspect["count"] + told["sound_count"] <= 20 for suspect in told["suspects"])


@pytest.mark.parametrize("bike", BIKES)
def test_every_reason_names_an_entry_that_exists(demo: tuple[Path, Result], bike: str) -> None:
    """What speaks for or against an advice stands in the logbook under that name."""
    why = answer(demo[0], f"next {bike}")["why"]
    entries = {line["entry"] for line in answer(demo[0], f"log {bike}")["lines"]}
    assert {*why["speaks_for"], *why["speaks_against"]} <= entries


@pytest.mark.parametrize("bike", BIKES)
def test_no_advice_reaches_outside_the_drawer(demo: tuple[Path, Result], bike: str) -> None:
    """A part to be fitted lies in the drawer or is said to be bought; clip and screw need none."""
    held, told = answer(demo[0], "drawer"), answer(demo[0], f"next {bike}")
    for step in told["do"]:
        at_hand = step["part"] in {"clip", "screw"} or step["to"] in held[step["part"]]
        assert at_hand or step in told["buy"]


@pytest.mark.parametrize("words", THINKING)
def test_every_number_in_an_answer_is_a_number(demo: tuple[Path, Result], words: str) -> None:
    """JSON holds no NaN and no infinity."""
    assert all(abs(number) < 1e9 for number in numbers(answer(demo[0], words)))


def test_a_dry_fit_changes_nothing(shed: Path) -> None:
    """Paper only: the record is byte for byte what it was, and what is fitted stays."""
    before = ask(shed, "log --json").stdout
    told = answer(shed, "dryfit magpie clip=4")
    assert told["setup"]["clip_from_top"] == 4
    assert ask(shed, "log --json").stdout == before


def test_proving_writes_nothing_and_says_what_to_do(demo: tuple[Path, Result]) -> None:
    """Each missing check has a sentence and a command; the record does not change."""
    before = ask(demo[0], "log --json").stdout
    told = answer(demo[0], "prove thistle")
    assert told["proven"] is False
    assert "no suspect" in [one["check"] for one in told["missing"]]
    assert all("floatbowl" in one["write"] and "thistle" in one["write"] for one in told["missing"])
    assert ask(demo[0], "log --json").stdout == before


def test_undo_brings_the_advice_back(shed: Path) -> None:
    """A wrong main and a ride on it, both struck out: the advice is that of before, to the letter."""
    before = ask(shed, "next magpie").stdout
    ask(shed, "fitted magpie main=98")
    ask(shed, "said magpie full flat --pull")
    assert ask(shed, "next magpie").stdout != before
    ask(shed, "undo magpie")
    ask(shed, "undo magpie")
    assert ask(shed, "next magpie").stdout == before


def test_a_look_and_a_mend_need_not_be_named(shed: Path) -> None:
    """The look is the one that next asks for, the fault the one on the tag; undo brings both back."""
    before = ask(shed, "next thistle").stdout
    assert "STOP TAG" in before
    look = answer(shed, "looked thistle found")["look"]
    assert answer(shed, "next thistle")["look"] == look
    assert "Stop jetting. Mend the air leak first." in ask(shed, "next thistle").stdout
    assert answer(shed, "mended thistle")["fault"] == "air leak"
    after = ask(shed, "next thistle").stdout
    assert "STOP TAG" not in after
    assert "What was mended" in after
    assert "Revs hang" not in ask(shed, "garage").stdout
    ask(shed, "undo thistle")
    ask(shed, "undo thistle")
    assert ask(shed, "next thistle").stdout == before


@pytest.mark.parametrize(
    ("words", "hint"), [("looked magpie found", "No look is asked for"), ("mended magpie", "No tag hangs")]
)
def test_where_the_card_asks_for_neither_it_must_be_named(
    demo: tuple[Path, Result], words: str, hint: str
) -> None:
    """Magpie has a job to do: no look, no tag, so the sentence says how to name one, and nothing is kept."""
    before = ask(demo[0], "log --json").stdout
    refused = CliRunner().invoke(main, words.split(), env={"FLOATBOWL_GARAGE": str(demo[0])})
    assert refused.exit_code == 2
    assert hint in refused.stderr
    assert ask(demo[0], "log --json").stdout == before


def test_the_same_record_gives_the_same_belief(demo: tuple[Path, Result]) -> None:
    """Asked twice in two processes, the twenty are the same twenty."""
    asked = [sys.executable, "-m", "floatbowl", "bench", "otter", "--json"]
    place = {**os.environ, "FLOATBOWL_GARAGE": str(demo[0])}
    first, second = (
        subprocess.run(asked, env={**place, "PYTHONHASHSEED": seed}, check=True, capture_output=True).stdout
        for seed in ("1", "2")
    )
    assert first == second


def test_an_empty_garage_says_how_to_fill_it(tmp_path: Path) -> None:
    """Nothing stands there yet: the garage says what to write."""
    shown = ask(tmp_path / "new.garage", "garage").stdout
    assert "floatbowl add FILE" in shown
