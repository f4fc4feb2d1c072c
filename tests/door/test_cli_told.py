"""Commands that tell the record something: what they answer, how they end, and what they never do."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

import pytest
from click.testing import CliRunner, Result

from floatbowl.cli import main
from floatbowl.cli.place import FILE_NAME, data_folder, default_garage
from floatbowl.signs.trial import Behaviour
from floatbowl.words.measuring import WRITTEN

pytestmark = pytest.mark.door

MAGPIE = """\
name = "Magpie"
what = "125 four-stroke, replacement round slide 26"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0, mixture_screw = "air" }
setup = { number = 8, main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""

Ask = Callable[..., Result]


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """Give a folder with a bike file in it."""
    (tmp_path / "magpie.toml").write_text(MAGPIE, encoding="utf-8")
    return tmp_path


@pytest.fixture
def ask(shed: Path) -> Ask:
    """Give a way to write a command, in a garage with Magpie on a stand."""

    def run(words: str, *more: str) -> Result:
        environment = {"FLOATBOWL_GARAGE": str(shed / "shed.garage"), "COLUMNS": "100"}
        return CliRunner().invoke(main, [*words.split(), *more], env=environment)

    assert run("add", str(shed / "magpie.toml")).exit_code == 0
    return run


def answer(ask: Ask, words: str, *more: str) -> dict[str, Any]:
    """Ask for JSON and read it."""
    result = ask(f"{words} --json", *more)
    assert result.exit_code == 0, result.output
    read: dict[str, Any] = json.loads(result.stdout)
    return read


# --- what is fitted, at hand, and the air ------------------------------------------------------------------


def test_fitting_a_part_makes_the_next_setup(ask: Ask) -> None:
    """Only what is named changes; the setup gets the next number; the bike's own words are shown."""
    shown = ask("fitted magpie clip=4 main=108").stdout
    assert shown.splitlines()[0] == "Magpie, setup 9"
    assert "clip       groove 4 of 5, from the blunt end" in shown
    told = answer(ask, "fitted magpie")
    assert (told["number"], told["main"], told["pilot"], told["clip_from_top"]) == (9, "108", "40", 4)


def test_a_groove_that_is_not_there_is_refused(ask: Ask) -> None:
    """An impossible setup ends with 3 and the setup before it stays."""
    refused = ask("fitted magpie clip=9")
    assert refused.exit_code == 3
    assert "5 grooves" in refused.stderr
    assert answer(ask, "fitted magpie")["number"] == 8


def test_the_drawer_takes_parts_in_and_out(ask: Ask) -> None:
    """What goes in is there once; what comes out is gone; what was never there is named."""
    ask("drawer add main 105 108 108")
    assert answer(ask, "drawer take main 105")["main"] == ["108"]
    missing = ask("drawer take main 99")
    assert missing.exit_code == 3
    assert "99" in missing.stderr


def test_a_drawer_comes_in_from_a_file(ask: Ask, shed: Path) -> None:
    """A garage file fills the drawer, needles with their shape; a needle without one is refused."""
    whole = "top_mm = 2.5, straight_mm = 14, tip_mm = 1.95, length_mm = 38"
    (shed / "good.toml").write_text(f'drawer = {{ mains = ["98"], needle = [{{ stamp = "E3", {whole} }}] }}')
    (shed / "bad.toml").write_text('drawer = { needle = [{ stamp = "E4" }] }')
    told = answer(ask, "drawer from", str(shed / "good.toml"))
    assert (told["main"], told["needle"]) == (["98"], ["E3"])
    assert ask("drawer from", str(shed / "bad.toml")).exit_code == 3
    assert answer(ask, "fitted magpie needle=E3")["needle"] == "E3"


def test_air_is_taken_in_trade_units_and_the_rest_is_assumed(ask: Ask) -> None:
    """Degrees and hectopascal in any order; what was left out is named as assumed."""
    told = answer(ask, "air 851hPa 59F --height 4757ft", "--at", "Tarn Hollow")
    assert told["temperature_c"] == pytest.approx(15.0)
    assert told["pressure_hpa_at_door"] == 851.0
    assert told["height_m"] == pytest.approx(1449.9, abs=0.1)
    assert told["assumed"] == ["humidity"]


def test_a_place_is_remembered(ask: Ask) -> None:
    """A place named once keeps its height."""
    ask("air 15C --height 1450m", "--at", "Tarn Hollow")
    ask("air 20C --height 420m", "--at", "Low Meadow")
    assert answer(ask, "air 10C", "--at", "tarn hollow")["height_m"] == 1450.0


def test_no_air_typed_is_a_mild_day_all_assumed(ask: Ask) -> None:
    """Before anybody reads an instrument everything of the air is assumed, and says so."""
    assert answer(ask, "air")["assumed"] == ["temperature", "pressure", "humidity"]
    assert ask("air").stdout.count("assumed") == 4


# --- what it did -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "at", "did", "how"),
    [
        ("1/4 bogs --snap", "1/4", "bogs", "snap"),
        ("bogs 1/4", "1/4", "bogs", None),
        ("quarter bog", "1/4", "bogs", None),
        ("bogs", None, "bogs", None),
        ("hard start --cold", None, "hard start", None),
        ("idle hunts --steady", "shut", "surges", "steady"),
        ("cuts out", None, "cuts out", None),
        ("full cuts out --pull", "full", "cuts out", "pull"),
        ("cuts out full", "full", "cuts out", None),
        ("fades --pull", None, "fades", "pull"),
        ("rest helps", None, "rest helps", None),
    ],
)
def test_a_remark_is_understood(ask: Ask, words: str, at: str | None, did: str, how: str | None) -> None:
    """Opening and behaviour in either order, the trade's other words, and no opening at all."""
    told = answer(ask, f"said magpie {words}")
    assert (told["at"], told["did"], told["how"]) == (at, did, how)
    assert told["entry"] == "ride-1"


