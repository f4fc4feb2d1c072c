"""What is fitted: only what differs is written, and nobody overwrites another."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.bike.setup import Setup
from floatbowl.jobs import check_bike_file, reopen_demo
from tests.web.browser import Browser
from tests.web.pages.conftest import Read
from tests.web.pages.writing import MARKUP, Typed, log_of, refused, send, written

pytestmark = pytest.mark.door
SETUP = "/bikes/magpie/setup"
FIELDS = ("main", "pilot", "clip_from_top", "screw_turns", "cutaway", "float_height_mm", "needle_washer_mm")


def on_screen(ask: Browser) -> Typed:
    """Give the form as the page shows it."""
    page = Read(ask.get(SETUP).text)
    return {name: page.value(name) for name in (*FIELDS, "seen")}


def fitted(shed: Path) -> Setup:
    """Give what is fitted on Magpie."""
    with reopen_demo(shed) as garage:
        return garage.fitted("magpie")


def test_what_was_changed_is_one_setup(ask: Browser, shed: Path) -> None:
    """Two parts changed at once are one new setup, written once, with all else as it was."""
    before = fitted(shed)
    (line,) = written(ask, shed, SETUP, {**on_screen(ask), "main": "108", "clip_from_top": "3"})
    after = fitted(shed)
    assert (line.kind, after.number) == ("setup", before.number + 1)
    assert (after.main, after.clip_from_top) == ("108", 3)
    assert (after.pilot, after.screw_turns, after.float_height_mm) == (
        before.pilot,
        before.screw_turns,
        before.float_height_mm,
    )


def test_a_stamp_that_nobody_can_read(ask: Browser, shed: Path) -> None:
    """A question mark is an answer for what is stamped."""
    written(ask, shed, SETUP, {**on_screen(ask), "pilot": "?"})
    assert fitted(shed).pilot == "?"


def test_the_same_again_is_told_and_not_written(ask: Browser, shed: Path) -> None:
    """A form sent as it stood writes nothing, and says so."""
    assert "as it stands already" in refused(ask, shed, SETUP, on_screen(ask))


@pytest.mark.parametrize(
    ("step", "field", "becomes"),
    [("main+", "main", "105"), ("clip-", "clip_from_top", "1"), ("screw+", "screw_turns", "1.75")],
)
def test_plus_and_minus_without_script(ask: Browser, shed: Path, step: str, field: str, becomes: str) -> None:
    """A tap on plus or minus shows the next number or stamp, keeps what was typed, and writes nothing."""
    before = log_of(shed)
    typed = {**on_screen(ask), "pilot": "40", "step": step}
    answer = send(ask, SETUP, typed)
    assert answer.status_code == 200
    page = Read(answer.text)
    assert page.value(field) == becomes
    assert page.value("pilot") == "40"
    assert log_of(shed) == before


def test_a_setup_changed_meanwhile_is_shown_before_saving(ask: Browser, shed: Path) -> None:
    """Who saw an older setup is told what was fitted since, their change laid over it; then it is taken."""
    seen = on_screen(ask)
    with reopen_demo(shed) as garage:
        garage.fit("magpie", main="108")
    page = Read(refused(ask, shed, SETUP, {**seen, "clip_from_top": "4"}))
    assert page.says("main 108")
    assert (page.value("main"), page.value("clip_from_top")) == ("108", "4")
    send(ask, SETUP, {name: page.value(name) for name in (*FIELDS, "seen")})
    assert (fitted(shed).main, fitted(shed).clip_from_top) == ("108", 4)


def test_what_cannot_be_is_kept_in_its_field(ask: Browser, shed: Path) -> None:
    """Markup for a stamp is no stamp; it stays in the field, and all else that was typed does too."""
    text = refused(ask, shed, SETUP, {**on_screen(ask), "main": MARKUP, "clip_from_top": "4"})
    assert "<b>x" not in text
    page = Read(text)
    assert page.value("main") == MARKUP
    assert page.value("clip_from_top") == "4"


def test_earlier_setups_lead_to_side_by_side(ask: Browser, shed: Path) -> None:
    """Every setup before is listed with what the next one changed, and can be laid beside the one fitted."""
    with reopen_demo(shed) as garage:
        first = garage.fitted("magpie").number
        garage.fit("magpie", clip_from_top=3)
    page = Read(ask.get(SETUP).text)
    assert f"/bikes/magpie/sides?a={first}&b={first + 1}" in page.links
    assert page.says("Then: clip groove 3 of 5")


def test_just_written_it_can_be_undone(ask: Browser, shed: Path) -> None:
    """The page that follows takes the new setup back with one tap."""
    before = fitted(shed)
    answer = send(ask, SETUP, {**on_screen(ask), "main": "108"})
    page = Read(ask.get(answer.headers["location"]).text)
    send(ask, "/bikes/magpie/strike", {"entry": page.value("entry"), "back": "setup"})
    assert fitted(shed) == before


def test_the_bike_file_goes_along(ask: Browser, tmp_path: Path) -> None:
    """The file that is handed out is one that can be taken in again, and is kept, not shown."""
    answer = ask.get("/bikes/magpie/file")
    assert answer.headers["content-disposition"].startswith("attachment")
    path = tmp_path / "magpie.toml"
    path.write_bytes(answer.content)
    assert check_bike_file(path).name == "Magpie"
