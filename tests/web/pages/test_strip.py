"""The strip sheet: one tap a part, a measure on the way, and the drawing with that part inked."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.draw.strip_card import INKED, part_in_ink
from floatbowl.guide.strip import PARTS
from floatbowl.jobs import reopen_demo
from floatbowl.words.care import care_lines
from floatbowl.words.parts import alone_words
from floatbowl.words.strip import sheet_words
from tests.web.browser import Browser
from tests.web.pages.conftest import Read
from tests.web.pages.writing import MARKUP, log_of, refused, send, written

pytestmark = pytest.mark.door
STRIP = "/bikes/magpie/strip"


def test_one_tap_is_one_entry_and_leads_to_the_next_part(ask: Browser, shed: Path) -> None:
    """An answer stands once, and the next part that nobody looked at comes up."""
    (line,) = written(ask, shed, f"{STRIP}/slide", {"answer": "fine"})
    assert (line.kind, line.facts["card"], line.facts["answer"]) == ("strip", "slide", "fine")
    assert send(ask, f"{STRIP}/slide", {"answer": "fine"}).headers["location"] == f"{STRIP}/needle"


def test_an_answer_that_is_a_look_counts_as_one(ask: Browser, shed: Path) -> None:
    """Not fine on a card that looks for a fault is that look, and it found it."""
    (line,) = written(ask, shed, f"{STRIP}/joints", {"answer": "not fine"})
    assert (line.facts["look"], line.facts["outcome"]) == ("soap on the joints", "found")
    assert Read(ask.get(STRIP).text).says("Not fine: Inlet rubber and O-rings.")


def test_a_measure_on_the_way_becomes_ink(ask: Browser, shed: Path) -> None:
    """A measure sent with the answer is in the bike from then on, and the field says that it is known."""
    written(ask, shed, f"{STRIP}/main air jet", {"answer": "fine", "carb.main_air_mm": "1.5"})
    with reopen_demo(shed) as garage:
        bore = garage.bike("magpie").carb.main_air_bore
    assert not bore.is_assumed
    assert bore.value == pytest.approx(1.5e-3)
    page = Read(ask.get(f"{STRIP}/main air jet").text)
    assert page.value("carb.main_air_mm") == "1.5"


def test_a_measure_alone_leaves_the_part_open(ask: Browser, shed: Path) -> None:
    """A measure can be kept without saying how the part is."""
    written(ask, shed, f"{STRIP}/float", {"answer": "measure", "setup.float_height_mm": "19"})
    with reopen_demo(shed) as garage:
        card = next(one for one in garage.strip_sheet("magpie") if one.part.key == "float")
        assert garage.fitted("magpie").float_height_mm == 19.0
    assert card.state == "open"


def test_what_is_known_is_not_told_again(ask: Browser, shed: Path) -> None:
    """The measures that stand in the fields already make no entries."""
    page = Read(ask.get(f"{STRIP}/needle").text)
    known = {
        field["name"]: field["value"]
        for field in page.fields
        if field.get("name", "")[:5] in {"carb.", "setup"}
    }
    assert len(written(ask, shed, f"{STRIP}/needle", {**known, "answer": "fine"})) == 1


def test_a_measure_that_cannot_be_is_shown_again(ask: Browser, shed: Path) -> None:
    """What is no number stays in its field, marked, and nothing at all is written."""
    page = Read(refused(ask, shed, f"{STRIP}/float", {"answer": "fine", "setup.float_height_mm": MARKUP}))
    field = next(one for one in page.fields if one.get("name") == "setup.float_height_mm")
    assert field["value"] == MARKUP
    assert "aria-invalid" in field


def test_every_card_says_what_to_look_for_and_to_mind(ask: Browser, shed: Path) -> None:
    """Each card of the bike has its own page, with what to look for, its care, and three answers."""
    with reopen_demo(shed) as garage:
        sheet = garage.strip_sheet("magpie")
    for card in sheet:
        page = Read(ask.get(f"{STRIP}/{card.part.key}").text)
        assert all(page.says(line) for line in (*card.part.look_for, *care_lines(card.part.care)))
        assert {"fine", "not fine", "skip"} <= set(page.values("answer"))


def test_the_sheet_counts_what_is_left(ask: Browser, shed: Path) -> None:
    """The sheet says how far it is in the words of the command."""
    with reopen_demo(shed) as garage:
        sentence = sheet_words(garage.strip_sheet("magpie"))
    assert Read(ask.get(STRIP).text).says(sentence)


def test_a_card_that_is_not_there(ask: Browser, shed: Path) -> None:
    """A part that this bike has not is told, with those that it has."""
    answer = ask.get(f"{STRIP}/crank seals")
    assert answer.status_code == 422
    assert "float valve" in answer.text
    assert len(log_of(shed)) > 0


@pytest.mark.parametrize("bike", ["magpie", "thistle"])
def test_every_part_can_be_drawn_alone(shed: Path, bike: str) -> None:
    """Every card's part has a drawing in which something is inked, and says which."""
    with reopen_demo(shed) as garage:
        known, setup = garage.bike(bike), garage.fitted(bike)
    assert {part.part for part in PARTS} == INKED.keys()
    bare = {part_in_ink(known, setup, part).replace(alone_words(part), "") for part in INKED}
    assert len(bare) == len(INKED), "two parts are drawn the same"
