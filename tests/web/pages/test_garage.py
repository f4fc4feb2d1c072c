"""The garage page tells of every stand what the jobs and the words tell of it."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from floatbowl import jobs
from floatbowl.jobs import FirstAnswers, Stand, open_garage, reopen_demo
from floatbowl.web.app import garage_app
from floatbowl.web.guard import guard_here
from floatbowl.words import on_page
from floatbowl.words.air import air_line
from floatbowl.words.garage import card_of, stand_words
from floatbowl.words.tag import tag_count, tag_words
from floatbowl.words.tally import tally_words
from tests.web.browser import HERE, PORT, Browser, NoThinking, TestClient
from tests.web.pages.conftest import Read, looked_at

pytestmark = pytest.mark.door


@pytest.fixture(scope="module")
def stands(demo_file: Path) -> list[Stand]:
    """Think of the demo's three bikes."""
    with reopen_demo(demo_file) as garage:
        return [jobs.think(garage.facts(name), garage.drawer()) for name in garage.bikes()]


@pytest.fixture(scope="module")
def garage_page(thought: Browser) -> Read:
    """Read the garage of the demo."""
    return Read(looked_at(thought, "/"))


def client_of(file: Path) -> TestClient:
    """Open a garage that is not the demo's."""
    app = garage_app(partial(open_garage, file), guard=guard_here(PORT), thinking=NoThinking())
    return TestClient(app, base_url=HERE, follow_redirects=False)


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """Give a garage with nothing in it."""
    file = tmp_path / "own.garage"
    with open_garage(file):
        return file


def test_every_stand_tells_its_bike(garage_page: Read, stands: list[Stand]) -> None:
    """Name, what it is, its sentence and what the next step costs stand there as everywhere else."""
    for stand in stands:
        sentence, _ = stand_words(stand)
        for told in (stand.bike.name, stand.bike.what, sentence, on_page.over_words(card_of(stand))):
            assert garage_page.says(told), told


def test_the_tag_hangs_in_words_and_leads_to_itself(garage_page: Read, stands: list[Stand]) -> None:
    """A bike with a fault has the tag on it, as a picture with its words; its act leads there."""
    tagged = {stand.bike.name: stand for stand in stands if stand.tag}
    assert list(tagged) == ["Thistle"]
    advice = tagged["Thistle"].advice
    told = tally_words(tag_count(advice) or 0, tag_words(advice))
    pictures = [given.get("aria-label", "") for tag, given in garage_page.tags if tag == "svg"]
    assert f"Stop jetting: {told}" in pictures
    assert garage_page.link("Read the stop tag of Thistle") == "/bikes/thistle/next"
    assert garage_page.link("Open the bench of Magpie") == "/bikes/magpie"


def test_the_air_is_told_and_pinned(garage_page: Read, demo_file: Path) -> None:
    """The line of the air says what was read, and pins today's."""
    with reopen_demo(demo_file) as garage:
        assert garage_page.says(air_line(garage.air()))
    lines = [
        given["aria-label"] for tag, given in garage_page.tags if "air-picture" in given.get("class", "")
    ]
    assert len(lines) == 1
    assert "now: 1.01 kg" in lines[0]


def test_headings_go_down_one_step_at_a_time(garage_page: Read) -> None:
    """Nobody who goes from heading to heading misses one."""
    assert garage_page.headings[0] == 1
    assert all(
        later - earlier <= 1
        for earlier, later in zip(garage_page.headings, garage_page.headings[1:], strict=False)
    )


def test_an_empty_garage_asks_for_a_bike(own: Path) -> None:
    """Where no bike stands, the page asks the first question and has one act."""
    read = Read(client_of(own).get("/").text)
    assert read.says(on_page.EMPTY_GARAGE)
    assert read.link("Add a bike") == "/bikes/new"


def test_one_bike_alone_opens_on_its_bench(own: Path) -> None:
    """With one bike the garage goes straight to its bench; with another it is a garage."""
    with open_garage(own) as garage:
        garage.new_bike(FirstAnswers(name="Wren"))
    answer = client_of(own).get("/")
    assert (answer.status_code, answer.headers["location"]) == (303, "/bikes/wren")
    with open_garage(own) as garage:
        garage.new_bike(FirstAnswers(name="Plover"))
    assert client_of(own).get("/").status_code == 200


def test_a_name_stays_a_name(own: Path) -> None:
    """A bike named with markup is shown by its name, and nothing of it is markup."""
    with open_garage(own) as garage:
        garage.new_bike(FirstAnswers(name="<b onclick=x>Wren</b>"))
        garage.new_bike(FirstAnswers(name="Plover"))
    page = client_of(own).get("/").text
    assert "<b onclick" not in page
    assert Read(page).says("<b onclick=x>Wren</b>")
