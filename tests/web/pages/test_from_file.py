"""Readings out of files: an idle is heard and written once, a log is agreed upon before it is written."""

from __future__ import annotations

import io
import wave
from pathlib import Path

import numpy as np
import pytest

from floatbowl.words import on_forms
from tests.web.browser import OURS, Browser
from tests.web.pages.conftest import Read
from tests.web.pages.writing import log_of

pytestmark = pytest.mark.door
PAGE = "/bikes/magpie/from-file"


def idle_sound(rng: np.random.Generator) -> bytes:
    """Make ten seconds of a four-stroke that idles at 1,500 rpm: a thump every other turn, and wind."""
    rate = 22_050
    t = np.arange(10 * rate) / rate
    turned = (t * 1500.0 / 60.0 / 2.0) % 1.0
    thump = np.exp(-18.0 * turned) * np.sin(2.0 * np.pi * 110.0 * t)
    sound = thump + 0.2 * np.exp(-10.0 * turned) * rng.normal(size=len(t))
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes((20_000.0 * sound / np.abs(sound).max()).astype("<i2").tobytes())
    return file.getvalue()


def ride_log(rng: np.random.Generator) -> bytes:
    """Make a log in which three openings are held, twice each, for eight seconds."""
    held = [(25.0, 0.88), (50.0, 0.92), (100.0, 0.86)] * 2
    rows = ["Time,RPM,Throttle,Lambda"]
    for place, (opening, lam) in enumerate(held):
        for step in range(160):
            time = 0.05 * (160 * place + step)
            noise = rng.normal(size=3)
            told = (5000.0 + 30.0 * noise[0], opening + 0.3 * noise[1], lam + 0.005 * noise[2])
            rows.append("{:.2f},{:.0f},{:.1f},{:.3f}".format(time, *told))
    return "\n".join(rows).encode()


def test_an_idle_is_heard_and_written_once(ask: Browser, shed: Path, rng: np.random.Generator) -> None:
    """A recording of an idle is one entry, with its speed, its drawing, and one tap to undo it."""
    sound = idle_sound(rng)
    before = len(log_of(shed))
    sent = {"sound": ("<b>x</b>.wav", sound)}
    ask.post(f"{PAGE}/sound", headers=OURS, files=sent, data={"once": "f" * 32})
    answer = ask.post(f"{PAGE}/sound", headers=OURS, files=sent, data={"once": "f" * 32})
    assert answer.status_code == 200
    (line,) = log_of(shed)[before:]
    assert line.facts["rpm"] == pytest.approx(1500.0, rel=0.02)
    assert "<b>x" not in answer.text
    assert "Undo" in answer.text


def test_a_log_is_agreed_upon_before_it_is_written(
    ask: Browser, shed: Path, rng: np.random.Generator
) -> None:
    """The first time only what its columns are taken for is shown; sent so, it is one entry."""
    log = {"log": ("ride.csv", ride_log(rng))}
    before = len(log_of(shed))
    asked = Read(ask.post(f"{PAGE}/log", headers=OURS, files=log).text)
    assert asked.says(on_forms.IS_THAT_RIGHT)
    assert len(log_of(shed)) == before
    columns = asked.value("columns")
    for _ in range(2):
        answer = ask.post(f"{PAGE}/log", headers=OURS, files=log, data={"columns": columns, "once": "g" * 32})
        assert answer.status_code == 200
    (line,) = log_of(shed)[before:]
    assert line.facts["at"] == ["1/4", "1/2", "full"]
    assert line.facts["value"] == pytest.approx([0.88, 0.92, 0.86], abs=0.01)


@pytest.mark.parametrize("what", ["sound", "log"])
@pytest.mark.parametrize("file", [b"", b"<b>x</b> is neither a sound nor a table"])
def test_what_is_neither_is_told(ask: Browser, shed: Path, what: str, file: bytes) -> None:
    """No file, or one that is something else, is told in a sentence, and nothing is written."""
    before = log_of(shed)
    answer = ask.post(f"{PAGE}/{what}", headers=OURS, files={what: ("x", file)}, data={"columns": "lambda=1"})
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert "<b>x" not in answer.text
    assert log_of(shed) == before
