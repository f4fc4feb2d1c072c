"""The take-along as it is opened at the track: from a file, with the network off, in a real browser."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from floatbowl.cli import main
from floatbowl.jobs import FirstAnswers, open_garage
from floatbowl.web.take_along import AT_MOST, take_along_page
from tests.browser.shed import demo_garage
from tests.browser.visit import PHONE

pytestmark = [pytest.mark.door, pytest.mark.slow]

HOSTILE = "</script><img src=x onerror=alert()>&'W\""
DAY = """form = "floatbowl.day/1"\nplace = "Low Meadow"\nheight_m = 420\n
[[hour]]\ntime = "09:00"\ntemperature_c = 8\n\n[[hour]]\ntime = "13:00"\ntemperature_c = 24\n"""


def told(garage: Path, *words: str) -> str:
    """Ask the command line, and give what it prints; it must succeed."""
    shown = CliRunner().invoke(main, [*words, "--garage", str(garage)])
    assert shown.exit_code == 0, shown.output
    return shown.stdout


def as_data(garage: Path, *words: str) -> dict[str, Any]:
    """Ask the command line for data."""
    read: dict[str, Any] = json.loads(told(garage, *words, "--json"))
    return read


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Give the demo's garage, and Magpie's take-along with a day in it."""
    folder = tmp_path_factory.mktemp("track")
    garage = demo_garage(folder)
    (folder / "day.toml").write_text(DAY, encoding="utf-8")
    words = ("takealong", "magpie", "--out", str(folder / "magpie.html"), "--day", str(folder / "day.toml"))
    told(garage, *words)
    return garage, folder / "magpie.html"


@pytest.fixture
def track(chromium: Browser) -> Iterator[BrowserContext]:
    """Give a phone at the track: no network. Whatever it asks for but the file itself is noted as wrong."""
    phone = chromium.new_context(viewport=PHONE, has_touch=True, offline=True, reduced_motion="reduce")
    wrong: list[str] = []
    phone.on(
        "request",
        lambda one: None if one.url.startswith(("file:", "data:", "blob:")) else wrong.append(one.url),
    )
    phone.on("weberror", lambda one: wrong.append(str(one.error)))
    phone.on("console", lambda one: wrong.append(one.text) if one.type == "error" else None)
    yield phone
    phone.close()
    assert wrong == []


def opened(track: BrowserContext, file: Path) -> Page:
    """Open the file, as a tap on it does."""
    page = track.new_page()
    page.goto(file.as_uri())
    return page


def say(page: Page, *choices: str) -> None:
    """Make a ride note."""
    for choice in choices:
        page.get_by_role("radio", name=choice, exact=True).check()
    page.get_by_role("button", name="Add", exact=True).click()


def notes_of(page: Page) -> str:
    """Give the notes as text."""
    return page.get_by_label("The notes as text").input_value()


def rows(table: Locator) -> list[list[str]]:
    """Give a table's rows as they are read."""
    return [row.locator("th, td").all_inner_texts() for row in table.locator("tbody tr").all()]


def test_the_slide_is_dragged_without_a_network(track: BrowserContext, packed: tuple[Path, Path]) -> None:
    """Dragged up by the finger, the slide opens, and sentence and rung follow it."""
    page = opened(track, packed[1])
    grip = page.get_by_role("slider")
    before = float(grip.get_attribute("aria-valuenow") or "")
    sentence = page.locator("[data-at]:visible").inner_text()
    box = grip.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + 20, box["y"] - 90, steps=4)
    page.mouse.up()
    expect(page.locator("[data-at]:visible")).not_to_have_text(sentence)
    assert float(grip.get_attribute("aria-valuenow") or "") > before + 2.0


def test_it_says_what_the_command_line_says(track: BrowserContext, packed: tuple[Path, Path]) -> None:
    """Ladder and dry fit hold the same counts as ``bench`` and ``dryfit``; the rules are those of ``day``."""
    garage, file = packed
    page = opened(track, file)
    page.get_by_text("The ladder as a table").click()
    bench = as_data(garage, "bench", "magpie")["rungs"]
    shown = [
        re.findall(r"(\d+) (short|about right|too much)", row[2])
        for row in rows(page.locator("#bench table"))
    ]
    keys = {"short": "short", "about right": "right", "too much": "too_much"}
    assert shown == [[(str(rung[keys[word]]), word) for word in keys if rung[keys[word]]] for rung in bench]
    fit = page.locator(".along-fit", has_text="clip in groove 4")
    fit.locator("summary").click()
    tried = as_data(garage, "dryfit", "magpie", "clip=4")
    assert fit.locator("p").first.inner_text() == tried["words"]
    assert [row[1:4] for row in rows(fit.locator("table"))] == [
        [str(rung[key]) for key in ("short", "right", "too_much")] for rung in tried["rungs"]
    ]
    day = as_data(garage, "day", "magpie", str(file.parent / "day.toml"))
    assert page.locator("#day .day-rules li").all_inner_texts() == day["rules"]


