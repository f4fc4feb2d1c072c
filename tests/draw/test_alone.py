"""A picture that stands alone brings all it needs."""

from __future__ import annotations

import pytest

from floatbowl.draw.alone import alone
from floatbowl.draw.palette import THEMES, Theme
from floatbowl.draw.svg import element, picture
from tests.draw.pictured import SVG, read

PICTURE = picture(element("path", d="M50 0L60 9"), view=(50.0, -4.0, 30.0, 20.0), title="a > b")


@pytest.mark.parametrize("theme", THEMES)
def test_it_brings_its_inks(theme: Theme) -> None:
    """It holds one sheet, in the colours of its theme, and the patterns once."""
    root = read(alone(PICTURE, theme=theme))
    styles = root.findall(f"{SVG}style")
    assert len(styles) == 1
    assert f"--paper:{THEMES[theme]['paper']};" in (styles[0].text or "")
    assert len(root.findall(f"{SVG}defs")) == 1


def test_its_paper_covers_its_window() -> None:
    """Paper lies under the whole window, wherever that begins, and beneath all that is drawn."""
    root = read(alone(PICTURE))
    ground = root.find(f"{SVG}rect")
    assert ground is not None
    assert [ground.get(side) for side in ("x", "y", "width", "height")] == ["50", "-4", "30", "20"]
    assert [item.tag for item in root].index(f"{SVG}rect") < [item.tag for item in root].index(f"{SVG}path")


def test_what_it_shows_stays() -> None:
    """Title and drawing are those of the picture, signs and all."""
    root = read(alone(PICTURE))
    assert root.findtext(f"{SVG}title") == "a > b"
    assert root.find(f"{SVG}path") is not None
