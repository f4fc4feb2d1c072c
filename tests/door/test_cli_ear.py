"""The ear at the command line: what it says, what it writes down, and how it ends."""

from __future__ import annotations

import json
import wave
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from benchmarks.ear import ride
from benchmarks.ear.engine_sound import Engine, engine_sound
from benchmarks.ear.surroundings import coloured, phone
from floatbowl.cli import main

pytestmark = [pytest.mark.door, pytest.mark.slow]

RATE = 22_050.0
TIMES = np.arange(int(6.0 * RATE)) / RATE
MAGPIE = """\
name = "Magpie"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0, mixture_screw = "air" }
setup = { number = 8, main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""
Ask = Callable[..., Result]


def save(path: Path, sound: np.ndarray) -> None:
    """Write a sound as a phone would record it."""
    heard = phone(sound, RATE, high_pass=100.0, clip=0.9, gain_control=0.5)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(int(RATE))
        file.writeframes((heard * 32000.0).astype("<i2").tobytes())


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with recordings: idles, a blip that hangs, a pull, rain."""
    folder = tmp_path_factory.mktemp("shed")
    rng = np.random.default_rng(12)
    engine = Engine(strokes=4)
    rides = {
        "idle": ride.idle(1500.0, TIMES, rng),
        "hang": ride.blip(1500.0, 6000.0, TIMES, rng, at=1.5, fall=0.3, hang=1.5),
        "pull": ride.sweep(3000.0, 8500.0, TIMES, rng),
        **{f"at{k}": ride.idle(rpm, TIMES, rng) for k, rpm in enumerate((1350.0, 1450.0, 1540.0))},
    }
    for name, rpm in rides.items():
        save(folder / f"{name}.wav", engine_sound(rpm, RATE, engine, rng))
    save(folder / "rain.wav", coloured(len(TIMES), RATE, rng, slope=0.5))
    save(folder / "short.wav", coloured(10_000, RATE, rng, slope=0.5))
    (folder / "magpie.toml").write_text(MAGPIE, encoding="utf-8")
    return folder


@pytest.fixture
def ask(shed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Give a way to write a command, in a garage with Magpie on a stand and the recordings at hand."""
    monkeypatch.chdir(shed)

    def run(words: str) -> Result:
        environment = {"FLOATBOWL_GARAGE": str(tmp_path / "shed.garage"), "COLUMNS": "100"}
        return CliRunner().invoke(main, words.split(), env=environment)

    assert run("add magpie.toml").exit_code == 0
    return run


def test_an_idle_is_heard_and_written_down(ask: Ask) -> None:
    """The speed comes with its doubt, and stands in the logbook."""
    told = json.loads(ask("ear magpie idle.wav --json").stdout)
    assert told["form"] == "floatbowl.ear/1"
    assert told["idle"]["rpm"] == pytest.approx(1500.0, rel=0.03)
    assert told["cannot_tell"] is None
    assert "idle by ear: 1" in ask("log magpie").stdout


def test_a_blip_that_hangs_is_timed(ask: Ask) -> None:
    """A blip is found with how long it hangs, in the answer and in the words."""
    told = json.loads(ask("ear magpie hang.wav --json").stdout)
    assert len(told["blips"]) == 1
    assert told["blips"][0]["hangs_s"] > 1.2
    assert "After 1 blip" in told["words"]


def test_trying_writes_nothing_down(ask: Ask) -> None:
    """With --try the recording is told and the logbook stays as it was."""
    said = ask("ear magpie idle.wav --try").stdout
    assert said.rstrip().endswith("Nothing was written down.")
    assert "by ear" not in ask("log magpie").stdout


def test_rain_is_no_engine(ask: Ask) -> None:
    """What is no engine is an answer: we cannot tell, why, and what to do; nothing is written down."""
    result = ask("ear magpie rain.wav")
    assert result.exit_code == 0
    assert "We cannot tell the engine speed: nothing in it repeats" in result.stdout
    assert "Nothing was written down." in result.stdout


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("ear magpie short.wav", 3),
        ("ear magpie gone.wav", 3),
        ("ear magpie magpie.toml", 3),
        ("ear magpie idle.wav pull.wav", 2),
        ("ear magpie pull.wav --rollon 1/4", 2),
        ("ear magpie pull.wav --rollon 1/4 --between 9000-9900", 2),
        ("ear magpie --sweep idle.wav", 2),
        ("ear magpie --sweep 1.0=rain.wav 1.5=idle.wav", 2),
    ],
)
def test_trouble_is_a_sentence(ask: Ask, words: str, code: int) -> None:
    """Short, missing, foreign and misused recordings end calmly, and write nothing down."""
    result = ask(words)
    assert result.exit_code == code
    assert "Traceback" not in result.output
    assert "by ear" not in ask("log magpie").stdout


def test_a_sweep_finds_the_best_place(ask: Ask) -> None:
    """Idles at places of the screw become one sweep; still rising at 3 turns, the pilot is a size too big."""
    told = json.loads(ask("ear magpie --sweep 1.0=at0.wav 2.0=at1.wav 3.0=at2.wav 0.5=died --json").stdout)
    assert told["kind"] == "sweep"
    assert told["rpm"][:3] == pytest.approx([1350.0, 1450.0, 1540.0], rel=0.03)
    assert told["rpm"][3] == 0.0
    assert told["pilot"] == "pilot too big"


def test_a_pull_is_timed_by_ear(ask: Ask) -> None:
    """A run in one gear becomes a roll-on timed from a trace, between the speeds that were asked for."""
    told = json.loads(ask("ear magpie pull.wav --rollon 1/4 --between 4000-7000 --json").stdout)
    assert (told["kind"], told["by"], told["rpm"]) == ("rollon", "trace", 4000.0)
    assert told["seconds"][0] == pytest.approx(6.0 * 3000.0 / 5500.0, rel=0.2)


def test_the_picture_is_drawn(ask: Ask, tmp_path: Path) -> None:
    """With --picture an SVG that stands alone is written."""
    assert ask(f"ear magpie idle.wav --try --picture {tmp_path / 'idle.svg'}").exit_code == 0
    drawn = (tmp_path / "idle.svg").read_text(encoding="utf-8")
    assert drawn.startswith("<svg")
    assert "data:image/png;base64," in drawn
    assert "ear-line" in drawn