def test_every_behaviour_is_listed(ask: Ask) -> None:
    """The list needs no bike and names every behaviour there is."""
    told = answer(ask, "said --list")["behaviours"]
    assert [one["did"] for one in told] == list(get_args(Behaviour))
    assert "hangs" in ask("said --list").stdout


@pytest.mark.parametrize(
    ("words", "kind", "fields"),
    [
        ("plug 1/2 light tan", "plug", {"colour": "light tan"}),
        ("lambda 1/2 0,92 --rpm 5200", "lambda", {"lambda": 0.92, "rpm": 5200.0}),
        ("rollon 1/4 3.9s 4.0 --choke half", "rollon", {"seconds": [3.9, 4.0], "choke": "half"}),
        ("rollon full 5.1 5.0 --rpm 6000", "rollon", {"seconds": [5.1, 5.0], "rpm": 6000.0}),
        ("rollon 1/4 there=3.9s back=4,1", "rollon", {"seconds": [3.9, 4.1], "ways": ["there", "back"]}),
        ("gas co=2.1 co2=12,5 hc=250 o2=0.8", "gas", {"at": "shut", "co_pct": 2.1, "co2_pct": 12.5}),
        ("gas half o2=0.8% co=2.1% co2=12.5% hc=0.025%", "gas", {"at": "1/2", "hc_ppm": 250.0}),
        ("gas co=2.1 co2=12.5 hc=250ppm o2=0.8 --at 1/4 --rpm 5200", "gas", {"at": "1/4", "rpm": 5200.0}),
        ("choke 1/4 better", "choke", {"at": "1/4", "outcome": "better"}),
        ("choke quarter no change", "choke", {"at": "1/4", "outcome": "no change"}),
        ("hand rises", "hand", {"outcome": "rises"}),
        ("sweep 1.0=1380 1,5=1450rpm 2.5=died", "sweep", {"turns": [1.0, 1.5, 2.5], "rpm": [1380, 1450, 0]}),
        ("level -1.5", "level", {"above_mm": -1.5}),
        ("level -1,5mm", "level", {"above_mm": -1.5}),
        ("level 2mm below", "level", {"above_mm": -2.0}),
        ("level right", "level", {"above_mm": 0.0}),
        ("touched cleaning", "touched", {"part": "cleaning"}),
        ("touched carb off", "touched", {"part": "carburettor off"}),
    ],
)
def test_a_reading_is_understood(ask: Ask, words: str, kind: str, fields: dict[str, Any]) -> None:
    """Plug, lambda and roll-on come back as they were measured."""
    told = answer(ask, f"measured magpie {words}")
    assert told["kind"] == kind
    assert {key: told[key] for key in fields} == fields


