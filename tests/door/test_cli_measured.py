"""Logs, exhaust gas and roll-ons through the command line, as a person would."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result

from benchmarks.made_logs import Probe, made, true_lambda, write
from benchmarks.roll_ons import WAYS, a_run, an_evening
from floatbowl.bike.rung import Rung
from floatbowl.cli import main

pytestmark = pytest.mark.door

MAGPIE = """\
name = "Magpie"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0 }
setup = { main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""
Ask = Callable[..., Result]


@pytest.fixture
def ask(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Give a way to ask in a folder with a garage in which Magpie stands, and with a log of a ride."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "magpie.toml").write_text(MAGPIE, encoding="utf-8")
    write(tmp_path / "ride.csv", made(Probe(dead=0.5, lag=0.1), np.random.default_rng(4), seconds=400.0))
    place = {"FLOATBOWL_GARAGE": str(tmp_path / "shed.garage")}

    def run(words: str) -> Result:
        return CliRunner().invoke(main, words.split(), env=place)

    assert run("add magpie.toml").exit_code == 0
    return run


def answer(shown: Result) -> dict[str, Any]:
    """Read an answer given as JSON."""
    assert shown.exit_code == 0, shown.output
    read: dict[str, Any] = json.loads(shown.stdout)
    return read


def test_a_log_is_shown_before_it_is_written_down(ask: Ask) -> None:
    """Without anyone to ask, the guess is shown with the words that confirm it, and nothing is kept."""
    shown = ask("measured magpie ride.csv").stdout
    assert "engine speed     column 2" in shown
    assert "--columns" in shown
    assert "time=1,rpm=2,throttle=3,lambda=4,temperature=5" in shown
    told = answer(ask("measured magpie ride.csv --json"))
    assert told["confirm"] == "--columns time=1,rpm=2,throttle=3,lambda=4,temperature=5"
    assert answer(ask("log magpie --json"))["lines"][-1]["kind"] == "setup"


def test_a_confirmed_log_comes_to_lambda_at_each_opening(ask: Ask) -> None:
    """With its columns named a log is written down, told place by place, and every row accounted for."""
    told = answer(ask("measured magpie ride.csv --columns time=1,lambda=Lambda --json"))
    assert told["delay_s"] == pytest.approx(0.5, abs=0.05)
    assert told["used"] + sum(told["aside"].values()) == told["rows"] == 8000
    assert len({one["at"] for one in told["places"]}) >= 5
    for one in told["places"]:
        truth = float(true_lambda(Rung(one["at"]).opening, one["rpm"]))
        assert one["lambda"] == pytest.approx(truth, abs=0.01)
    assert "lambda log: " in answer(ask("log magpie --json"))["lines"][-1]["words"]


def test_a_log_in_words_says_what_was_set_aside(ask: Ask) -> None:
    """On paper a log tells its places, how late the probe is, and why rows were left out."""
    shown = ask("measured magpie ride.csv --columns time=1").stdout
    assert "At 1/2 open, " in shown
    assert "s late, give or take" in shown
    assert "throttle or engine speed moved, or had not settled" in shown
    assert "Saved as reading-1." in shown


def test_air_to_fuel_is_divided_by_what_stands_for_one(ask: Ask, tmp_path: Path) -> None:
    """An air to fuel of 13.23 is 0.9 where 14.7 stands for 1, and leaner where the fuel asks less air."""
    rows = "".join(f"{0.05 * k:.2f},5000,50,{13.23 + 0.02 * (k % 3 - 1):.2f}\n" for k in range(1200))
    (tmp_path / "afr.csv").write_text("time,rpm,throttle,afr\n" + rows, encoding="utf-8")
    (one,) = answer(ask("measured magpie afr.csv --columns afr=4/14.7 --json"))["places"]
    (other,) = answer(ask("measured magpie afr.csv --columns afr=4 --json"))["places"]
    assert one["lambda"] == pytest.approx(0.9, abs=0.002)
    assert other["lambda"] > one["lambda"]


def test_marks_stand_for_a_throttle(ask: Ask, tmp_path: Path) -> None:
    """A log without throttle, time or engine speed is read with a step and with what was held."""
    rows = "".join(f"{0.9 + 0.01 * (k % 7 - 3):.3f};{k % 90}\n" for k in range(1200))
    (tmp_path / "bare.txt").write_text("lambda;other\n" + rows, encoding="utf-8")
    refused = ask("measured magpie bare.txt --columns lambda=1,step=50ms")
    assert refused.exit_code == 2
    assert "No opening was held" in refused.stderr
    told = answer(ask("measured magpie bare.txt --columns lambda=1,step=50ms --held 1/2=10-40 --json"))
    assert [(one["at"], one["rpm"]) for one in told["places"]] == [("1/2", None)]
    assert told["delay_found"] is False


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("measured magpie nowhere.csv", "There is no file"),
        ("measured magpie magpie.toml", "no rows of numbers"),
        ("measured magpie ride.csv --columns lambda", "say which column it is"),
        ("measured magpie ride.csv --columns lamda=4", "is not a column we read"),
        ("measured magpie ride.csv --columns lambda=44", "no column 44"),
        ("measured magpie ride.csv --columns throttle=3:5", "shut and full"),
        ("measured magpie ride.csv --columns time=1 --held 1/4", "--held 1/4=35-60"),
        ("measured magpie ride.csv --columns time=1 --held 1/4=60-35", "ends before it begins"),
        ("measured magpie gas co=2.1 co2=12.5 o2=0.8", "HC is missing"),
        ("measured magpie gas co=2.1 co2=12.5 hc=250 o2=0.8 no=3", "is no gas we know"),
        ("measured magpie gas 1/2 co=2.1 co2=12.5 hc=250 o2=0.8 --at 1/4", "named twice"),
        ("measured magpie plug full tan --at 1/4", "--at belongs to exhaust gas"),
        ("measured magpie rollon 1/4 there=3.9 4.1", "Some runs say which way"),
        ("measured magpie rollon 1/4 north=3.9", "is not a way to go"),
        ("measured magpie rollon 1/2 run.csv", "--between 4000-7000"),
        ("measured magpie rollon 1/2 ride.csv --between 7000-4000", "lower engine speed first"),
        ("rollons magpie", "No two setups of Magpie have roll-ons"),
        ("rollons magpie 1", "Name two setups"),
        ("rollons magpie 1 7", "has no setup 7"),
    ],
)
def test_what_is_not_understood_is_told(ask: Ask, words: str, says: str) -> None:
    """Each slip gets a sentence with what to write, and nothing is written down."""
    shown = ask(words)
    assert shown.exit_code in {2, 3}
    assert says in shown.stderr
    assert answer(ask("log magpie --json"))["lines"][-1]["kind"] == "setup"


