"""The words in the pictures, measured by a real browser with our own type: legible, apart, inside."""

from base64 import b64encode
from importlib import resources

import pytest
from playwright.sync_api import Browser, Page

from floatbowl.advice.advice import Step
from floatbowl.bike.drawer import Drawer, one_change_away
from floatbowl.bike.setup import PART_FIELDS
from floatbowl.draw.palette import theme_css
from floatbowl.draw.style import pattern_defs, picture_css
from floatbowl.draw.svg import Svg
from floatbowl.draw.tally import tally_rows
from floatbowl.words.suspects import SUSPECTS
from tests.draw.pictured import SETUP, every_picture, part

LEAST_PX = 15.0
NARROW_PX = 272
"""What a card on a page 320 px wide leaves for a picture."""
DRAWER = Drawer(mains=("98", "112.5"), pilots=("35", "52.5"), cutaways=("2.0", "3.5"))


def pictures() -> dict[str, Svg]:
    """Give every kind of picture, and every change that a drawer may offer."""
    drawn = dict(every_picture())
    for name, after in one_change_away(SETUP, DRAWER, grooves=5):
        before, then = getattr(SETUP, PART_FIELDS[name]), getattr(after, PART_FIELDS[name])
        drawn[f"{name} {before} to {then}"] = part(Step(name, before, then))
    drawn["suspects, all"] = tally_rows([(one.name, 13) for one in SUSPECTS.values()], title="Suspects")
    return drawn


@pytest.fixture(scope="module")
def page(chromium: Browser) -> Page:
    """Show every picture at the size it is made for, in our own type."""
    shown = chromium.new_page()
    holders = "".join(f'<div data-name="{name}">{drawn}</div>' for name, drawn in pictures().items())
    sheet = f"{_type()}{theme_css()}{picture_css()}svg{{display:block}}"
    shown.set_content(f"<style>{sheet}</style><svg width='0' height='0'>{pattern_defs()}</svg>{holders}")
    shown.evaluate("document.fonts.ready")
    return shown


def _type() -> str:
    """Give our two weights of lettering as a sheet that needs no server."""
    faces = []
    for weight in (500, 600):
        font = resources.files("floatbowl.web") / "static" / "fonts" / f"label-{weight}.woff2"
        data = b64encode(font.read_bytes()).decode()
        faces.append(
            f"@font-face{{font-family:Label;font-weight:{weight};src:url(data:font/woff2;base64,{data})}}"
        )
    return "".join(faces)


_AT_ITS_SIZE = """
    const measured = [...document.querySelectorAll('div[data-name]')].map((holder) => {
        const svg = holder.querySelector('svg'), box = svg.viewBox.baseVal;
        svg.setAttribute('width', box.width); svg.setAttribute('height', box.height);
        const edge = svg.getBoundingClientRect();
        const words = [...svg.querySelectorAll('text')].map((text) => {
            const at = text.getBoundingClientRect(), spare = at.height / 5;
            return {words: text.textContent, left: at.left - edge.left, right: at.right - edge.left,
                    top: at.top - edge.top + spare, foot: at.bottom - edge.top - spare};
        });
        return {name: holder.dataset.name, wide: box.width, tall: box.height, words};
    });
"""


def test_no_words_stand_across_others(page: Page) -> None:
    """In no picture do two pieces of lettering touch."""
    crossed = page.evaluate(f"""() => {{ {_AT_ITS_SIZE}
        return measured.flatMap(({{name, words}}) => words.flatMap((a, i) => words.slice(i + 1)
            .filter((b) => a.left < b.right && b.left < a.right && a.top < b.foot && b.top < a.foot)
            .map((b) => `${{name}}: ${{a.words}} / ${{b.words}}`)));
    }}""")
    assert crossed == []


def test_no_words_leave_their_picture(page: Page) -> None:
    """All lettering stands inside its picture."""
    outside = page.evaluate(f"""() => {{ {_AT_ITS_SIZE}
        return measured.flatMap(({{name, wide, tall, words}}) => words
            .filter((a) => a.left < -1 || a.top < -1 || a.right > wide + 1 || a.foot > tall + 1)
            .map((a) => `${{name}}: ${{a.words}}`));
    }}""")
    assert outside == []


def test_letters_are_legible_on_the_narrowest_page(page: Page) -> None:
    """Where a page is 320 px wide, the pictures made for it still show letters of 15 px or more."""
    small = page.evaluate(f"""() => [...document.querySelectorAll('svg.mk-narrow')].flatMap((svg) =>
        [...svg.querySelectorAll('text')].map((text) =>
            parseFloat(getComputedStyle(text).fontSize) * {NARROW_PX} / svg.viewBox.baseVal.width)
        .filter((size) => size < {LEAST_PX}))""")
    assert page.locator("svg.mk-narrow").count() > len(PART_FIELDS)
    assert small == []
