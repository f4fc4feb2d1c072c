"""A new bike: a question at a time, each may stay open, and the drawing inks what is known."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.jobs import open_garage, reopen_demo
from tests.web.browser import OURS, Browser
from tests.web.pages.conftest import Read
from tests.web.pages.writing import MARKUP_ON_A_PAGE, log_of, refused, send

pytestmark = pytest.mark.door
NEW = "/bikes/new"
ANSWERS = {
    "name": "Wren",
    "strokes": "2",
    "cc": "85",
    "bore": "24",
    "main": "110",
    "place": "Low Meadow",
    "did": "bogs",
    "at": "1/4",
}


def test_walking_through_the_questions_without_script(ask: Browser, shed: Path) -> None:
    """Each form carries the answers so far to the next; the last one puts the bike on its stand, once."""
    page = Read(ask.get(NEW).text)
    carried: dict[str, str] = {}
    for step in range(1, 6):
        own = {name: value for name, value in ANSWERS.items() if name in page_fields(page)}
        carried = {**hidden(page), **own}
        assert carried["step"] == str(step)
        page = Read(ask.get(NEW, params=carried).text)
    last = {**hidden(page), "did": ANSWERS["did"], "at": ANSWERS["at"]}
    for _ in range(2):
        assert send(ask, NEW, last).headers["location"] == "/bikes/wren"
    with reopen_demo(shed) as garage:
        bike, setup = garage.bike("wren"), garage.fitted("wren")
        assert (bike.engine.strokes, setup.main, garage.air().place) == (2, "110", "Low Meadow")
        assert bike.carb.bore.value == pytest.approx(24e-3)
        (trial,) = garage.trials("wren")
    assert [remark.did for remark in trial.remarks] == ["bogs"]


def page_fields(page: Read) -> set[str]:
    """Name the fields of a page that a person fills."""
    return {field.get("name", "") for field in page.fields if field.get("type") != "hidden"}


def hidden(page: Read) -> dict[str, str]:
    """Give what a page carries along unseen."""
    return {field["name"]: field["value"] for field in page.fields if field.get("type") == "hidden"}


def test_everything_may_stay_open(ask: Browser, shed: Path) -> None:
    """A bike of which nobody knows anything but its name stands there, with every measure assumed."""
    assert send(ask, NEW, {"name": "Wren"}).status_code == 303
    with reopen_demo(shed) as garage:
        bike, setup = garage.bike("wren"), garage.fitted("wren")
    assert setup.main == "?"
    assert bike.carb.bore.is_assumed


def test_do_not_know_takes_an_answer_back(ask: Browser) -> None:
    """Saying "do not know" leaves a question open, also where something was typed."""
    page = Read(ask.get(NEW, params={**ANSWERS, "step": "3", "skip": "bore"}).text)
    assert page.value("bore") == "" if "bore" in page_fields(page) else "bore" not in hidden(page)


def test_each_answer_turns_pencil_into_ink(ask: Browser) -> None:
    """The drawing has fewer dashed lines with the bore known, and fewer still with the main."""

    def dashed(**known: str) -> int:
        page: str = ask.get(NEW, params={"name": "Wren", "step": "5", **known}).text
        return page.count("assumed")

    assert dashed() > dashed(bore="24") > dashed(bore="24", main="110")


@pytest.mark.parametrize(
    ("name", "typed"),
    [("cc", "9000"), ("bore", "wide"), ("main", "<b>x</b>"), ("height", "90000"), ("strokes", "3")],
)
def test_a_slip_is_asked_again_at_its_question(ask: Browser, name: str, typed: str) -> None:
    """What cannot be brings its question back with what was typed, and keeps the other answers."""
    answer = ask.get(NEW, params={**ANSWERS, name: typed, "step": "5"})
    assert answer.status_code == 422
    assert "<b>x" not in answer.text
    page = Read(answer.text)
    assert hidden(page)["name"] == "Wren"
    assert typed in page.values(name) or name == "strokes"


def test_a_name_is_needed_and_must_be_its_own(ask: Browser, shed: Path) -> None:
    """No name, or one that stands here already, is asked for again."""
    refused(ask, shed, NEW, {"name": ""}, bike=None)
    assert ask.get(NEW, params={"name": "MAGPIE", "step": "1"}).status_code == 422


def test_a_name_with_markup_stays_a_name(ask: Browser) -> None:
    """A bike named with markup is put on its stand under that very name."""
    page = ask.get(NEW, params={"name": "<b>x</b>", "step": "2"}).text
    assert MARKUP_ON_A_PAGE in page
    assert "<b>x" not in page
    answer = send(ask, NEW, {"name": "<b>x</b>"})
    assert ask.get(f"{answer.headers['location']}/log").status_code == 200


def test_a_bike_file_is_taken_in(ask: Browser, shed: Path, tmp_path: Path) -> None:
    """A bike file that another garage handed out stands here with all its rides, once."""
    with open_garage(tmp_path / "empty.garage"):
        pass
    file = ask.get("/bikes/magpie/file").content.replace(b'"Magpie"', b'"Siskin"')
    for _ in range(2):
        answer = ask.post(NEW, headers=OURS, files={"file": ("siskin.toml", file)}, data={"once": "e" * 32})
        assert answer.status_code == 303, answer.text
    assert len(log_of(shed, "siskin")) >= len(log_of(shed, "magpie")) - 1


def test_a_bike_file_with_slips_is_told_by_line(ask: Browser, shed: Path) -> None:
    """Every slip of a file is told with its line, and nothing is taken in."""
    before = log_of(shed, None)
    file = b'name = "Siskin"\n[engine]\nstrokes = 3\n[setup]\nclip_from_top = 99\n'
    answer = ask.post(NEW, headers=OURS, files={"file": ("x.toml", file)})
    assert answer.status_code == 422
    assert "Line 3" in answer.text
    assert "Line 5" in answer.text
    assert log_of(shed, None) == before


@pytest.mark.parametrize("file", [b"", b"\xff\xfe\x00", b"<script>"])
def test_what_is_no_bike_file(ask: Browser, file: bytes) -> None:
    """Nothing, or what is no text of ours, is told in a sentence."""
    answer = ask.post(NEW, headers=OURS, files={"file": ("x.toml", file)})
    assert answer.status_code == 422
    assert "<script>" not in answer.text.split("<body>")[1]


def test_a_file_that_is_too_large_is_not_read(ask: Browser) -> None:
    """More than a bike file can be is sent back unread."""
    answer = ask.post(NEW, headers=OURS, files={"file": ("x.toml", b"#" * 600 * 1024)})
    assert answer.status_code == 413
