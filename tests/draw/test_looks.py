"""The drawings of looks and tests: one beside each that advice may name."""

from floatbowl.draw.looks import DRAWINGS, DRAWN_AS, look_picture
from floatbowl.guide.pages import PAGES
from floatbowl.signs.trial import SHOWS
from floatbowl.words.looks import LOOKS
from floatbowl.words.measuring import TESTS
from floatbowl.words.suspects import SUSPECTS
from tests.draw.pictured import read


def test_every_look_and_test_is_drawn() -> None:
    """Nothing that advice may ask for lacks its drawing, and no drawing lies unused."""
    assert set(DRAWN_AS) == set(LOOKS) | set(TESTS) >= set(SHOWS)
    guided = {act.drawn for page in PAGES for act in page.acts if act.drawn}
    assert set(DRAWN_AS.values()) | guided == set(DRAWINGS)


def test_a_fault_is_drawn_as_the_look_that_finds_it() -> None:
    """A stop tag may ask by the fault: the drawing is that of its look, named by what to do."""
    for fault, suspect in SUSPECTS.items():
        assert look_picture(fault) == look_picture(suspect.look)
        assert read(look_picture(fault)).get("aria-label") == LOOKS[suspect.look].act