def test_how_each_reading_is_taken_is_listed(ask: Ask) -> None:
    """The list needs no bike and tells ten ways to measure, two lines each, and how each is written."""
    told = answer(ask, "measured --list")["readings"]
    assert [one["kind"] for one in told] == list(WRITTEN)
    assert {len(one["how"]) for one in told} == {2}
    shown = ask("measured --list").stdout
    assert all(f"floatbowl measured BIKE {written}" in shown for _, written in WRITTEN.values())
    assert ask("measured").exit_code == 2


def test_the_help_of_measured_shows_one_line_a_kind(ask: Ask) -> None:
    """Every kind stands in the help as it is written, on a line of its own."""
    lines = [line.strip() for line in ask("measured --help").stdout.splitlines()]
    begins = [written.split()[0] for _, written in WRITTEN.values()]
    assert [word for word in begins if not any(line.startswith(f"{word} ") for line in lines)] == []


def test_the_first_remark_asks_what_was_touched_last(ask: Ask) -> None:
    """It is asked once, with the command to say it; how it died is asked whenever it dies."""
    assert "floatbowl measured magpie touched" in ask("said magpie 1/4 bogs").stdout
    again = ask("said magpie 1/4 dies").stdout
    assert "touched" not in again
    assert "floatbowl said magpie cuts out" in again


def test_what_is_fitted_is_kept_whatever_is_advised(ask: Ask) -> None:
    """A part is fitted and written down as it was told: nothing is refused because we would not do it."""
    ask("said magpie full flat --pull")
    assert answer(ask, "fitted magpie main=70")["main"] == "70"
    assert "main 70" in ask("log magpie").stdout


@pytest.mark.parametrize(
    ("words", "look", "outcome"),
    [
        ("soap on the joints found", "soap on the joints", "found"),
        ("soap yes", "soap on the joints", "found"),
        ("needle jet clear", "needle jet against the light", "clear"),
    ],
)
def test_what_a_look_brought_is_written_down(ask: Ask, words: str, look: str, outcome: str) -> None:
    """The look is understood by a word or two, the outcome by found or clear."""
    told = answer(ask, f"looked magpie {words}")
    assert (told["kind"], told["look"], told["outcome"]) == ("look", look, outcome)
    assert "looked" in ask("log magpie").stdout


def test_a_look_may_be_named_by_an_option(ask: Ask) -> None:
    """``--at`` names the look behind what it brought; what was found is told how to mend."""
    assert answer(ask, "looked magpie clear", "--at", "choke seat")["look"] == "choke seat"
    shown = ask("looked magpie found --at", "soap on the joints").stdout
    assert "Mend the air leak:" in shown
    assert "floatbowl mended magpie." in shown


def test_what_was_mended_is_written_down_and_can_be_taken_back(ask: Ask) -> None:
    """A mended fault stands in the logbook; undo strikes it out like any entry."""
    ask("said magpie shut hangs")
    assert answer(ask, "mended magpie leak")["fault"] == "air leak"
    assert "mended: air leak" in ask("log magpie").stdout
    assert "mended: air leak" in ask("undo magpie").stdout


# --- the logbook -------------------------------------------------------------------------------------------


def test_undo_strikes_out_and_the_logbook_keeps_the_line(ask: Ask) -> None:
    """A wrong remark is struck: it no longer counts, its line stays and says so."""
    ask("said magpie 1/2 bogs")
    assert "bogs at 1/2 open" in ask("undo magpie").stdout
    lines = answer(ask, "log magpie")["lines"]
    assert [line["struck"] for line in lines if line["kind"] == "remark"] == [True]
    assert "struck out" in ask("log magpie").stdout


def test_undo_without_a_bike_takes_the_last_entry_of_the_garage(ask: Ask) -> None:
    """What was put into the drawer last is out again."""
    ask("drawer add main 105")
    ask("undo")
    assert answer(ask, "drawer")["main"] == []


def test_undo_leaves_a_bike_that_just_came_in(ask: Ask) -> None:
    """Without a bike named, and nothing done since it came in, nothing is struck and a sentence says why."""
    before = answer(ask, "log")["lines"]
    for words in ("undo", "undo magpie"):
        told = ask(words)
        assert told.exit_code == 0
        assert "stays with it" in told.stdout
    assert answer(ask, "log")["lines"] == before