def test_it_is_small_and_lets_nothing_in(packed: tuple[Path, Path]) -> None:
    """It is below its limit, names no address, and its policy begins from nothing."""
    text = packed[1].read_text(encoding="utf-8")
    assert packed[1].stat().st_size < AT_MOST
    assert re.findall(r'(?:src|href)="(?!#|data:)[^"]*"', text) == []
    assert set(re.findall(r"https?://[^\s\"')]+", text)) <= {"http://www.w3.org/2000/svg"}
    assert """content="default-src &#39;none&#39;; style-src &#39;sha256-""" in text


def test_notes_are_kept_handed_out_and_taken_once(
    track: BrowserContext, packed: tuple[Path, Path], tmp_path: Path
) -> None:
    """What is fitted and said at the track is there after the page was closed, and goes into the garage in
    order, each once, however often the text comes; a note made later is taken with the next text.
    """
    garage = tmp_path / "its.garage"
    garage.write_bytes(packed[0].read_bytes())
    page = opened(track, packed[1])
    fit = page.locator(".along-fit", has_text="clip in groove 4")
    fit.locator("summary").click()
    fit.get_by_role("button", name="Fitted it").click()
    say(page, "1/4", "Clean")
    page.close()
    page = opened(track, packed[1])
    expect(page.locator("[data-fitted]:visible b")).to_have_text("clip 4")
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as a file").click()
    saved.value.save_as(tmp_path / "notes.txt")
    assert (tmp_path / "notes.txt").read_text("utf-8") == notes_of(page)
    first = as_data(garage, "add", str(tmp_path / "notes.txt"))
    assert (first["new"], first["known"]) == (2, 0)
    again = as_data(garage, "add", str(tmp_path / "notes.txt"))
    assert (again["new"], again["known"], again["setup"]) == (0, 2, first["setup"])
    say(page, "Full", "Flat", "Long pull", "Cold", "Once")
    (tmp_path / "later.txt").write_text(notes_of(page), encoding="utf-8")
    later = as_data(garage, "add", str(tmp_path / "later.txt"))
    assert (later["new"], later["known"]) == (1, 2)
    with open_garage(garage) as shed:
        assert shed.fitted("Magpie").clip_from_top == 4
        said = [
            (one.did, one.at.value if one.at else "")
            for trial in shed.trials("Magpie")
            for one in trial.remarks
        ]
    assert said[-2:] == [("clean", "1/4"), ("flat", "full")]


def test_a_note_lacking_something_is_asked_for(track: BrowserContext, packed: tuple[Path, Path]) -> None:
    """A note without what it did is not made, and the page says what is missing."""
    page = opened(track, packed[1])
    before = notes_of(page)
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.locator("[data-lack]")).to_have_text("Choose what it did.")
    assert notes_of(page) == before


def test_it_can_be_read_without_script(chromium: Browser, packed: tuple[Path, Path]) -> None:
    """Without script the dry fits still unfold, and the page says what it cannot do."""
    still = chromium.new_context(viewport=PHONE, offline=True, java_script_enabled=False)
    page = opened(still, packed[1])
    expect(page.get_by_text("Script does not run here")).to_be_visible()
    fit = page.locator(".along-fit").first
    fit.locator("summary").click()
    expect(fit.locator("table")).to_be_visible()
    expect(page.locator("#notes")).to_be_hidden()
    still.close()


def test_a_hostile_name_stays_a_name(track: BrowserContext, tmp_path: Path) -> None:
    """A bike named with markup is shown by that name, and its notes carry it; nothing of it runs."""
    with open_garage(tmp_path / "odd.garage") as garage:
        garage.new_bike(FirstAnswers(name=HOSTILE, strokes=4, swept_cc=107.0, main="95"))
        bike = garage.bikes()[0]
        garage.fit(bike, pilot="38", cutaway="2.5")
        file = tmp_path / "odd.html"
        file.write_text(take_along_page(garage.take_along(bike), mark=garage.mark), encoding="utf-8")
        page = opened(track, file)
        expect(page.get_by_role("heading", level=1)).to_have_text(HOSTILE)
        say(page, "1/4", "Bogs")
        assert page.title() == f"{HOSTILE}, take-along"
        assert page.locator("img").count() == 0
        assert garage.take_notes(notes_of(page)).new == 1
