"""Drawer, air and settings: what belongs to the garage and to no bike."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.jobs import open_garage, reopen_demo
from floatbowl.units import FREEZING, HECTOPASCAL
from tests.web.browser import Browser
from tests.web.pages.conftest import Read
from tests.web.pages.writing import MARKUP, MARKUP_ON_A_PAGE, log_of, refused, send, written

pytestmark = pytest.mark.door


# --- the drawer --------------------------------------------------------------------------------------------


def test_parts_go_in_and_out(ask: Browser, shed: Path) -> None:
    """Several stamps go in as one entry, one comes out with one tap, each once."""
    (line,) = written(ask, shed, "/drawer", {"kind": "main", "add-main": "112 115, 117"}, bike=None)
    assert line.facts["stamps"] == ["112", "115", "117"]
    before = len(log_of(shed, None))
    send(ask, "/drawer", {"take": "main 115", "once": "c" * 32})
    send(ask, "/drawer", {"take": "main 115", "once": "c" * 32})
    assert len(log_of(shed, None)) == before + 1
    with reopen_demo(shed) as garage:
        assert {"112", "117"} <= set(garage.drawer().mains)
        assert "115" not in garage.drawer().mains


def test_a_part_taken_out_by_mistake_goes_back_with_one_tap(ask: Browser, shed: Path) -> None:
    """The page that follows names what went out and takes it back."""
    answer = send(ask, "/drawer", {"take": "pilot 40"})
    page = Read(ask.get(answer.headers["location"]).text)
    assert page.says("Written down: Out of the drawer: pilot 40.")
    assert (
        send(ask, "/strike", {"entry": page.value("entry"), "back": "drawer"}).headers["location"]
        == "/drawer"
    )
    with reopen_demo(shed) as garage:
        assert "40" in garage.drawer().pilots


@pytest.mark.parametrize("typed", ["", MARKUP])
def test_what_is_no_stamp_stays_out(ask: Browser, shed: Path, typed: str) -> None:
    """Nothing typed, or what cannot be a stamp, is asked for again at its field."""
    page = Read(refused(ask, shed, "/drawer", {"kind": "pilot", "add-pilot": typed}, bike=None))
    field = next(one for one in page.fields if one.get("name") == "add-pilot")
    assert field["value"] == typed
    assert "aria-invalid" in field


def test_an_empty_drawer_says_what_follows(ask: Browser, shed: Path) -> None:
    """With nothing in it the page says how advice is given until something is."""
    with reopen_demo(shed) as garage:
        drawer = garage.drawer()
        garage.take_from_drawer("main", drawer.mains)
        garage.take_from_drawer("pilot", drawer.pilots)
        garage.take_from_drawer("cutaway", drawer.cutaways)
    assert Read(ask.get("/drawer").text).says("Nothing is in the drawer yet.")


# --- the air -----------------------------------------------------------------------------------------------


def test_air_is_written_once_and_the_rest_assumed(ask: Browser, shed: Path) -> None:
    """What was typed is read, what was left empty is assumed, and it stands once."""
    (line,) = written(ask, shed, "/air", {"temperature": "12.5", "humidity": "70"}, bike=None)
    assert line.kind == "day"
    with reopen_demo(shed) as garage:
        day = garage.air()
    assert day.temperature.value == pytest.approx(12.5 + FREEZING)
    assert day.humidity.value == pytest.approx(0.7)
    assert day.pressure.is_assumed
    assert Read(ask.get("/air").text).says("assumed")


def test_a_place_is_kept_with_its_height(ask: Browser, shed: Path) -> None:
    """A new place is remembered, its name stays text, and one tap goes back to another."""
    written(ask, shed, "/air", {"place": "<b>x</b>", "height": "300"}, bike=None)
    page = ask.get("/air").text
    assert MARKUP_ON_A_PAGE in page
    assert "<b>x" not in page
    send(ask, "/air", {"here": "Low Meadow"})
    with reopen_demo(shed) as garage:
        assert (garage.air().place, garage.air().height) == ("Low Meadow", 420.0)


def test_air_in_the_units_of_the_garage(ask: Browser, shed: Path) -> None:
    """With imperial units bare numbers are in Fahrenheit and feet; a unit that is written goes before."""
    send(ask, "/settings", {"units": "imperial"})
    typed = {"temperature": "50", "pressure": "900hPa", "place": "Fen", "height": "1000"}
    written(ask, shed, "/air", typed, bike=None)
    with reopen_demo(shed) as garage:
        day = garage.air()
    assert day.temperature.value == pytest.approx(10.0 + FREEZING)
    assert day.pressure.value == pytest.approx(900.0 * HECTOPASCAL)
    assert day.height == pytest.approx(304.8)


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("temperature", "90"),
        ("pressure", "13"),
        ("humidity", "200"),
        ("height", "9000"),
        ("temperature", MARKUP),
    ],
)
def test_air_that_cannot_be_is_kept_in_its_field(ask: Browser, shed: Path, field: str, typed: str) -> None:
    """What nobody rides in is refused at its field, and the other fields keep what was typed."""
    page = Read(refused(ask, shed, "/air", {"place": "Fen", field: typed}, bike=None))
    assert page.value(field) == typed
    assert page.value("place") == "Fen"
    assert "aria-invalid" in next(one for one in page.fields if one.get("name") == field)


def test_nothing_typed_is_told(ask: Browser, shed: Path) -> None:
    """An empty form writes nothing."""
    refused(ask, shed, "/air", {}, bike=None)


# --- settings ----------------------------------------------------------------------------------------------


def test_what_is_chosen_for_a_screen_stays_in_its_browser(ask: Browser, shed: Path) -> None:
    """Theme and text size are kept by the browser and not written down; "as the system" takes them back."""
    before = log_of(shed, None)
    send(ask, "/settings/screen", {"theme": "lamp", "text": "150"})
    page = ask.get("/settings").text
    assert 'data-theme="lamp"' in page
    assert 'data-text="150"' in page
    send(ask, "/settings/screen", {"theme": "", "text": "100"})
    assert "data-theme" not in ask.get("/settings").text
    assert log_of(shed, None) == before


def test_what_the_garage_sets_is_written_once(ask: Browser, shed: Path) -> None:
    """Only what differs becomes an entry, and the page shows it from then on."""
    typed = {"units": "metric", "home_place": "Tarn Hollow", "backup_folder": ""}
    (line,) = written(ask, shed, "/settings", typed, bike=None)
    assert (line.facts["key"], line.facts["value"]) == ("home_place", "Tarn Hollow")


def test_a_copy_opens_like_any_garage(ask: Browser, shed: Path, tmp_path: Path) -> None:
    """A copy is made into the folder that is set, the page says where, and all is in it."""
    send(ask, "/settings", {"backup_folder": str(tmp_path / "copies")})
    (tmp_path / "copies").mkdir(exist_ok=True)
    answer = send(ask, "/settings/copy", {})
    assert answer.status_code == 200
    (copy,) = (tmp_path / "copies").iterdir()
    assert Read(answer.text).says(str(copy))
    with open_garage(copy) as garage:
        assert len(garage.log()) == len(log_of(shed, None))
