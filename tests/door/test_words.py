"""What is said: every noun has its words, chances are counts, and no sentence lectures."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from floatbowl.advice import advise
from floatbowl.advice import looks as advised
from floatbowl.advice.advice import Advice, Step
from floatbowl.belief import check
from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike, assumptions
from floatbowl.bike.faults import FAULTS
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.signs.trial import SHOWS, LookReading, Trial
from floatbowl.words import bench, card, care, looks, mending, names
from floatbowl.words.trouble import nearest, not_known

AVOID = (
    "config",
    "tune",
    "map",
    "gauge",
    "session",
    "prior",
    "posterior",
    "likelihood",
    "sigma",
    "probability",
    "user",
    "error code",
    "optimal",
    "dial in",
    "lean out",
)
"""Words that never stand on a screen."""


def all_words() -> Iterator[str]:
    """Give every sentence and name that stands in a table of words."""
    for look in looks.LOOKS.values():
        yield from (look.act, *look.how, look.found, look.not_found)
    for suspect in looks.SUSPECTS.values():
        yield from (suspect.name, suspect.find, suspect.hides, suspect.act, *suspect.mend)
    tables = (
        care.CARE,
        care.USE,
        card.WHY,
        card.WHY_NOT,
        card.OVER,
        names.BEHAVIOURS,
        names.DID,
        names.AT,
        bench.TRUST,
    )
    for table in tables:
        yield from table.values()


def avoided(text: str) -> list[str]:
    """Give the words to avoid that stand in a text."""
    return [word for word in AVOID if re.search(rf"\b{word}s?\b", text, re.IGNORECASE)]


def test_no_word_to_avoid_stands_in_any_table() -> None:
    """No sentence uses a word that means nothing at the bench."""
    assert [(text, avoided(text)) for text in all_words() if avoided(text)] == []


def test_the_search_for_words_to_avoid_finds_one() -> None:
    """The check above would see a wrong word: it is not blind."""
    assert avoided("A prior session on the map") == ["map", "session", "prior"]


def test_every_fault_has_its_story() -> None:
    """Each fault of the bike has a name, what to find first, and a look that exists; none is told twice."""
    assert set(looks.SUSPECTS) == {fault.key for fault in FAULTS}
    assert all(suspect.look in looks.LOOKS for suspect in looks.SUSPECTS.values())


def test_every_fault_can_be_mended() -> None:
    """How to mend it stands in two lines, short enough to read with wet gloves, below what the hand does."""
    mending = [(suspect.act, *suspect.mend) for suspect in looks.SUSPECTS.values()]
    assert [text for lines in mending for text in lines if not 10 < len(text) <= 125] == []
    assert len({act for act, *_ in mending}) == len(FAULTS) - 1  # two kinds of choke, one fault in words
    assert {fault for shown in SHOWS.values() for fault in shown} == set(looks.SUSPECTS)


@pytest.mark.parametrize(("look", "shown"), SHOWS.items())
def test_a_look_finds_the_fault_that_names_it(look: str, shown: tuple[str, ...]) -> None:
    """Words and evidence agree on which look shows which fault."""
    assert [looks.SUSPECTS[fault].look for fault in shown] == [look] * len(shown)


def test_whatever_advice_can_say_has_words() -> None:
    """Every look, reason and care that advice names by key stands in the tables, and no other."""
    code = inspect.getsource(advise)
    readings = {"plug", "lambda", "rollon"}
    assert {look.key for look in (*advised.LOOKS, advised.RIDE_AND_SAY)} | readings == set(looks.LOOKS)
    assert {key for keys in advise._CARE.values() for key in keys} <= set(care.CARE)
    assert set(re.findall(r'keys.append\("([^"]+)"\)', code)) <= set(care.CARE)
    why_not = code[code.index("def _why_not") : code.index("def _care")]
    assert set(re.findall(r'return "([^"]+)"', why_not)) == set(card.WHY_NOT)
    why = set(re.findall(r'(?:why|key)="([^"]+)"', code))
    assert why | {"short", "too much", "found", "fault"} == set(card.WHY)


def test_a_belief_not_to_be_leaned_on_says_why() -> None:
    """Every reason for which a belief is not trusted has its sentence."""
    reasons = set(re.findall(r'why = "([^"]+)"', inspect.getsource(check))) - {"good"}
    assert reasons == set(bench.TRUST)


@pytest.mark.parametrize("key", looks.LOOKS)
def test_every_look_can_be_done(key: str) -> None:
    """A look has two lines, short enough to read with wet gloves, and its care lines exist."""
    look = looks.LOOKS[key]
    assert len(look.how) == 2
    assert all(len(line) <= 125 for line in look.how)
    assert all(one in care.CARE for one in look.care)


def test_care_is_at_most_two_sentences() -> None:
    """A care line is read before the hand moves: two sentences, no more."""
    assert [text for text in care.CARE.values() if len(re.findall(r"[.!?](?:\s|$)", text)) > 2] == []


def test_every_measure_has_a_name(bike: Bike) -> None:
    """Whatever an answer leaned on can be named in plain words."""
    unnamed = [
        path for path in assumptions(bike) if names.measure_name(path).startswith(("engine", "carb", "fuel"))
    ]
    assert unnamed == []


def test_the_sentence_of_the_bench(believe_by_hand: Callable[..., Belief]) -> None:
    """The bench speaks as designed: the say first, then a count of the twenty."""
    belief = believe_by_hand()
    told = bench.bench_sentence(belief, at=Rung.QUARTER)
    assert told == "At 1/4 open, the needle has most say. 19 of the 20 likely bikes are short of fuel here."


def test_no_part_rules_where_none_has_a_clear_say(believe_by_hand: Callable[..., Belief]) -> None:
    """Under 40 in 100 for every part the sentence says that no part has a clear say."""
    even = replace(believe_by_hand(), say=believe_by_hand().say * 0 + 0.25)
    assert bench.who_has_the_say(even, at=Rung.HALF) == "no part has a clear say"


def test_when_the_twenty_disagree_we_do_not_know(believe_by_hand: Callable[..., Belief]) -> None:
    """With no side holding more than half of the twenty the sentence says so, and gives all three counts."""
    wide = believe_by_hand((0,) * 6, spread_pct=6.0)
    told = bench.bench_sentence(wide, at=Rung.HALF)
    assert "We do not know yet: of the 20 likely bikes" in told
    counts = re.findall(r"\b(\d+) (?:are short|about right|get too)", told)
    assert sum(int(count) for count in counts) == 20


def test_the_bike_in_one_sentence(believe_by_hand: Callable[..., Belief], trials: tuple[Trial, ...]) -> None:
    """The garage says what it does most, and the stretches where more than half of the twenty are off."""
    told = bench.bike_sentence(believe_by_hand(), trials)
    assert told == (
        "Bogs at 1/4 open. Short of fuel from 1/4 to 1/2 (15 in 20 or more); "
        "too much fuel at full (17 in 20)."
    )


def test_a_bike_right_everywhere(believe_by_hand: Callable[..., Belief]) -> None:
    """A bike that is right at every opening is told so, by its least sure rung."""
    told = bench.bike_sentence(believe_by_hand((0,) * 6, spread_pct=1.0))
    assert told == "Right at every opening, 20 in 20 or better."


@pytest.mark.parametrize("rung", RUNGS)
def test_counts_of_a_row_add_to_twenty(rung: Rung, believe_by_hand: Callable[..., Belief]) -> None:
    """Short, right and too much are the twenty, none lost; say is a hundred; off is twenty numbers."""
    row = next(row for row in bench.ladder(believe_by_hand()) if row.at is rung)
    assert row.short + row.right + row.too_much == 20
    assert sum(row.say_pct) == 100
    assert len(row.off_pct) == 20


def test_only_what_was_said_on_this_setup_stands_beside_it(
    believe_by_hand: Callable[..., Belief], trials: tuple[Trial, ...]
) -> None:
    """Remarks on another setup, or from before something was mended, are no news about this one."""
    older = tuple(replace(trial, setup=replace(trial.setup, number=7)) for trial in trials)
    broken = tuple(replace(trial, mended=("air leak",)) for trial in trials)
    for told in (older, broken):
        assert [row.heard for row in bench.ladder(believe_by_hand(), told) if row.heard] == []


@pytest.mark.parametrize(
    ("step", "act", "effect"),
    [
        (Step("clip", 3, 4), "Raise the needle one groove", "more fuel"),
        (Step("clip", 3, 1), "Lower the needle 2 grooves", "less fuel"),
        (Step("main", "110", "108"), "Fit main 108", "less fuel"),
        (Step("pilot", "40", "42"), "Fit pilot 42", "more fuel"),
        (Step("screw", 1.5, 2.0), "Turn the air screw out half a turn", "less fuel"),
        (Step("screw", 1.5, 0.5), "Turn the air screw in one turn", "more fuel"),
        (Step("cutaway", "2.5", "2.0"), "Fit the slide with cutaway 2.0", "more fuel"),
        (Step("needle", "A1", "B2"), "Fit needle B2", "another shape, see what to expect"),
        (Step("main", "?", "108"), "Fit main 108", "the old main out, 108 in: see what to expect"),
    ],
)
def test_the_hand_first_then_the_mixture(step: Step, act: str, effect: str, bike: Bike) -> None:
    """A step is named by what the hand does, and its effect on the fuel has the right sign."""
    assert card.act(step, bike) == act
    assert f" {card.step_words(step, bike)}".endswith(f" {effect}.")


def test_a_part_nobody_can_read_goes_back_as_the_old_one(raise_needle: Advice, bike: Bike) -> None:
    """The way back never names a question mark."""
    unread = replace(raise_needle, steps=(Step("main", "?", "108"),))
    assert "put back the old main," in card.card(unread, bike=bike).line("back")


def test_a_fuel_screw_works_the_other_way(bike: Bike) -> None:
    """Out is more fuel on a fuel screw and less on an air screw."""
    fuel_screw = replace(bike, carb=replace(bike.carb, screw="fuel"))
    step = Step("screw", 1.0, 1.5)
    assert card.richer(step, fuel_screw) is True
    assert card.richer(step, bike) is False


def test_the_job_card(raise_needle: Advice, bike: Bike, trials: tuple[Trial, ...]) -> None:
    """The card gives the act, the reasons with their entries, the odds in twenty, the way back, the care."""
    told = card.card(raise_needle, bike=bike, trials=trials)
    assert told.head == "Raise the needle one groove"
    assert told.line("do") == "clip from groove 3 to 4, counted from the blunt end: more fuel."
    assert told.line("why") == "Bogs at 1/4 open; 18 of the 20 likely bikes are short of fuel there."
    assert told.line("for") == "bogs at 1/4 open when you snap it, hot, every time (ride-1, ride-2, ride-3)"
    assert told.line("against") == "thick and rough at full opening, hot, every time (ride-5)"
    assert [(tally.count, tally.words) for tally in told.odds] == [
        (15, "about right"),
        (4, "still short"),
        (1, "too much"),
    ]
    assert told.line("back") == "If it gets worse, put back clip in groove 3, and say what it did."
    assert "snap shut" in " ".join(text for label, text in told.lines if label == "care")


def test_the_stop_tag(stop_for_leak: Advice, bike: Bike, trials: tuple[Trial, ...]) -> None:
    """The tag says stop, names the suspect with its count, gives the look, and how to write it down."""
    told = card.card(stop_for_leak, bike=bike, trials=trials)
    assert told.head == "Stop jetting. Find the air leak first."
    assert told.line("why").startswith("Air leak, 16 in 20.")
    assert [text.split(":")[0] for label, text in told.lines if label == "then"] == ["Bubbles", "None"]
    assert told.close == "Safe to ride home, gently. Do not run it hard."
    found, clear = (text for label, text in told.lines if label == "then")
    assert found.endswith("floatbowl looked magpie found.")
    assert clear.endswith("floatbowl looked magpie clear.")


def test_a_tag_without_a_clear_suspect_does_not_boast(stop_for_leak: Advice, bike: Bike) -> None:
    """Where no fault stands out the tag says that something is broken, not that it knows what."""
    told = card.card(replace(stop_for_leak, suspect_count=2), bike=bike)
    assert told.head == "Stop jetting. See first whether something is broken."
    assert told.line("why").startswith(
        "Looking costs less here than jetting a bike that may be broken. Likeliest: air leak, 2 in 20."
    )


def test_a_part_that_must_be_bought_is_named_at_the_head(raise_needle: Advice, bike: Bike) -> None:
    """A change to a part outside the drawer says so before the hand moves."""
    step = Step("main", "110", "98")
    told = card.card(replace(raise_needle, steps=(step,), buy=(step,)), bike=bike)
    assert told.to_buy == "main 98"
    assert card.card(raise_needle, bike=bike).to_buy == ""


def test_without_a_word_from_the_rider_the_look_says_so(stop_for_leak: Advice, bike: Bike) -> None:
    """Before anybody has ridden it, the reason for riding is just that."""
    ride = replace(
        stop_for_leak, kind="look", look="ride and say", why=replace(stop_for_leak.why, key="unknown")
    )
    assert card.card(ride, bike=bike).line("why") == "Nobody has said yet what it does."


def test_commands_on_a_card_can_be_written_as_they_stand(stop_for_leak: Advice, bike: Bike) -> None:
    """The bike's own name stands in them, in quotes where it has a gap."""
    told = card.card(stop_for_leak, bike=replace(bike, name="Old Magpie"))
    assert "floatbowl log 'old magpie' --suspects" in told.line("also")