def test_undo_without_a_bike_goes_no_further_than_the_last_bike(ask: Ask, shed: Path) -> None:
    """What happened before the last bike came in is not struck by mistake."""
    ask("drawer add main 105")
    (shed / "wren.toml").write_text(MAGPIE.replace("Magpie", "Wren"), encoding="utf-8")
    ask("add", str(shed / "wren.toml"))
    assert answer(ask, "undo")["line"] is None
    assert answer(ask, "drawer")["main"] == ["105"]


def test_undo_of_a_setup_brings_the_one_before_back(ask: Ask) -> None:
    """After a wrong main was written down and struck, the old one is fitted."""
    ask("fitted magpie main=130")
    ask("undo magpie")
    assert answer(ask, "fitted magpie")["main"] == "110"


def test_a_bike_goes_out_and_comes_in_again(ask: Ask, shed: Path) -> None:
    """The exported file holds all that was told; another garage that adds it knows the same."""
    ask("said magpie 1/4 bogs --snap")
    ask("fitted magpie clip=4")
    (shed / "out.toml").write_text(ask("export magpie").stdout, encoding="utf-8")
    there = {"FLOATBOWL_GARAGE": str(shed / "other.garage")}
    assert CliRunner().invoke(main, ["add", str(shed / "out.toml")], env=there).exit_code == 0
    again = CliRunner().invoke(main, ["export", "magpie"], env=there).stdout
    assert again == ask("export magpie").stdout


# --- how it ends -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "code", "hint"),
    [
        ("said magpie quater bogs", 2, "Did you mean 1/4?"),
        ("said magpie 1/4 bgs", 2, "Did you mean bogs?"),
        ("said magpei 1/4 bogs", 2, "Did you mean Magpie?"),
        ("said", 2, "floatbowl said magpie 1/4 bogs"),
        ("fitted magpie mian=108", 2, "Did you mean main"),
        ("fitted magpie clip=1.5", 2, "washer"),
        ("measured magpie plug full purple", 2, "white"),
        ("measured magpie rollon 1/4", 2, "3.9s"),
        ("measured magpie rollon 1/4 3.9 --rpm fast", 2, "is not a number"),
        ("measured magpie choke 1/4", 2, "choke 1/4 better"),
        ("measured magpie choke 1/4 beter", 2, "Did you mean better?"),
        ("measured magpie hand", 2, "hand rises"),
        ("measured magpie hand wobbles", 2, "rises, sinks"),
        ("measured magpie sweep 1.5=1400", 2, "1.0=1380 1.5=1450"),
        ("measured magpie sweep 1.5=1400 2.0", 2, "with = between"),
        ("measured magpie sweep 1.5=1400 9=1300", 2, "between 0 and 8"),
        ("measured magpie level", 2, "level -1.5"),
        ("measured magpie level -90", 2, "between -25 and 25 mm"),
        ("measured magpie touched hosse", 2, "Did you mean hoses?"),
        ("measured magpie plug full tan --rpm 5000", 2, "belongs to a lambda"),
        ("measured magpie choke 1/4 better --choke half", 2, "belongs to a roll-on"),
        ("measured magpie level -1.5 --rmp 3", 2, "--rpm"),
        ("measured magpie smell bad", 2, "plug, lambda, rollon"),
        ("measured magpie plug full", 2, "tan"),
        ("air 19", 2, "19C"),
        ("air 19C 20C", 2, "twice"),
        ("air 1300hPa", 2, "barometer"),
        ("drawer steal main 105", 2, "add"),
        ("drawer from", 2, "garage.toml"),
        ("measured magpie lambda 1/2 14.7", 3, "by weight"),
        ("looked magpie soap", 2, "found or clear"),
        ("looked magpie light found", 2, "main jet"),
        ("looked magpie foud", 2, "Did you mean found?"),
        ("looked magpie soapy found", 2, "Did you mean soap on the joints?"),
        ("looked magpie found --at choek", 2, "Did you mean choke seat?"),
        ("mended magpie air leek", 2, "Did you mean air leak?"),
        ("mended magpie piolt", 2, "pilot jet blocked"),
        ("nxt magpie", 2, "Did you mean next?"),
        ("fitted", 2, "floatbowl fitted"),
        ("said magpie 1/4 bogs --snp", 2, "--snap"),
        ("add nowhere.toml", 3, "nowhere.toml"),
        ("check .", 3, "."),
    ],
)
def test_wrong_words_end_calmly_with_a_way_on(ask: Ask, words: str, code: int, hint: str) -> None:
    """Each slip gets its exit code and a sentence that says what to write instead."""
    result = ask(words)
    assert result.exit_code == code
    assert hint in result.stderr
    assert "Traceback" not in result.output


