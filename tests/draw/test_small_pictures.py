"""What holds of every chart and small picture: it is told in words, and breaks no rule of the page."""

import re

import pytest

from floatbowl.draw.style import pattern_defs, picture_css
from floatbowl.draw.svg import Svg
from tests.draw.pictured import every_picture, read, texts

PICTURES = dict(every_picture())
LEAST_LETTER = 15.0
"""Pixels: no letter is smaller where the picture is shown at the size it was made for."""


@pytest.mark.parametrize("picture", PICTURES.values(), ids=PICTURES)
def test_a_picture_tells_what_it_is(picture: Svg) -> None:
    """A screen reader hears a title, and what the picture says where it says more than that."""
    root = read(picture)
    assert root.get("role") == "img"
    assert len(root.get("aria-label", "")) > 3
    assert root[0].tag.endswith("title")


@pytest.mark.parametrize("picture", PICTURES.values(), ids=PICTURES)
def test_every_class_has_its_ink(picture: Svg) -> None:
    """No class is used for which the sheet has no rule, but those that only name a whole picture."""
    used = {name for one in read(picture).iter() for name in one.get("class", "").split()}
    ruled = set(re.findall(r"\.([a-z][\w-]*)", picture_css()))
    assert sorted(used - ruled - NAMES) == []


NAMES = {
    *("lad-picture", "lad-all", "lad-crossing", "rung-picture", "rung-small", "tal-picture", "tal-rows"),
    *("air-picture", "part-picture", "beh-picture", "look-picture"),
}
"""Names by which pages and script find a picture or a part of it."""


@pytest.mark.parametrize("picture", PICTURES.values(), ids=PICTURES)
def test_a_picture_keeps_the_page_s_policy(picture: Svg) -> None:
    """No colour, style or script stands in a picture: inks come by class, patterns by name."""
    held = set(re.findall(r'id="([\w-]+)"', pattern_defs()))
    for one in read(picture).iter():
        assert not [name for name in one.attrib if name == "style" or name.startswith("on")]
        assert one.get("fill", "url(#pat-pilot)")[5:-1] in held
        assert one.get("stroke") is None


def test_no_letter_is_small() -> None:
    """Every size of letter in the sheet is 15 units or more."""
    sizes = [float(size) for size in re.findall(r"font-size:([\d.]+)px", picture_css())]
    assert min(sizes) >= LEAST_LETTER


@pytest.mark.parametrize("picture", PICTURES.values(), ids=PICTURES)
def test_no_empty_words(picture: Svg) -> None:
    """Nothing is written that says nothing."""
    assert [words for words in texts(picture) if not words.strip()] == []
