"""The strip sheet: which cards a bike gets, what each may keep, and how it stands after what was done."""

import pytest

from floatbowl.bike.assume import assume_bike
from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import PART_FIELDS
from floatbowl.guide.strip import PARTS, Happening, Part, State, cards_for, state_of
from floatbowl.record import fields as f
from floatbowl.signs.trial import SHOWS
from floatbowl.words.care import CARE

MEASURES = {
    *(f"carb.{number.key}" for number in (f.CARB_BORE, *f.CARB_NUMBERS)),
    *(f"carb.needle.{number.key}" for number in f.NEEDLE_NUMBERS),
    *(f"setup.{field}" for field in PART_FIELDS.values()),
}
CARD = {part.key: part for part in PARTS}


def bike(strokes: int, **carb: object) -> Bike:
    """Give a bike of which little is known."""
    engine = {"strokes": strokes, "swept_volume": 125e-6}
    return assume_bike(name="Wren", what="", engine=engine, carb={"bore": 0.026, **carb}, fuel={})


def test_a_bike_gets_the_cards_that_fit_it() -> None:
    """One screw, the right one; a choke only where there is one; crank seals only on a two-stroke."""
    four = {part.key for part in cards_for(bike(4, screw="fuel", choke="none"))}
    two = {part.key for part in cards_for(bike(2, screw="air"))}
    assert {"fuel screw"} == four & {"air screw", "fuel screw", "choke", "crank seals"}
    assert {"air screw", "choke", "crank seals"} == two & {"air screw", "fuel screw", "choke", "crank seals"}
    assert 13 <= len(four) <= 17


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.key)
def test_a_card_names_what_there_is(part: Part) -> None:
    """Its look shows a fault, its measures have a place in a bike file or a setup, its care has words."""
    assert not part.look or part.look in SHOWS
    assert {ask.field for ask in part.asks} <= MEASURES
    assert set(part.care) <= set(CARE)
    assert 1 <= len(part.look_for) <= 3
    assert all(len(line) < 130 for line in (*part.look_for, part.limit))


def test_no_two_cards_keep_the_same() -> None:
    """One look and one measure belongs to one card of a bike, so that an answer marks one card."""
    for one in (bike(2, screw="air"), bike(4, screw="fuel")):
        looks = [part.look for part in cards_for(one) if part.look]
        asked = [ask.field for part in cards_for(one) for ask in part.asks]
        assert len(looks) == len(set(looks))
        assert len(asked) == len(set(asked))


@pytest.mark.parametrize(
    ("happenings", "state"),
    [
        ((), "open"),
        ((("look", "float held under", "clear"),), "fine"),
        ((("look", "float held under", "found"),), "not fine"),
        ((("look", "float held under", "found"), ("mend", "float sinks", "")), "open"),
        ((("look", "float held under", "found"), ("mend", "air leak", "")), "not fine"),
        ((("strip", "float", "skipped"),), "skipped"),
        ((("strip", "float", "skipped"), ("look", "float held under", "clear")), "fine"),
        ((("strip", "vents", "skipped"), ("look", "choke seat", "found")), "open"),
    ],
)
def test_a_card_stands_as_it_was_last_left(
    happenings: tuple[tuple[str, str, str], ...], state: State
) -> None:
    """The last answer or look of a card counts; what was mended since is to be looked at again."""
    told = [Happening(*one) for one in happenings]  # type: ignore[arg-type]  # words of a table
    assert state_of(CARD["float"], told) == state


def test_a_card_without_a_look_is_answered_by_itself() -> None:
    """No look marks a card that keeps none."""
    outside = CARD["outside"]
    assert state_of(outside, [Happening("look", "", "clear")]) == "open"
    assert state_of(outside, [Happening("strip", "outside", "not fine")]) == "not fine"
