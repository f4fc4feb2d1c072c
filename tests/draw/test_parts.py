"""Parts before and after: true to their measures, old and new told apart, measured and assumed told apart."""

from dataclasses import replace

import pytest

from floatbowl.advice.advice import Step
from floatbowl.bike.setup import PART_FIELDS
from floatbowl.draw.parts import DRAWN, after_step
from floatbowl.words.steps import step_words
from tests.draw.pictured import SETUP, STEPS, all_of, bike, number, numbers, other_needle, part, read, texts


def test_every_part_that_can_be_changed_is_drawn() -> None:
    """There is a drawing for each part of a setup, and a test for each drawing."""
    assert set(DRAWN) == set(PART_FIELDS) == {step.part for step in STEPS}


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.part)
def test_a_drawing_says_its_step(step: Step) -> None:
    """The title is the sentence that the card and the command line print."""
    assert read(part(step)).get("aria-label", "").startswith(step_words(step, bike()))


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.part)
def test_old_is_dotted_or_named(step: Step) -> None:
    """What is now is dotted, or says "now": the new one is never told by colour alone."""
    drawn = part(step)
    assert all_of(drawn, "path", "part-old") or all_of(drawn, "rect", "part-old") or "now" in texts(drawn)


@pytest.mark.parametrize(("part_name", "stamps"), [("main", ("110", "108")), ("pilot", ("40", "42"))])
def test_holes_are_true_to_each_other(part_name: str, stamps: tuple[str, str]) -> None:
    """The two holes of a jet, laid over each other, are as large to one another as their stamps."""
    drawn = part(Step(part_name, *stamps))
    new, old = (number(one, "r") for one in all_of(drawn, "circle"))
    assert new / old == pytest.approx(float(stamps[1]) / float(stamps[0]), rel=0.002)
    assert set(stamps) <= set(texts(drawn))


def test_an_unknown_stamp_is_pencilled() -> None:
    """A jet nobody could read is drawn at its likely size, dashed, and the known one is not."""
    drawn = part(Step("pilot", "?", "42"), before=replace(SETUP, pilot="?"))
    assert len(all_of(drawn, "path", "part-assumed")) == 1
    assert all_of(part(Step("pilot", "40", "42")), "path", "part-assumed") == []


def test_the_clip_moves_by_grooves() -> None:
    """The new clip stands as many grooves from the old one as the step says, to the scale of the bar."""
    drawn = part(Step("clip", 3, 5))
    old, new = (all_of(drawn, "rect", name)[0] for name in ("part-old", "part-clip"))
    bar = numbers(all_of(drawn, "path", "mk-thin")[-1].attrib["d"])
    per_mm = bar[3 + 0] - bar[0]
    assert number(new, "x") - number(old, "x") == pytest.approx(2 * per_mm, abs=0.05)


def test_grooves_that_nobody_measured_are_pencilled() -> None:
    """The measured shank is inked, the assumed grooves are dashed."""
    drawn = part(Step("clip", 3, 4))
    edges = all_of(drawn, "path", "part-edge")
    assert ["part-assumed" in one.attrib["class"] for one in edges] == [True, False]


def test_a_washer_lifts_the_needle_by_itself() -> None:
    """Half a millimetre of washer lifts the needle's end by half a millimetre on the scale bar."""
    drawn = part(Step("washer", 0.0, 0.5))
    lines = numbers(all_of(drawn, "path", "part-measure")[0].attrib["d"])
    bar = numbers(all_of(drawn, "path", "mk-thin")[-1].attrib["d"])
    assert lines[1] - lines[4] == pytest.approx(0.5 * (bar[3] - bar[0]), abs=0.05)


def test_a_screw_turned_out_goes_against_the_clock() -> None:
    """From a quarter to half a turn out the mark goes from the left to the bottom; turned in, back."""
    out = part(Step("screw", 0.25, 0.5), before=replace(SETUP, screw_turns=0.25))
    way = numbers(all_of(out, "path", "part-way")[0].attrib["d"])
    (x0, y0), (x1, y1) = way[:2], way[-2:]
    assert x0 < x1
    assert y1 > y0
    assert "a quarter turn out" in texts(out)
    assert "a quarter turn in" in texts(
        part(Step("screw", 0.5, 0.25), before=replace(SETUP, screw_turns=0.5))
    )


def test_the_float_is_measured_from_the_joint() -> None:
    """A float set lower is drawn lower by as much, and the measures say both heights."""
    drawn = part(Step("float", 18.0, 16.0))
    assert {"18 mm", "16 mm", "now", "then"} <= set(texts(drawn))
    tops = [number(one, "y1") for one in all_of(drawn, "line", "part-measure")]
    bar = numbers(all_of(drawn, "path", "mk-thin")[-1].attrib["d"])
    assert tops[0] - tops[1] == pytest.approx(2.0 * (bar[3] - bar[0]) / 5.0, abs=0.05)


def test_a_float_that_nobody_measured_says_so() -> None:
    """Where the height now is only the book's, the drawing says assumed."""
    drawn = part(Step("float", 18.0, 16.0), before=replace(SETUP, float_height_mm=None))
    assert "assumed" in texts(drawn)


def test_a_needle_is_found_by_its_stamp() -> None:
    """The needle that is fitted is the drawer's of that stamp; one not there is the carburettor's own."""
    assert after_step(SETUP, Step("needle", "own", "N2"), needles=(other_needle(),)).needle == other_needle()
    assert after_step(SETUP, Step("needle", "N2", "own"), needles=(other_needle(),)).needle is None
