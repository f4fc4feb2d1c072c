"""The sketches of what a bike does: one for each, all of one size, no two alike."""

from floatbowl.draw.behaviours import TALL, WIDE, behaviour_sketch
from floatbowl.signs.trial import Behaviour
from floatbowl.words.names import BEHAVIOURS, DID
from tests.draw.pictured import all_of, numbers, read


def test_every_behaviour_has_a_sketch_of_one_size() -> None:
    """Whatever a rider can say is drawn, all in the same frame, and named as it is spoken."""
    for did in BEHAVIOURS:
        root = read(behaviour_sketch(did))
        assert root.get("viewBox") == f"0 0 {WIDE:g} {TALL:g}"
        assert root.get("aria-label", "").startswith(DID[did])


def test_no_two_sketches_are_alike() -> None:
    """Without its words each sketch is still its own."""
    drawn = {did: behaviour_sketch(did).split("</desc>", 1)[1] for did in BEHAVIOURS}
    assert len(set(drawn.values())) == len(BEHAVIOURS)


def test_a_bike_that_dies_ends_at_no_speed() -> None:
    """Dying and cutting out end on the line of no speed; fading does not."""
    stops: tuple[Behaviour, ...] = ("dies", "cuts out", "fades")
    ends = {did: _last_y(did) for did in stops}
    base = _base()
    assert ends["dies"] == ends["cuts out"] == base
    assert ends["fades"] < base


def test_a_switch_is_steeper_than_a_death() -> None:
    """Cutting out falls straight down, dying falls along a bend."""
    assert all_of(behaviour_sketch("cuts out"), "path", "beh-engine")[0].attrib["d"].endswith("V41")
    assert "C" in all_of(behaviour_sketch("dies"), "path", "beh-engine")[0].attrib["d"]


def _last_y(did: Behaviour) -> float:
    return numbers(all_of(behaviour_sketch(did), "path", "beh-engine")[0].attrib["d"])[-1]


def _base() -> float:
    return numbers(all_of(behaviour_sketch("dies"), "path", "beh-base")[0].attrib["d"])[1]
