"""Complaints with a known cause: what the stories are, and how well they are solved."""

from collections import Counter

from floatbowl.bike.faults import FAULT_KEYS, faults_for
from tests.stories.complaints import complaints

STORIES = complaints()


def test_every_fault_is_the_cause_at_least_once() -> None:
    """Every fault is the cause of at least one story."""
    assert set(FAULT_KEYS) <= {story.truth for story in STORIES}


def test_there_are_enough_stories_of_both_kinds() -> None:
    """At least 48 bikes are broken and at least 12 are only set wrong."""
    kinds = Counter(story.is_broken for story in STORIES)
    assert kinds[True] >= 48
    assert kinds[False] >= 12


def test_no_story_is_told_twice() -> None:
    """Stories differ in name, and no two tell the same things of the same bike."""
    assert len({story.name for story in STORIES}) == len(STORIES)
    assert len({(story.bike.name, story.trial) for story in STORIES}) == len(STORIES)


def test_a_bike_has_only_what_its_kind_can_have() -> None:
    """No four-stroke leaks at a crank seal, no two-stroke has a tight valve; settings name an opening."""
    for story in STORIES:
        if story.is_broken:
            engine, carb = story.bike.engine, story.bike.carb
            assert story.truth in {
                known.key for known in faults_for(strokes=engine.strokes, choke=carb.choke)
            }
        else:
            assert story.side[1] in {-1, 1}


def test_a_story_is_short() -> None:
    """At the door two to six things are told."""
    for story in STORIES:
        assert 2 <= len(story.trial.remarks) + len(story.trial.readings) <= 6