def test_trouble_is_told_in_json_as_well(ask: Ask) -> None:
    """A program that asked for JSON gets JSON, with the code it ends with."""
    result = ask("said magpei 1/4 bogs --json")
    told = json.loads(result.stdout)
    assert (told["form"], told["exit"], result.exit_code) == ("floatbowl.trouble/1", 2, 2)


def test_our_own_fault_is_a_sentence(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    """When floatbowl itself breaks, a person reads a sentence and where to look, never a traceback."""

    def break_(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("floatbowl.jobs.Garage.air", break_)
    result = ask("air")
    assert result.exit_code == 3
    assert "FLOATBOWL_TRACE" in result.stderr
    assert "Traceback" not in result.output


def test_stopping_by_hand_is_calm(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C ends with the code shells know and says that nothing is lost."""

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("floatbowl.jobs.Garage.air", stop)
    result = ask("air")
    assert result.exit_code == 130
    assert "still there" in result.stderr


# --- bad files ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\x00\x01\x02" * 100,
        "name = 'é'".encode("latin-1"),
        b"name = ",
        b'name = "Magpie"\nengine = 7\n',
        MAGPIE.replace("124.1", "nan").encode(),
        MAGPIE.replace("26.0", "-1").encode(),
        MAGPIE.replace("26.0", "1e300").encode(),
        MAGPIE.replace('"Magpie"', '"M\\u001b[31mpie"').encode(),
        b"[" * 5000,
        b"# " + b"x" * 50_000_000,
    ],
    ids=[
        "empty",
        "binary",
        "latin-1",
        "cut off",
        "wrong type",
        "nan",
        "negative",
        "huge",
        "escape",
        "deep",
        "50 MB",
    ],
)
@pytest.mark.parametrize("command", ["check", "add"])
def test_a_bad_file_harms_nothing(ask: Ask, shed: Path, content: bytes, command: str) -> None:
    """Whatever stands in a file, the answer is a sentence and 3, and the record is as it was."""
    before = ask("log --json").stdout
    (shed / "bad.toml").write_bytes(content)
    result = ask(command, str(shed / "bad.toml"))
    assert result.exit_code == 3, result.output
    assert result.stderr.strip()
    assert "Traceback" not in result.output
    assert "went wrong" not in result.output
    assert ask("log --json").stdout == before


def test_two_bikes_of_one_name_are_kept_apart(ask: Ask, shed: Path) -> None:
    """Another bike called Magpie is refused with what to do; the first one stays as it was."""
    other = MAGPIE.replace("124.1", "107.0").replace("26.0", "20.0")
    (shed / "other.toml").write_text(other, encoding="utf-8")
    before = ask("export magpie").stdout
    result = ask("add", str(shed / "other.toml"))
    assert result.exit_code == 3
    assert "name" in result.stderr
    assert ask("export magpie").stdout == before


def test_a_bike_may_be_told_anew(ask: Ask, shed: Path) -> None:
    """``--replace`` takes the new measures and keeps all that happened; the refusal names it."""
    ask("said magpie 1/4 bogs")
    (shed / "other.toml").write_text(MAGPIE.replace("26.0", "28.0"), encoding="utf-8")
    assert "--replace" in ask("add", str(shed / "other.toml")).stderr
    assert ask("add --replace", str(shed / "other.toml")).exit_code == 0
    out = ask("export magpie").stdout
    assert "bore_mm = 28.0" in out
    assert 'did = "bogs"' in out


def test_a_file_that_is_no_garage_is_left_alone(shed: Path) -> None:
    """Pointed at something else, floatbowl says so and does not touch it."""
    notes = shed / "notes.txt"
    notes.write_text("my shopping list\n" * 100, encoding="utf-8")
    result = CliRunner().invoke(main, ["garage", "--garage", str(notes)])
    assert result.exit_code == 3
    assert notes.read_text(encoding="utf-8") == "my shopping list\n" * 100


def test_no_words_at_all_shows_the_way(shed: Path) -> None:
    """``floatbowl`` alone shows its commands and ends well."""
    shown = in_a_shell(shed)
    assert shown.returncode == 0
    assert b"demo" in shown.stdout
    assert in_a_shell(shed, "--version").stdout.startswith(b"floatbowl ")


# --- the terminal ------------------------------------------------------------------------------------------


def in_a_shell(shed: Path, *words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run floatbowl as its own process with its output in a pipe."""
    place = {**os.environ, "FLOATBOWL_GARAGE": str(shed / "shed.garage"), **environment}
    asked = [sys.executable, "-m", "floatbowl", *words]
    return subprocess.run(asked, env=place, check=False, capture_output=True, timeout=60)


def test_help_is_there_at_once(shed: Path) -> None:
    """``floatbowl --help`` takes under 0.2 s, the whole process, in the best of five tries."""
    took = []
    for _ in range(5):
        start = time.perf_counter()
        assert in_a_shell(shed, "--help").returncode == 0
        took.append(time.perf_counter() - start)
    assert min(took) < 0.2


def test_a_pipe_gets_no_colour(ask: Ask, shed: Path) -> None:
    """Into a pipe goes plain text, whatever the environment says of colours."""
    ask("said magpie 1/4 bogs")
    shown = in_a_shell(shed, "log", COLORTERM="truecolor", TERM="xterm-256color")
    assert b"\x1b" not in shown.stdout


def test_a_terminal_without_utf_8_gets_ascii(ask: Ask, shed: Path) -> None:
    """Where the line pictures cannot be shown, every byte is ASCII, and the answer is still there."""
    ask("air 19C 851hPa")
    shown = in_a_shell(shed, "air", PYTHONIOENCODING="ascii")
    assert shown.returncode == 0
    assert shown.stdout.isascii()
    assert b"19 C" in shown.stdout


def test_a_reader_who_leaves_is_no_trouble(ask: Ask, shed: Path) -> None:
    """``floatbowl log | head`` ends without a word of complaint, as click has it: code 1."""
    for _ in range(3):
        ask("said magpie 1/4 bogs")
    place = {**os.environ, "FLOATBOWL_GARAGE": str(shed / "shed.garage")}
    read_end, write_end = os.pipe()
    os.close(read_end)
    asked = [sys.executable, "-m", "floatbowl", "log"]
    ran = subprocess.run(asked, env=place, check=False, stdout=write_end, stderr=subprocess.PIPE, timeout=60)
    os.close(write_end)
    assert (ran.returncode, ran.stderr) == (1, b"")


def test_no_escape_from_a_file_reaches_the_terminal(shed: Path) -> None:
    """Texts of a mailed file cannot steer the terminal: not a name, not a stamp, not a place."""
    nasty = (
        MAGPIE.replace("125 four-stroke", "125\\u001b]0;owned\\u0007 \\u009b31m\\u202efour-stroke")
        + '[[trial]]\nplace = "Tarn\\u001b[2JHollow"\nsaid = [{ did = "bogs", at = "1/4" }]\n'
    )
    (shed / "nasty.toml").write_text(nasty, encoding="utf-8")
    for words in (["add", str(shed / "nasty.toml")], ["check", str(shed / "nasty.toml")], ["log"], ["air"]):
        shown = in_a_shell(shed, *words, PYTHONIOENCODING="utf-8")
        text = (shown.stdout + shown.stderr).decode("utf-8")
        assert not set(text) & set("\x1b\x07\x9b\u202e")


# --- where the garage lies ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("platform", "environment", "tail"),
    [
        ("linux", {"XDG_DATA_HOME": "data"}, ("data",)),
        ("linux", {"XDG_DATA_HOME": ""}, (".local", "share")),
        ("darwin", {}, ("Library", "Application Support")),
        ("win32", {"LOCALAPPDATA": "local"}, ("local",)),
        ("win32", {"LOCALAPPDATA": ""}, ("AppData", "Local")),
    ],
)
def test_the_usual_place_is_that_of_the_system(
    platform: str, environment: dict[str, str], tail: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody says where: the garage lies where this system keeps a person's data."""
    monkeypatch.setattr("sys.platform", platform)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert data_folder().parts[-len(tail) :] == tail
    assert default_garage().name == FILE_NAME


def test_the_option_goes_before_the_environment(ask: Ask, shed: Path) -> None:
    """``--garage`` says which garage, even where the environment names another."""
    elsewhere = ask("log", "--garage", str(shed / "elsewhere.garage"))
    assert "Nothing happened yet" in elsewhere.stdout
    assert re.search("Magpie came in", ask("log").stdout)
