"""Setup card and wall chart on the page: true to size, printed, uncovered, a card taken back in."""

import re

import pytest

from floatbowl.jobs import open_garage
from tests.browser.conftest import Visits
from tests.browser.shed import Shed

pytestmark = [pytest.mark.door, pytest.mark.slow]

PX_MM = 25.4 / 96.0
"""Millimetres in a pixel of style sheets."""
READY = 90_000


def test_the_page_draws_true_to_size(shed: Shed, visits: Visits) -> None:
    """On the page, too, a millimetre of the drawing is one of paper, on a laptop and on a phone."""
    for size in ("laptop", "phone"):
        page = visits(shed, size=size).go("/bikes/otter/card")
        drawing = page.locator(".true-size-window svg")
        drawing.wait_for(timeout=READY)
        box = drawing.bounding_box()
        view = drawing.get_attribute("viewBox")
        assert box is not None
        assert view is not None
        scale = float(drawing.get_attribute("data-scale") or 0.0)
        assert box["width"] * PX_MM == pytest.approx(float(view.split()[2]) / scale, abs=0.3)


def test_a_card_goes_from_page_to_page(own_shed: Shed, visits: Visits) -> None:
    """The text of the card, pasted under New bike, fits its setup again and shows it."""
    page = visits(own_shed, size="laptop").go("/bikes/otter/card")
    page.locator(".card-text code").wait_for(timeout=READY)
    text = page.locator(".card-text code").inner_text()
    with open_garage(own_shed.garage) as garage:
        before = garage.fitted("otter")
        garage.fit("otter", main="155")
    page.goto(f"{own_shed.address}/bikes/new")
    page.get_by_label("The text of a card").fill(text)
    page.get_by_role("button", name="Fit what it tells").click()
    page.wait_for_url(re.compile("/bikes/otter/setup"), timeout=READY)
    with open_garage(own_shed.garage) as garage:
        assert garage.fitted("otter").main == before.main


def test_a_wrong_card_is_told_above_what_was_pasted(own_shed: Shed, visits: Visits) -> None:
    """A card of an unknown bike is refused with what is missing; what was pasted stays in the field."""
    visit = visits(own_shed, size="laptop")
    visit.may_complain = True
    page = visit.go("/bikes/new")
    typed = "FLOATBOWL/1 ROOK MAIN 105 PILOT 40 CLIP 2 CUTAWAY 2.5 SCREW 1.5"
    page.get_by_label("The text of a card").fill(typed)
    page.get_by_role("button", name="Fit what it tells").click()
    page.locator(".trouble").wait_for(timeout=READY)
    assert "No bike called ROOK stands here" in page.locator(".trouble").inner_text()
    assert page.get_by_label("The text of a card").input_value() == typed


def test_a_plate_asks_before_it_answers(shed: Shed, visits: Visits) -> None:
    """Every answer is covered until it is uncovered, by a tap or by a key, and without script as well."""
    page = visits(shed, size="phone").go("/bikes/magpie/chart")
    answers = page.locator("details.uncover")
    answers.first.wait_for(timeout=READY)
    assert answers.count() == 6
    assert not answers.nth(1).locator("p").first.is_visible()
    answers.nth(1).locator("summary").click()
    assert answers.nth(1).locator("p").first.is_visible()
    answers.nth(2).locator("summary").press("Enter")
    assert answers.nth(2).locator("p").first.is_visible()


def test_the_papers_are_handed_out_as_pdf(shed: Shed, visits: Visits) -> None:
    """What the buttons lead to is a PDF, ready for the printer."""
    page = visits(shed, size="laptop").go("/bikes/magpie/chart")
    page.locator("details.uncover").first.wait_for(timeout=READY)
    for address in ("card.pdf", "chart-a4.pdf", "chart-a3.pdf"):
        answer = page.request.get(f"{shed.address}/bikes/magpie/{address}", timeout=READY)
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.body().startswith(b"%PDF")
