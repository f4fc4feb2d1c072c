"""The doctor at the command line: what it says, what it saves, and what it never touches."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from floatbowl import jobs
from floatbowl.cli import main
from floatbowl.record import health
from floatbowl.record.health import Finding
from floatbowl.record.spares import folder_of
from floatbowl.words import doctor as words

pytestmark = pytest.mark.door

Ask = Callable[..., Result]
PAGE = 4096
ROOT = Path(__file__).resolve().parents[2]
MAGPIE = """\
name = "Magpie"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0 }
setup = { main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    """Give a garage's file in which Magpie stands and much was said."""
    file = tmp_path / "magpie.toml"
    file.write_text(MAGPIE, encoding="utf-8")
    place = tmp_path / "shed.garage"
    with jobs.open_garage(place) as garage:
        garage.add_bike(file)
        for _ in range(120):
            garage.record_remark("magpie", "flat")
    return place


@pytest.fixture
def ask(shed: Path) -> Ask:
    """Give a way to write a command."""

    def run(text: str, *more: str) -> Result:
        environment = {"FLOATBOWL_GARAGE": str(shed), "COLUMNS": "100"}
        return CliRunner().invoke(main, [*text.split(), *more], env=environment)

    return run


def spoil(place: Path, page: int) -> bytes:
    """Overwrite a page of a garage's file, and give its bytes."""
    content = bytearray(place.read_bytes())
    content[page * PAGE : (page + 1) * PAGE] = b"\xa5" * PAGE
    place.write_bytes(content)
    return bytes(content)


def test_the_first_job_of_a_day_leaves_a_copy(ask: Ask, shed: Path) -> None:
    """After any command there is a copy beside the garage, and the doctor names it."""
    assert "There is no copy of it yet" in ask("doctor").stdout
    ask("fitted magpie")
    (copy,) = folder_of(shed).iterdir()
    shown = ask("doctor").stdout
    assert shown.startswith("Nothing wrong\n")
    assert str(copy.name) in "".join(shown.split())


def test_a_copy_that_cannot_be_made_spoils_no_job(ask: Ask, shed: Path) -> None:
    """Something in the way of the folder: the job is done and says nothing of it; the doctor does."""
    folder_of(shed).write_text("in the way")
    assert ask("said magpie bogs").exit_code == 0
    assert "There is no copy of it yet" in ask("doctor").stdout


def test_a_damaged_garage_is_found_shown_and_saved(ask: Ask, shed: Path, tmp_path: Path) -> None:
    """Reading goes on, writing is refused with the two ways on, and the repair leaves the old file alone."""
    ask("fitted magpie")
    (copy,) = folder_of(shed).iterdir()
    spoilt = spoil(shed, 9)
    refused = ask("said magpie bogs")
    assert refused.exit_code == 3
    assert f"floatbowl garage --garage {copy}" in refused.stderr
    assert f"floatbowl doctor --garage {shed} --repair NEW" in refused.stderr
    told = json.loads(ask("doctor --json").stdout)
    assert (told["is_well"], told["findings"][0]["what"]) == (False, "damaged")
    new = tmp_path / "new.garage"
    saved = json.loads(ask("doctor --json --repair", str(new)).stdout)
    assert (saved["entries"], saved["lost"]) == (122, [])
    assert saved["from_copies"]
    assert shed.read_bytes() == spoilt
    assert ask("said magpie bogs --garage", str(new)).exit_code == 0


def test_a_repair_writes_nothing_over(ask: Ask, shed: Path) -> None:
    """Asked to save into the very file it saves from, it refuses."""
    before = shed.read_bytes()
    assert ask("doctor --repair", str(shed)).exit_code == 3
    assert shed.read_bytes() == before


def test_an_entry_that_makes_no_sense_leads_to_the_doctor(ask: Ask, shed: Path) -> None:
    """What SQLite takes for whole and we cannot read is told as damage, not as a fault of ours."""
    shed.write_bytes(shed.read_bytes().replace(b'"did": "flat"', b'"did": "flit"', 1))
    shown = ask("log magpie")
    assert shown.exit_code == 3
    assert re.search(r"The record is damaged here \(entry \d+\)\. .*: floatbowl doctor", shown.stderr)
    assert "makes no sense" in ask("doctor").stdout or "make no sense" in ask("doctor").stdout


def test_every_finding_has_a_sentence() -> None:
    """Whatever key the examination may give, words are there for it, with no gap left."""
    source = Path(health.__file__).read_text(encoding="utf-8")
    found = set(re.findall(r'key="([a-z ]+)"', source)) | {"old copies", "copies", "missing package"}
    assert found == set(words.FINDINGS)
    facts = dict.fromkeys(re.findall(r"{(\w+)}", "".join(words.FINDINGS.values())), "7")
    told = [words.finding_words(Finding(key=key, weight="note", facts=facts)) for key in found]
    assert not [text for text in told if "{" in text]


def test_the_doctor_looks_for_everything_that_floatbowl_needs() -> None:
    """What the list names is what the project depends on, and all of it can be found here."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = {re.split(r"[ <>=]", one)[0].replace("python-", "") for one in project["dependencies"]}
    assert set(jobs.NEEDED) == wanted
    assert all(find_spec(name) for name in jobs.NEEDED)
