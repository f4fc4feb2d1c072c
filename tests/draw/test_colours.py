"""No meaning hangs on a colour that somebody cannot see: contrasts, colour-blind eyes, and grey.

Contrast is that of WCAG 2.2, terms "contrast ratio" and "relative luminance"
[wcag22]. Colour-blind eyes are simulated after [machado2009] at full severity.
Differences are CAM02-UCS [luo2006], where about 1 is just seen; both as built
into the colour library.
"""

from itertools import combinations, product

import colorspacious
import numpy as np
import pytest
from numpy.typing import NDArray

from floatbowl.belief.belief import PARTS
from floatbowl.draw.palette import THEMES, Theme
from floatbowl.draw.say_bar import pattern_of
from floatbowl.draw.style import pattern_defs
from floatbowl.words.names import LETTER

Colour = NDArray[np.float64]

EYES = (None, "protanomaly", "deuteranomaly", "tritanomaly")
FULL = 100
"""Severity of the simulation: the whole of one kind of cone is missing."""
TINTED: tuple[Theme, ...] = ("paper", "lamp")
"""The themes that tell the circuits by colour as well; sun has no tints on purpose."""

LEAST_TEXT = 7.0
"""Enhanced contrast of text, criterion 1.4.6 of [wcag22]."""
LEAST_LINE = 3.0
"""Contrast of lines that mean something, criterion 1.4.11 of [wcag22]."""
LEAST_APART = 10.0
"""Ten times what is just seen, so that two circuits stay two at a glance and in a small field (judgement)."""

GROUNDS = ("paper", "card", "band", "care", "tag")
INSIDE = ("bore", "metal", "steel", "brass", "fuel", "pilot-field", "cutaway-field", "needle-field")
TEXTS = (
    *product(("ink", "pencil"), GROUNDS),
    *product(("ink",), INSIDE),
    *product(("air",), ("paper", "card")),
    ("main-text", "main-field"),
    ("act-text", "act"),
)
MEANING = ("air", "fit", "position", "focus", "fuel-line", "brass-line", *(f"{part}-line" for part in PARTS))
LINES = (
    *product(("ink", "pencil", *MEANING), (*GROUNDS, "bore")),
    ("pilot-line", "pilot-field"),
    ("cutaway-line", "cutaway-field"),
    ("needle-line", "needle-field"),
    ("fuel-line", "fuel"),
    ("brass-line", "brass"),
)


def colour(code: str) -> Colour:
    """Read ``#RRGGBB`` as three shares of sRGB."""
    return np.array([int(code[i : i + 2], 16) / 255.0 for i in (1, 3, 5)])


def luminance(shares: Colour) -> float:
    """Give the relative luminance of a colour, as [wcag22] defines it."""
    linear = np.where(shares <= 0.04045, shares / 12.92, ((shares + 0.055) / 1.055) ** 2.4)
    return float(linear @ (0.2126, 0.7152, 0.0722))


def contrast(one: str, other: str) -> float:
    """Give the contrast ratio of two colours, as [wcag22] defines it, 1 to 21."""
    light, dark = sorted((luminance(colour(one)), luminance(colour(other))), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def seen_by(eye: str | None, code: str) -> Colour:
    """Give a colour as an eye without one kind of cone sees it; None is an eye that has all three."""
    shares = colour(code)
    if eye is None:
        return shares
    space = {"name": "sRGB1+CVD", "cvd_type": eye, "severity": FULL}
    seen: Colour = np.clip(colorspacious.cspace_convert(shares, space, "sRGB1"), 0.0, 1.0)
    return seen


def apart(one: Colour, other: Colour) -> float:
    """Give how different two colours look, CAM02-UCS."""
    return float(colorspacious.deltaE(one, other, input_space="sRGB1"))


@pytest.mark.reference
def test_the_contrast_is_that_of_the_guideline() -> None:
    """Black on white is 21 to 1; the grey #767676 on white is the known edge of 4.5 to 1."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


@pytest.mark.reference
def test_the_simulation_takes_the_red_from_a_protanope() -> None:
    """Pure red, seen without the long cones, is the dark olive of the published matrix's first column."""
    published = np.array(
        [0.152286, 0.114503, 0.0]
    )  # [machado2009], protan at 1.0, linear; last entry clipped
    linear = np.where(published <= 0.0031308, 12.92 * published, 1.055 * published ** (1 / 2.4) - 0.055)
    assert seen_by("protanomaly", "#FF0000") == pytest.approx(linear, abs=0.005)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("text", "ground"), TEXTS)
def test_text_stands_out(theme: Theme, text: str, ground: str) -> None:
    """Whatever is read is 7 to 1 or better on all it is written on, in every theme."""
    assert contrast(THEMES[theme][text], THEMES[theme][ground]) >= LEAST_TEXT


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("mark", "ground"), LINES)
def test_lines_that_mean_something_stand_out(theme: Theme, mark: str, ground: str) -> None:
    """A line that carries meaning is 3 to 1 or better on all it is drawn on, in every theme."""
    assert contrast(THEMES[theme][mark], THEMES[theme][ground]) >= LEAST_LINE


@pytest.mark.parametrize("theme", TINTED)
@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("kind", ["line", "field"])
def test_circuits_differ_for_every_eye(theme: Theme, eye: str | None, kind: str) -> None:
    """The four circuits' lines, and their fields, look apart to eyes that lack any one kind of cone."""
    looks = {part: seen_by(eye, THEMES[theme][f"{part}-{kind}"]) for part in PARTS}
    alike = [pair for pair in combinations(PARTS, 2) if apart(looks[pair[0]], looks[pair[1]]) < LEAST_APART]
    assert alike == []


@pytest.mark.parametrize("theme", TINTED)
@pytest.mark.parametrize("eye", EYES)
def test_where_the_slide_stands_is_told_from_a_dry_fit(theme: Theme, eye: str | None) -> None:
    """The position line and the dashes of a dry fit look apart to every eye, besides differing in form."""
    position, fit = (seen_by(eye, THEMES[theme][name]) for name in ("position", "fit"))
    assert apart(position, fit) >= LEAST_APART


def test_in_grey_a_pattern_and_a_letter_tell_the_circuits() -> None:
    """Each circuit has a pattern of its own, which the page holds, and a letter of its own."""
    patterns = [pattern_of(part) for part in PARTS]
    held = pattern_defs()
    assert len(set(patterns)) == len({LETTER[part] for part in PARTS}) == len(PARTS)
    assert [name for name in patterns if f'id="{name[5:-1]}"' not in held] == []


def test_the_patterns_differ_in_form() -> None:
    """Without any colour the four patterns are four drawings: no two hold the same marks."""
    bare = [_form(part) for part in PARTS]
    assert len(set(bare)) == len(PARTS)


def _form(part: str) -> str:
    """Give a pattern's text without what names its part, and so its colour."""
    inside = pattern_defs().split(f'id="pat-{part}"', 1)[1].split("</pattern>", 1)[0]
    return inside.replace(part, "")