def test_a_fault_that_was_found_is_to_be_mended(stop_for_leak: Advice, bike: Bike) -> None:
    """Once a look has found it the tag no longer asks for the look, but for the mending."""
    found = replace(stop_for_leak, why=replace(stop_for_leak.why, key="found"))
    told = card.card(found, bike=bike)
    assert told.head == "Stop jetting. Mend the air leak first."
    assert told.line("why").startswith("A look found it.")
    assert [text for label, text in told.lines if label == "how"] == list(looks.SUSPECTS["air leak"].mend)
    assert [text for label, text in told.lines if label == "then"] == [
        "Mended? Write it down: floatbowl mended magpie.",
        "Then ride it once before any jet, and say what it did.",
    ]


def test_a_ride_is_no_look_for_a_fault(stop_for_leak: Advice, bike: Bike) -> None:
    """What a ride brings is said, not looked: its card names no command for looks."""
    ride = replace(
        stop_for_leak, kind="look", look="ride and say", why=replace(stop_for_leak.why, key="mended")
    )
    told = card.card(ride, bike=bike)
    assert "floatbowl looked" not in " ".join(text for _, text in told.lines)


def test_after_a_look_the_hand_knows_what_to_do() -> None:
    """Found: how to mend it. Clear, or one of two faults: ask what is next."""
    found = LookReading(entry="reading-1", look="soap on the joints", outcome="found")
    head, *how, say = mending.after_look(found, bike="Old Magpie")
    assert (head, len(how)) == ("Mend the air leak:", 2)
    assert say.endswith("floatbowl mended 'old magpie'.")
    level = replace(found, look="fuel level by a clear hose")
    for other in (level, replace(found, outcome="clear")):
        assert mending.after_look(other, bike="Magpie") == ("What next: floatbowl next magpie.",)


def test_every_fault_can_hang_a_tag(stop_for_leak: Advice, bike: Bike) -> None:
    """A tag can be written for every fault, from the fault alone."""
    for fault in FAULTS:
        told = card.card(replace(stop_for_leak, suspect=fault.key, look=None), bike=bike)
        assert told.head.startswith("Stop jetting. Find ")
        assert told.line("do")


def test_chances_are_spoken_in_twenty(raise_needle: Advice, stop_for_leak: Advice, bike: Bike) -> None:
    """No card speaks of per cents: a chance is a count of the twenty."""
    for advice in (raise_needle, stop_for_leak):
        told = card.card(advice, bike=bike)
        assert not any("%" in text or "per cent" in text for _, text in told.lines)


def test_a_near_word_is_offered() -> None:
    """A slip of the finger finds its word; nonsense finds none."""
    assert nearest("magpei", ("Magpie", "Thistle")) == "Magpie"
    assert nearest("zzz", ("Magpie", "Thistle")) is None
    assert "Did you mean Magpie?" in not_known("magpei", what="a bike", known=("Magpie", "Thistle"))
