"""Another height, and a day ahead: the pages say what the command says, to the digit shown (walk 7)."""

from __future__ import annotations

import html
import json
import re
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from click.testing import CliRunner

from floatbowl.advice.day_sheet import DaySheet
from floatbowl.bike.hour import Forecast
from floatbowl.cli import main
from floatbowl.jobs import Garage
from floatbowl.units import FREEZING
from floatbowl.words import day as day_words
from tests.web.browser import OURS, Browser
from tests.web.pages.conftest import Read, looked_at

pytestmark = pytest.mark.door

CARRY, DAY = "/bikes/otter/carry", "/bikes/otter/day"
HOURS = (
    ("time", "09:00"),
    ("what", "practice"),
    ("temperature", "8"),
    ("pressure", "1023"),
    ("humidity", "85"),
    ("time", "13:00"),
    ("what", ""),
    ("temperature", "24"),
    ("pressure", "1020"),
    ("humidity", ""),
)


def rows_of(page: str) -> list[list[str]]:
    """Give the swap lines of a page, cell by cell."""
    (body,) = re.findall(r'<tbody role="rowgroup">(.*?)</tbody>', page, flags=re.DOTALL)
    found = [re.findall(r"<t[hd][^>]*>([^<]*)</t[hd]>", row) for row in body.split("</tr>") if "<t" in row]
    return [[html.unescape(cell) for cell in row] for row in found]


def shown(range_: dict[str, Any] | None, digits: str) -> str:
    """Write a range of the form as the page should show it."""
    if range_ is None:
        return "-"
    value, low, high = (
        None if range_[end] is None else f"{range_[end]:{digits}}".replace("-", "\N{MINUS SIGN}")
        for end in ("value", "low", "high")
    )
    between = {
        (False, False): f"{low} to {high}",
        (True, False): f"up to {high}",
        (False, True): f"{low} and up",
        (True, True): "hardly sure",
    }
    return f"{value} ({between[low is None, high is None]})"


@pytest.mark.slow
def test_walk_7_two_numbers_carry_otter_to_low_meadow(thought: Browser, demo_file: Path) -> None:
    """Otter is carried by typing two numbers; every swap line agrees with the command's JSON as shown."""
    form = Read(looked_at(thought, CARRY))
    assert form.value("to") == "Low Meadow"  # the one place we know besides here is offered
    typed = {"to": form.value("to"), "temperature": "14", "pressure": "964", "at": "door"}
    page = looked_at(thought, f"{CARRY}?{urlencode(typed)}")
    words = ["carry", "otter", "--to", "Low Meadow", "--air", "14C", "964hPa", "--json"]
    asked = CliRunner().invoke(main, words, env={"FLOATBOWL_GARAGE": str(demo_file)})
    told = json.loads(asked.stdout)
    rows = rows_of(page)
    assert len(rows) == len(told["swaps"]) > 3
    for (_, thin, thick, air, height, warmth, _), swap in zip(rows, told["swaps"], strict=True):
        assert [thin, thick] == [
            one if isinstance(one, str) else f"{one:g}" for one in (swap["thin"], swap["thick"])
        ]
        assert air == shown(swap["air_kg_m3"], ".2f")
        assert height == shown(swap["height_m"], ",.0f")
        assert warmth == shown(swap["temperature_c"], ".0f")
    read = Read(page)
    assert read.says(told["rule"]["words"])
    assert all(read.says(row["words"]) for row in told["rungs"])


def test_a_bike_with_a_tag_is_offered_nothing(thought: Browser) -> None:
    """While a stop tag hangs the page says so, and not what to fit."""
    read = Read(
        looked_at(thought, f"/bikes/thistle/carry?{urlencode({'to': 'Low Meadow', 'temperature': '14'})}")
    )
    assert read.says("A stop tag hangs on it: air leak.")
    assert not read.says("Fit there")


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"to": "Nowhere", "temperature": "14"}, "Say its height as well"),
        ({"to": "Low Meadow", "pressure": "9"}, "pressure"),
        ({"to": "Low Meadow", "pressure": "851", "at": "sea"}, "sea level"),
    ],
)
def test_a_slip_is_told_above_what_was_typed(thought: Browser, typed: dict[str, str], told: str) -> None:
    """What cannot be meant is told, and what was typed still stands in its field."""
    looked_at(thought, CARRY)
    answer = thought.get(f"{CARRY}?{urlencode(typed)}")
    assert answer.status_code == 422
    assert told in answer.text
    assert Read(answer.text).value("to") == typed["to"]


@pytest.mark.slow
def test_a_new_place_can_be_kept(at_work: Browser) -> None:
    """A place typed with its height is offered to be kept; kept, its name will do."""
    query = urlencode({"to": "High Pass", "height": "2100"})
    page = looked_at(at_work, f"{CARRY}?{query}")
    assert "Keep it with its height" in page
    data = {"place": "High Pass", "metres": "2100.0", "once": "c" * 32}
    answer = at_work.post(f"{CARRY}?{query}", headers=OURS, data=data)
    assert answer.status_code == 303
    with at_work.shop.open_garage() as garage:
        assert ("High Pass", 2100.0) in {(place.name, place.height) for place in garage.places()}


@pytest.mark.slow
def test_a_day_typed_is_the_day_of_the_command(thought: Browser) -> None:
    """Hours, rules, lines and what to take along stand there in the words of the job."""
    page = looked_at(thought, f"{DAY}?{urlencode([('to', 'Low Meadow'), ('at', 'sea'), *HOURS])}")
    read = Read(page)
    with thought.shop.open_garage() as garage:
        sheet = _sheet(garage)
    assert len(sheet.hours) == 2
    for words in (
        *day_words.rules(sheet),
        *(day_words.line_words(sheet, line) for line in sheet.lines),
        *(day_words.air_words(ahead) for ahead in sheet.hours),
        day_words.pack_words(sheet),
    ):
        assert read.says(words), words


def _sheet(garage: Garage) -> DaySheet:
    forecasts = [
        Forecast(
            minute=540, what="practice", temperature=8 + FREEZING, sea_level_pressure=102300.0, humidity=0.85
        ),
        Forecast(minute=780, temperature=24 + FREEZING, sea_level_pressure=102000.0),
    ]
    return garage.day_sheet("otter", garage.hours_at("Low Meadow", forecasts, height=None))


def test_an_hour_that_is_no_time_is_told(thought: Browser) -> None:
    """A time nobody can read is told, and the rows stay as they were typed."""
    looked_at(thought, DAY)
    typed = urlencode([("to", "Low Meadow"), ("time", "noon"), ("temperature", "8")])
    answer = thought.get(f"{DAY}?{typed}")
    assert answer.status_code == 422
    assert "Write it like 9:30" in answer.text
    assert 'value="noon"' in answer.text
