"""floatbowl carry and floatbowl day, as they would be asked for the morning before a race."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from floatbowl.cli import main
from tests.door.test_forms import keys

pytestmark = pytest.mark.door

OTTER = """\
name = "Otter"
engine = { strokes = 2, inlet = "reed", swept_cc = 248.6 }
carb = { bore_mm = 36.0, needle_jet_bore_mm = 2.95 }
setup = { main = "160", pilot = "65", clip_from_top = 2, cutaway = "3.0", screw_turns = 1.5 }
"""
DAY = """\
place = "Low Meadow"
wind = "none"
[[hour]]
time = "09:00"
what = "practice"
temperature_c = 8
pressure_hpa_sea_level = 1023
[[hour]]
time = "13:00"
temperature_c = 24
pressure_hpa_at_door = 970
humidity_pct = 55
"""
CARRY = {
    "form": "floatbowl.carry/1",
    "keys": {
        "bike",
        "buy",
        "care",
        "far_short_count",
        "fits",
        "form",
        "here",
        "mains_by_height",
        "of",
        "rule",
        "rungs",
        "setup",
        "swaps",
        "tag",
        "there",
        "words",
    },
    "swap": {"air_kg_m3", "by_rule_kg_m3", "height_m", "part", "temperature_c", "thick", "thin", "words"},
}
"""A pin, made by our own code: what other programs read."""


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Put a bike, a few mains and two places in a garage."""
    folder = tmp_path_factory.mktemp("shed")
    (folder / "otter.toml").write_text(OTTER, encoding="utf-8")
    (folder / "day.toml").write_text(DAY, encoding="utf-8")
    for words in (
        ("add", str(folder / "otter.toml")),
        ("drawer", "add", "main", "155", "162", "165", "170"),
        ("air", "--at", "Low Meadow", "--height", "420m"),
        ("air", "19C", "851hPa", "46%", "--at", "Tarn Hollow", "--height", "1450m"),
    ):
        assert ask(folder, *words).exit_code == 0
    return folder


def ask(folder: Path, *words: str) -> Result:
    """Ask in a garage."""
    place = {"FLOATBOWL_GARAGE": str(folder / "shed.garage"), "COLUMNS": "100"}
    return CliRunner().invoke(main, list(words), env=place)


def told(folder: Path, *words: str) -> dict[str, Any]:
    """Ask for the answer as data."""
    shown = ask(folder, *words, "--json")
    assert shown.exit_code == 0, shown.output
    form: dict[str, Any] = json.loads(shown.stdout)
    return form


@pytest.fixture(scope="module")
def carried(shed: Path) -> dict[str, Any]:
    """Carry it down to the meadow."""
    return told(shed, "carry", "otter", "--to", "Low Meadow", "--air", "14C", "964hPa")


def test_the_form_has_its_keys(carried: dict[str, Any]) -> None:
    """No key of the answer is lost or renamed."""
    assert carried["form"] == CARRY["form"]
    assert set(carried) == CARRY["keys"]
    assert carried["swaps"]
    assert all(set(swap) == CARRY["swap"] for swap in carried["swaps"])
    assert {"swaps[].height_m.value", "swaps[].temperature_c.low", "rule.worked_out_pct.full"} <= set(
        keys(carried)
    )


def test_a_person_reads_what_a_program_reads(shed: Path, carried: dict[str, Any]) -> None:
    """Every swap line on the terminal has the digits of the form."""
    shown = ask(shed, "carry", "otter", "--to", "Low Meadow", "--air", "14C", "964hPa").output
    lines = [" ".join(line.split()) for line in shown.splitlines()]
    for swap in carried["swaps"]:
        part = {"clip": "clip groove", "screw": "air screw"}.get(swap["part"], swap["part"])
        stamps = [one if isinstance(one, str) else f"{one:g}" for one in (swap["thin"], swap["thick"])]
        (line,) = (line for line in lines if line.startswith(f"{part} {' '.join(stamps)} "))
        assert f"{swap['air_kg_m3']['value']:.2f}" in line
        if swap["height_m"]:
            assert f"{swap['height_m']['value']:,.0f}" in line


def test_a_new_place_is_kept_with_its_height(shed: Path) -> None:
    """With its height a place is written down; the next time its name will do."""
    first = told(shed, "carry", "otter", "--to", "High Pass", "--height", "2100m")
    again = told(shed, "carry", "otter", "--to", "high pass")
    assert first["there"]["height_m"] == again["there"]["height_m"] == 2100.0
    assert first["swaps"] == again["swaps"]


def test_a_place_nobody_told_of_is_asked_for(shed: Path) -> None:
    """A place without a height is trouble with the record, and the places we know are named."""
    shown = ask(shed, "carry", "otter", "--to", "Nowhere")
    assert shown.exit_code == 3
    assert "Low Meadow" in shown.output


def test_the_forecasts_pressure_is_brought_to_the_door(shed: Path) -> None:
    """1013.25 hPa at sea level is the standard atmosphere's pressure at 420 m: 963.8 hPa [isa1976]."""
    form = told(shed, "carry", "otter", "--to", "Low Meadow", "--sea", "1013.25hPa")
    assert form["there"]["pressure_hpa_at_door"] == pytest.approx(963.8, abs=0.1)


@pytest.mark.parametrize(
    "words",
    [("--air", "964hPa", "--sea", "1013hPa"), ("--sea", "851hPa"), ("--air", "964")],
)
def test_what_cannot_be_meant_is_asked_again(shed: Path, words: tuple[str, ...]) -> None:
    """Two pressures, a sea level that is none, a number without its unit: wrong words, exit 2."""
    assert ask(shed, "carry", "otter", "--to", "Low Meadow", *words).exit_code == 2


def test_a_frosty_morning_can_be_typed(shed: Path) -> None:
    """A temperature below nothing is a number and no option."""
    form = told(shed, "carry", "otter", "--to", "Low Meadow", "--air", "-3C")
    assert form["there"]["temperature_c"] == -3.0


def test_a_day_is_laid_out(shed: Path) -> None:
    """Hours come with their air, lines and rules; a key we do not know is noted."""
    form = told(shed, "day", "otter", str(shed / "day.toml"))
    assert form["form"] == "floatbowl.day/1"
    assert [hour["time"] for hour in form["hours"]] == ["09:00", "13:00"]
    assert form["hours"][0]["air"]["place"] == "Low Meadow"
    assert form["hours"][0]["air"]["pressure_hpa_at_door"] == pytest.approx(973.2, abs=0.2)
    assert sum(one["count"] for one in form["hours"][0]["mains"]) == 20
    assert form["rules"]
    assert form["swaps"]
    assert "wind" in form["notes"][0]
    shown = " ".join(ask(shed, "day", "otter", str(shed / "day.toml")).output.split())
    assert all(rule in shown for rule in form["rules"])


def test_a_slip_in_a_day_is_told_by_line(shed: Path) -> None:
    """A day file that cannot be read is trouble with a file, and the line is named."""
    (shed / "wrong.toml").write_text(DAY.replace('"13:00"', '"noon"'), encoding="utf-8")
    shown = ask(shed, "day", "otter", str(shed / "wrong.toml"))
    assert shown.exit_code == 3
    assert "Line 9 of wrong.toml" in shown.output
