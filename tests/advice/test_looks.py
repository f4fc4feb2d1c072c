"""Which looks were made, and what they brought last."""

import pytest

from floatbowl.advice.looks import faults_found, looks_made
from floatbowl.signs.trial import LevelReading, LookReading, Reading, Trial
from tests.belief.simulated import demo_bike

OTTER = demo_bike("otter")
LEVEL = "fuel level by a clear hose"


def trial(*readings: Reading, mended: tuple[str, ...] = ()) -> Trial:
    """Give a trial on which only looks were made."""
    return Trial(setup=OTTER.setup, day=OTTER.day, readings=readings, mended=mended)


def soap(outcome: str) -> LookReading:
    """Give a look at the joints."""
    return LookReading(entry="look-1", look="soap on the joints", outcome=outcome)  # type: ignore[arg-type]


def test_the_last_look_counts() -> None:
    """Of one look made twice the later counts, whatever the earlier brought."""
    assert looks_made((trial(soap("found")), trial(soap("clear")))) == {"soap on the joints": "clear"}
    assert looks_made((trial(soap("clear"), soap("found")),)) == {"soap on the joints": "found"}


def test_what_was_found_and_mended_is_done_with() -> None:
    """A find that was mended since is done with, and the look may be made anew; a clear one stays."""
    assert looks_made((trial(soap("found"), mended=("air leak",)),)) == {}
    assert looks_made((trial(soap("clear"), mended=("air leak",)),)) == {"soap on the joints": "clear"}
    assert looks_made((trial(soap("found"), mended=("weak spark",)),)) == {"soap on the joints": "found"}


@pytest.mark.parametrize(
    ("above_mm", "outcome"), [(0.0, "clear"), (-2.0, "clear"), (3.0, "found"), (-4.0, "found")]
)
def test_a_level_in_millimetres_is_that_look(above_mm: float, outcome: str) -> None:
    """Story: a level written down in millimetres did not count as the look, and was asked for without end."""
    assert looks_made((trial(LevelReading(entry="1", above_mm=above_mm)),)) == {LEVEL: outcome}


def test_what_was_found_may_be_any_fault_the_look_shows() -> None:
    """A level that is off may be any of four faults; nothing found, none."""
    assert faults_found((trial(soap("clear")),)) == ()
    found = faults_found((trial(LevelReading(entry="1", above_mm=5.0)),))
    assert found == ("fuel level low", "fuel level high", "float sinks", "float valve leaks")
