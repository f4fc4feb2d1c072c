"""The setup card as it comes out of the printer: true to size, readable in grey, its code read back."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import zxingcpp

from floatbowl.draw.true_size import BALLOON_MM, NUMBERS
from floatbowl.jobs import Garage, HandOver
from floatbowl.paper.setup_card import setup_card_pdf
from floatbowl.units import MILLIMETRE
from floatbowl.words.setup_card import setup_card
from tests.paper.sheets import (
    Stroke,
    grey_of,
    pages_of,
    strokes_of,
    tags_of,
    told_pictures,
    words_of,
)

A5 = (210.0, 148.0)
TRUE_MM = 0.3
"""What a ruler on paper can tell (the promise of the card)."""


@pytest.fixture(scope="module")
def pdf(told: HandOver) -> bytes:
    """Give the card."""
    return setup_card_pdf(told)


def test_a_card_is_one_sheet_of_a5(pdf: bytes) -> None:
    """A card has one side or both, each A5 across."""
    sizes = pages_of(pdf)
    assert len(sizes) in {1, 2}
    assert np.allclose(sizes, A5, atol=0.05)


def test_a_small_carburettor_shares_its_side_with_the_words(shed: Garage) -> None:
    """A bore of 26 mm leaves room for all words beside it; one of 36 mm takes the back as well."""
    assert len(pages_of(setup_card_pdf(shed.hand_over("Magpie")))) == 1
    assert len(pages_of(setup_card_pdf(shed.hand_over("Otter")))) == 2


def bore_lines(pdf: bytes) -> tuple[Stroke, Stroke]:
    """Give roof and floor of the bore: the wide inked level lines that begin together, leftmost."""
    level = [
        one
        for one in strokes_of(pdf)
        if one.is_level and not one.is_dashed and 0.30 < one.wide < 0.36 and one.length > 5.0
    ]
    left = min(one.start[0] for one in level)
    floor, roof = sorted((one for one in level if one.start[0] < left + 0.01), key=lambda one: one.start[1])
    return roof, floor


def apart_mm(pdf: bytes) -> float:
    """Give how far floor and roof of the bore are apart on the paper, mm."""
    roof, floor = bore_lines(pdf)
    return roof.start[1] - floor.start[1]


def bore_mm(told: HandOver) -> float:
    """Give the bore of the bike, mm."""
    return told.stand.bike.carb.bore.value / MILLIMETRE


def test_the_bore_measures_true_in_the_papers_own_coordinates(told: HandOver, pdf: bytes) -> None:
    """From the floor of the bore to its roof the page has the bore of the bike, within 0.3 mm."""
    assert apart_mm(pdf) == pytest.approx(bore_mm(told), abs=TRUE_MM)


@pytest.mark.parametrize("scale", [0.97, 0.94, 1.03])
def test_a_card_fitted_to_the_page_would_not_pass(told: HandOver, pdf: bytes, scale: float) -> None:
    """The control: a page made smaller or larger, as printers do, measures wrong by more than that."""
    assert abs(scale * apart_mm(pdf) - bore_mm(told)) > TRUE_MM


def test_the_bore_measures_true_with_a_ruler_on_the_print(told: HandOver, pdf: bytes, tmp_path: Path) -> None:
    """On the page as printed, in grey at 600 dots an inch, the two inked lines are the bore apart."""
    dpi = 600
    roof, _ = bore_lines(pdf)
    page = grey_of(pdf, tmp_path, dpi=dpi)
    left, right = (round((roof.start[0] + mm) / 25.4 * dpi) for mm in (1.5, 5.0))
    dark = (page[:, left:right] < 110).mean(axis=1) > 0.95
    edges = np.flatnonzero(np.diff(np.concatenate(([0], dark.astype(np.int8), [0]))))
    wide = [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if (b - a) / dpi * 25.4 > 0.25]
    middles = np.array([(a + b) / 2.0 for a, b in wide]) / dpi * 25.4
    assert len(middles) >= 2
    assert np.min(np.abs(np.diff(middles) - bore_mm(told))) < TRUE_MM
    assert float(np.median(np.diff(middles))) > 1.0  # lines, not specks


def test_every_part_and_setting_stands_on_the_card(told: HandOver, pdf: bytes) -> None:
    """Each item of the list, each check and each caution is printed."""
    card, words = setup_card(told), _plain(words_of(pdf))
    for told_here in (
        *(item.value for item in card.items),
        *(check.words for check in card.checks),
        *card.care,
        card.status,
        card.where,
        card.air,
    ):
        assert _plain(told_here) in words, told_here


def _plain(words: str) -> str:
    return "".join(words.split())


def test_numbers_on_the_drawing_are_those_of_the_list(told: HandOver, pdf: bytes) -> None:
    """Each item with a number has a balloon, and no number stands on two parts."""
    card = setup_card(told)
    numbered = [item.number for item in card.items if item.number]
    assert numbered == sorted(set(numbered))
    assert set(numbered) <= set(NUMBERS.values())
    assert BALLOON_MM > 2.5  # a number of 3 mm, read at arm's length
    drawing = next(told for told in told_pictures(pdf) if "Cut-away" in told)
    assert all(f"{number}, " in drawing for number in numbered)


def test_the_code_is_read_back_from_the_print(told: HandOver, pdf: bytes, tmp_path: Path) -> None:
    """A decoder reads the card's text from the printed page, in grey, and nothing else."""
    page = grey_of(pdf, tmp_path, dpi=200)
    found = zxingcpp.read_barcodes(page)
    assert [one.text for one in found] == [told.text]


def test_the_code_survives_a_thumb(told: HandOver, pdf: bytes, tmp_path: Path) -> None:
    """Level Q: with dirt over an eighth of the code it is read all the same."""
    page = grey_of(pdf, tmp_path, dpi=200).copy()
    code = zxingcpp.read_barcodes(page)[0].position
    left, top, right, foot = code.top_left.x, code.top_left.y, code.top_right.x, code.bottom_left.y
    wide, high = round((right - left) * 0.36), round((foot - top) * 0.36)
    middle, level = (left + right) // 2, (top + foot) // 2
    page[level : level + high, middle : middle + wide] = 128
    assert zxingcpp.read_barcodes(page)[0].text == told.text


def test_the_card_is_tagged_for_those_who_listen(told: HandOver, pdf: bytes) -> None:
    """PDF/UA: marked so, a language, headings, a list, and every picture told in words."""
    assert b"pdfuaid:part>1<" in pdf
    assert b"/Lang(en-GB)" in pdf.replace(b" ", b"")
    tags = tags_of(pdf)
    assert {"/H1", "/H2", "/L", "/Table", "/Figure"} <= set(tags)
    pictures = told_pictures(pdf)
    assert len(pictures) == tags.count("/Figure") == 3
    assert all(len(words) > 20 for words in pictures)
    assert any(told.text in words for words in pictures)


def test_the_same_card_is_the_same_paper(told: HandOver, pdf: bytes) -> None:
    """The same setup gives the same bytes: no date, no chance."""
    assert setup_card_pdf(told) == pdf
    assert b"/CreationDate" not in pdf