def test_exhaust_gas_says_its_lambda(ask: Ask) -> None:
    """The gas is kept as it was read, and told with the lambda it comes to."""
    shown = ask("measured magpie gas co=2.1 co2=12.5 hc=250 o2=0.8 --at 1/4").stdout
    assert "exhaust gas at 1/4 open: CO 2.1 %" in shown
    assert "that is lambda 0.96" in shown


def test_roll_ons_of_two_setups_are_held_against_each_other(ask: Ask) -> None:
    """A clear difference is claimed with all of twenty, none is told as not known, and every run is shown."""
    ask("measured magpie rollon 1/2 there=3.9 back=4.1 there=3.9 back=4.2")
    ask("fitted magpie clip=4")
    ask("measured magpie rollon 1/2 there=3.6 back=3.8 there=3.6 back=3.8")
    shown = ask("rollons magpie").stdout
    assert "setup 2 is faster, 20 in 20" in shown
    assert "3.9 there, 4.1 back" in shown
    ask("fitted magpie clip=5")
    ask("measured magpie rollon 1/2 there=3.6 back=3.8 there=3.7 back=3.7")
    told = answer(ask("rollons magpie 2 3 --json"))["pairs"][0]
    assert told["verdict"] == "cannot tell"
    assert 0 < told["faster"] < 20
    assert told["runs_needed"] > 4


def test_roll_ons_are_timed_from_logs(ask: Ask, tmp_path: Path) -> None:
    """Runs logged one a file are timed between two speeds, and kept with their ways as traced."""
    rng = np.random.default_rng(8)
    evening = an_evening(rng)
    for way in WAYS:
        run = a_run(evening, way, 1.0, rng)
        rows = "".join(f"{t:.2f};{n:.0f}\n" for t, n in zip(run.time, run.rpm, strict=True))
        (tmp_path / f"{way}.csv").write_text("time s;rpm\n" + rows, encoding="utf-8")
    words = (
        "measured magpie rollon 1/2 there=there.csv back=back.csv --between 4200-7200 --columns time=1 --json"
    )
    told = answer(ask(words))
    assert (told["by"], told["ways"], told["rpm"]) == ("trace", ["there", "back"], 4200.0)
    assert all(3.0 < seconds < 5.0 for seconds in told["seconds"])
    far = ask("measured magpie rollon 1/2 there.csv --between 4200-9900 --columns time=1")
    assert "does not go from 4200 to 9900 rpm" in far.stderr
