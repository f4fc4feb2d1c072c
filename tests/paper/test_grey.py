"""Printed without colour: words keep their contrast, parts keep their patterns and letters."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from floatbowl.belief.belief import PARTS
from floatbowl.draw.palette import PRINT
from floatbowl.draw.printed import printed
from floatbowl.draw.say_bar import pattern_of
from floatbowl.draw.svg import element, picture
from floatbowl.jobs import WallChart
from floatbowl.paper.press import press
from floatbowl.paper.wall_chart import wall_chart_pdf
from floatbowl.words.names import LETTER
from tests.paper.sheets import Pixels, contrast, grey_of, words_of

FIELDS = (
    "paper",
    "card",
    "bore",
    "metal",
    "steel",
    "brass",
    "fuel",
    "band",
    "care",
    "pilot-field",
    "cutaway-field",
    "needle-field",
)
"""What words and lines may stand on."""
READ, SEEN = 7.0, 3.0
"""Contrast of words, and of lines that mean something (WCAG 2.2, 1.4.6 and 1.4.11)."""
SWATCH = 60.0


def grey_value(colour: str) -> float:
    """Give what a printer without colour makes of an ink, 0 to 255 (ITU-R BT.601, as printers reckon)."""
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


@pytest.mark.parametrize("field", FIELDS)
def test_ink_is_read_on_every_field_in_grey(field: str) -> None:
    """Words in ink keep 7 to 1 in grey, whatever they stand on."""
    assert contrast(grey_value(PRINT["ink"]), grey_value(PRINT[field])) >= READ


@pytest.mark.parametrize("ink", ["pencil", "fuel-line", "air", "pilot-line", "needle-line", "brass-line"])
def test_lines_are_seen_on_paper_in_grey(ink: str) -> None:
    """Lines that mean something keep 3 to 1 in grey on paper."""
    assert contrast(grey_value(PRINT[ink]), grey_value(PRINT["paper"])) >= SEEN


def swatch(part: str, folder: Path) -> Pixels:
    """Print one part's field by itself and give the inside of it in grey."""
    field = element("rect", width=SWATCH, height=SWATCH, fill=pattern_of(part))
    drawn = picture(field, view=(0.0, 0.0, SWATCH, SWATCH), title=part)
    paper = press("swatch.typ", words={}, pictures={"swatch.svg": printed(drawn)})
    page = grey_of(paper, folder, dpi=300)
    edge = page.shape[0] // 10
    return page[edge:-edge, edge:-edge]


def signature(field: Pixels) -> np.ndarray:
    """Give how much a field changes along x, along y and along both diagonals, over its darkness."""
    grey = field.astype(np.float64)
    step = 6
    along = (
        grey[:, step:] - grey[:, :-step],
        grey[step:, :] - grey[:-step, :],
        grey[step:, step:] - grey[:-step, :-step],
        grey[step:, :-step] - grey[:-step, step:],
    )
    return np.array([np.abs(one).mean() for one in along])


def test_the_four_parts_stay_apart_by_pattern_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In grey, dots, level lines, slanted lines and solid differ from each other."""
    template = (
        b'#set page(width: 20mm, height: 20mm, margin: 0mm)\n#set document(title: "Swatch", date: none)\n'
    )
    template += b'#set text(lang: "en")\n#image("swatch.svg", width: 100%, alt: "A field")'
    shelf = {"swatch.typ": template}
    monkeypatch.setattr("floatbowl.paper.press._read", lambda name: shelf.get(name, b""))
    found = {part: signature(swatch(part, tmp_path)) for part in PARTS}
    for one, other in combinations(PARTS, 2):
        assert np.max(np.abs(found[one] - found[other])) > 8.0, (one, other)
    assert np.max(found["main"]) < 1.0  # solid, without the joints of tiles


def test_letters_say_the_same_as_the_patterns(chart: WallChart) -> None:
    """On the plate of the say every part is named by its letter, in the key and in its field."""
    words = words_of(wall_chart_pdf(chart))
    for part in PARTS:
        assert words.count(f"{LETTER[part]} ") >= 2, part


def test_a_white_word_on_the_main_is_read() -> None:
    """The main's field is dark: its letter is white on it, 12 to 1 in grey."""
    assert contrast(grey_value(PRINT["main-text"]), grey_value(PRINT["main-field"])) > 12.0


def test_the_whole_chart_is_dark_on_light_in_grey(chart: WallChart, tmp_path: Path) -> None:
    """Each plate keeps ink and paper apart: near black and near white, and more paper than ink."""
    paper = wall_chart_pdf(chart)
    for plate in range(1, 7):
        page = grey_of(paper, tmp_path, dpi=60, page=plate)
        assert contrast(float(np.percentile(page, 0.3)), float(np.percentile(page, 70))) > 10.0
        assert float(np.mean(page > 240)) > 0.45
