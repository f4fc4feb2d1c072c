"""Advice in words: the job card, the next look, the stop tag, and nothing to do.

A card is a head and labelled lines; terminal and pages set them each in their
own way. The hand comes first, then what it does to the fuel.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from floatbowl.advice.advice import Advice, Expect, RunnerUp, Step, Why
from floatbowl.belief.belief import OF
from floatbowl.bike.aside import Aside
from floatbowl.bike.bike import Bike
from floatbowl.bike.rung import Rung
from floatbowl.signs.trial import SHOWS, Trial
from floatbowl.words.care import USE, care_lines
from floatbowl.words.looks import Look
from floatbowl.words.mending import AFTER_MENDING, mend_lines, off_words, say_mended
from floatbowl.words.names import (
    AT,
    as_written,
    assumed_words,
    complaint_words,
    in_line,
    look_words,
    reading_words,
    remark_words,
)
from floatbowl.words.proving import missing_words
from floatbowl.words.steps import act, step_brief, step_words
from floatbowl.words.suspects import SUSPECTS, Suspect, look_for

CLEAR_SUSPECT = 6
"""A fault in fewer of the twenty than this does not stand out among the suspects (judgement)."""

OVER = {"change": "JOB", "look": "NEXT LOOK", "stop": "STOP TAG", "done": "NOTHING TO DO"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Of the twenty, how many; and what for."""

    count: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """What to do next, as labelled lines in the order they are read."""

    kind: str
    over: str
    head: str
    minutes: int
    to_buy: str = ""
    """What has to be bought before it can be done."""
    lines: tuple[tuple[str, str], ...]
    odds: tuple[Tally, ...]
    close: str

    def line(self, label: str) -> str:
        """Give the first line with a label, or nothing."""
        return next((text for name, text in self.lines if name == label), "")


def card(advice: Advice, *, bike: Bike, trials: Sequence[Trial] = ()) -> Card:
    """Turn advice into a card. ``trials`` are looked up for what its reasons name."""
    return _CARD[advice.kind](advice, bike, trials)


# --- one change -------------------------------------------------------------------------------------------


def _job_card(advice: Advice, bike: Bike, trials: Sequence[Trial]) -> Card:
    lines = [
        *(("do", step_words(step, bike)) for step in advice.steps),
        *(("do", f"With the same strip-down: {step_words(step, bike)}") for step in advice.also),
        ("why", why_words(advice, trials)),
        *_evidence(advice, trials),
        ("feel", feel_words(advice)),
        ("back", back_words(advice, bike)),
        *(("care", text) for text in care_lines(advice.care)),
        *(("not", text) for text in runners_up_words(advice.runners_up, bike)),
        *_buy(advice, bike),
        *_aside(advice, bike),
        *_assumed(advice),
    ]
    return Card(
        kind=advice.kind,
        over=OVER[advice.kind],
        head=head_words(advice, bike),
        minutes=round(advice.minutes),
        to_buy=", ".join(step_brief(step, bike) for step in all_steps(advice) if step in advice.buy),
        lines=tuple(lines),
        odds=odds(advice.expect),
        close=USE[advice.use],
    )


def all_steps(advice: Advice) -> tuple[Step, ...]:
    """Give the steps in the order they are made, those that share the strip-down last."""
    return (*advice.steps, *advice.also)


def head_words(advice: Advice, bike: Bike) -> str:
    """Name the change, and what else is done while it is apart."""
    first = " and ".join(act(step, bike) for step in advice.steps)
    more = in_line(tuple(_lower(act(step, bike)) for step in advice.also))
    return f"{first}; while it is apart, {more}" if more else first


WHY: dict[str, str] = {
    "short": "{count} of the 20 likely bikes are short of fuel {at}",
    "too much": "{count} of the 20 likely bikes get too much fuel {at}",
    "right": "{count} of the 20 likely bikes are about right {at}",
    "fault": "{count} of the 20 likely bikes have what this would show",
    "found": "a look found it",
    "mended": "what was mended changes what it does; one ride tells us where it stands now",
    "unknown": "a ride tells more now than any part we could change, above all {at}",
    "unexplained": "what it did does not fit together yet, {at} least of all",
    "unproven": "nothing is left that we would change, and this is still to be seen before it is proven",
    "measure": "what it shows is worth more now than any change we could make",
    "best the drawer makes": "nothing in the drawer serves better; {count} of the 20 are about right {at}",
}
"""Why, by the key that advice gives."""


def why_words(advice: Advice, trials: Sequence[Trial] = ()) -> str:
    """Say why in one sentence, beginning with what it did there if a remark speaks for it.

    Where a stop tag has just come off, that is said before it.
    """
    off = "" if advice.kind == "stop" else off_words(trials)
    return f"{off} {_why(advice, trials)}".lstrip()


def _why(advice: Advice, trials: Sequence[Trial]) -> str:
    why = advice.why
    complaint = _complaint(why, trials)
    told = WHY[why.key].format(count=why.count, at="there" if complaint else AT[why.at])
    return _sentence(f"{complaint}; {told}" if complaint else told)


def _complaint(why: Why, trials: Iterable[Trial]) -> str:
    remarks = (remark for trial in trials if not trial.mended for remark in trial.remarks)
    for remark in remarks:
        if remark.entry in why.speaks_for and remark.at is why.at and remark.did != "clean":
            return complaint_words(remark.did, remark.at)
    return ""


def _evidence(advice: Advice, trials: Sequence[Trial]) -> list[tuple[str, str]]:
    entries = entries_in_words(trials)
    return [
        *(("for", text) for text in _entry_lines(advice.why.speaks_for, entries)),
        *(("against", text) for text in _entry_lines(advice.why.speaks_against, entries)),
    ]


def _entry_lines(names: tuple[str, ...], entries: dict[str, str]) -> list[str]:
    """Say each thing once, with the entries that say it behind it."""
    said: dict[str, list[str]] = {}
    for name in names:
        said.setdefault(entries.get(name, "an entry"), []).append(name)
    return [f"{text} ({', '.join(who)})" for text, who in said.items()]


def entries_in_words(trials: Iterable[Trial]) -> dict[str, str]:
    """Give every remark and reading by its entry's name."""
    found: dict[str, str] = {}
    for trial in trials:
        found |= {remark.entry: remark_words(remark) for remark in trial.remarks}
        found |= {reading.entry: reading_words(reading) for reading in trial.readings}
    return found


def odds(expect: Expect | None) -> tuple[Tally, ...]:
    """Give what to expect as tallies of the twenty."""
    if expect is None:
        return ()
    tallies = (
        Tally(count=expect.right, words="about right"),
        Tally(count=expect.short, words="still short"),
        Tally(count=expect.too_much, words="too much"),
    )
    return tuple(tally for tally in tallies if tally.count)


_ELSEWHERE = {
    "main": "No change at a small opening.",
    "pilot": "No change from 1/2 up.",
    "screw": "No change above 1/4.",
    "clip": "No change shut or at full.",
    "washer": "No change shut or at full.",
    "float": "It is felt at every opening, most at a small one.",
    "cutaway": "No change from 3/4 up.",
    "needle": "No change shut or at full.",
}


def feel_words(advice: Advice) -> str:
    """Say what the rider should feel where the change has its say, and where nothing should change.

    What several parts leave alone between them is not told: mostly it is nothing.
    """
    where = advice.expect.at if advice.expect else advice.why.at
    untouched = {_ELSEWHERE[step.part] for step in all_steps(advice)}
    return " ".join((_FEEL[where], *(untouched if len(untouched) == 1 else ())))


_FEEL: dict[Rung, str] = {
    Rung.SHUT: "A steady idle that comes down at once when you shut it.",
    Rung.EIGHTH: "Clean away from idle, steady at a small hand.",
    Rung.QUARTER: "A clean snap from 1/4, and steady at a steady hand.",
    Rung.HALF: "Pulls cleanly from 1/2 as soon as you open it.",
    Rung.THREE_QUARTERS: "Pulls without a flat place from 3/4 up.",
    Rung.FULL: "Revs out cleanly at full opening.",
}


def back_words(advice: Advice, bike: Bike) -> str:
    """Say how to go back if it gets worse."""
    steps = [step_brief(Step(step.part, step.after, step.before), bike) for step in all_steps(advice)]
    return f"If it gets worse, put back {in_line(tuple(steps))}, and say what it did."


WHY_NOT: dict[str, str] = {
    "one at a time": "next in line; one change at a time, so that each ride tells us something",
    "less say": "has less say where it is wrong",
    "risk": "could leave it short of fuel higher up",
    "more work": "would do as well, but not where we are surest",
    "worse": "fewer of the twenty come right",
}
"""Why not the runners-up, by the key that advice gives."""


def runners_up_words(runners: Iterable[RunnerUp], bike: Bike) -> list[str]:
    """Say why other changes were not advised first; those with one reason share a line."""
    by_reason: dict[str, list[str]] = {}
    for runner in runners:
        names = " and ".join(step_brief(step, bike) for step in runner.steps)
        by_reason.setdefault(why_not_words(runner), []).append(names)
    return [f"{', '.join(names)}: {reason}." for reason, names in by_reason.items()]


def why_not_words(runner: RunnerUp) -> str:
    """Say why not, without the part's name."""
    return WHY_NOT[runner.why_not]


def _buy(advice: Advice, bike: Bike) -> list[tuple[str, str]]:
    parts = ", ".join(step_brief(step, bike) for step in advice.buy)
    return [("buy", f"would serve better than the drawer: {parts}.")] if parts else []


def _not_proven(advice: Advice, bike: Bike) -> list[tuple[str, str]]:
    """Say which checks stay missing though there is nothing left to do about them."""
    missing = tuple(missing_words(key) for key in advice.missing)
    told = f"Not proven: {in_line(missing)}. " if missing else ""
    return [("then", f"{told}Every check: floatbowl prove {as_written(bike.name)}.")]


ASIDE = "Set aside while this setup stands"
OFFERED_AGAIN = "You set this aside, and all else worth doing as well; so here it is again."


def _aside(advice: Advice, bike: Bike) -> list[tuple[str, str]]:
    """Say what was set aside, and that it is offered again where it is."""
    if not advice.aside:
        return []
    again = [("aside", OFFERED_AGAIN)] if advice.is_offered_again else []
    return [*again, ("aside", f"{ASIDE}: {in_line(tuple(aside_words(one, bike) for one in advice.aside))}.")]


def aside_words(aside: Aside, bike: Bike) -> str:
    """Name what was set aside in a few words: ``main 108``, ``soap and water on the inlet rubber``."""
    if aside.part:
        return step_brief(Step(aside.part, "", aside.after), bike)
    return look_words(aside)


def _assumed(advice: Advice) -> list[tuple[str, str]]:
    names = assumed_words(advice.assumed)
    return [("assumed", f"{names}: nobody has measured this yet.")] if names else []


# --- a look, a stop tag, nothing to do ---------------------------------------------------------------------


def _look_card(advice: Advice, bike: Bike, trials: Sequence[Trial]) -> Card:
    look = look_for(advice.look or "ride and say")
    why = why_words(advice, trials) if entries_in_words(trials) else "Nobody has said yet what it does."
    head = f"{look.act}, {AT[advice.why.at]}." if look.is_at_an_opening else f"{look.act}."
    return _with_look(advice, look, trials=trials, bike=bike, head=head, act=[], why=why)


def _stop_tag(advice: Advice, bike: Bike, trials: Sequence[Trial]) -> Card:
    suspect = SUSPECTS[advice.suspect or ""]
    look = look_for(advice.look or advice.suspect or "")
    if advice.why.key == "found":
        return _mend(advice, suspect, look, bike=bike, trials=trials)
    return _with_look(
        advice,
        look,
        trials=trials,
        bike=bike,
        head=f"Stop jetting. {_find_first(advice, suspect)}",
        act=[("do", f"{look.act}.")],
        why=_suspicion(advice, suspect),
    )


def _outcomes(look: Look, advice: Advice, name: str) -> list[tuple[str, str]]:
    """Say how each outcome looks, and how to write it down."""
    is_for_a_fault = look in [look_for(key) for key in SHOWS]
    write = {word: f" Write it down: floatbowl looked {name} {word}." for word in ("found", "clear")}
    told = ((look.found, "found"), (look.not_found, "clear"))
    lines = [text + (write[word] if is_for_a_fault else "") for text, word in told]
    return [
        ("then", text.replace("BIKE", name).replace(" AT ", f" {advice.why.at.value} "))
        for text in (*lines, look.measure)
        if text
    ]


def _suspects(name: str) -> tuple[str, str]:
    return "also", f"All suspects: floatbowl log {name} --suspects"


def _mend(advice: Advice, suspect: Suspect, look: Look, *, bike: Bike, trials: Sequence[Trial]) -> Card:
    """Hang the tag of a fault that was looked for and found: now mend it."""
    lines = [
        *(("how", text) for text in mend_lines(advice.suspect or "", bike=bike.name)),
        ("why", f"{_sentence(WHY[advice.why.key])} {suspect.hides}"),
        *_evidence(advice, trials),
        ("then", say_mended(bike.name)),
        ("then", AFTER_MENDING),
        _suspects(as_written(bike.name)),
        *(("care", text) for text in care_lines((*suspect.care, *look.care, *advice.care))),
    ]
    return Card(
        kind=advice.kind,
        over=OVER[advice.kind],
        head=f"Stop jetting. {suspect.act} first.",
        minutes=0,
        lines=tuple(lines),
        odds=(),
        close=USE[advice.use],
    )


def _find_first(advice: Advice, suspect: Suspect) -> str:
    """Name the fault to find, if one stands out; else only that there is one to be found."""
    if advice.suspect_count >= CLEAR_SUSPECT:
        return f"Find {suspect.find} first."
    return "See first whether something is broken."


def _suspicion(advice: Advice, suspect: Suspect) -> str:
    count = f"in {advice.suspect_count} of the {OF} likely bikes that fit what it did"
    told = f"{suspect.name}, {count}. {suspect.hides}"
    if advice.suspect_count >= CLEAR_SUSPECT:
        return told
    return f"Looking costs less here than jetting a bike that may be broken. Likeliest: {_lower(told)}"


def _with_look(  # noqa: PLR0913  (what a look and a tag say differently)
    advice: Advice,
    look: Look,
    *,
    trials: Sequence[Trial],
    bike: Bike,
    head: str,
    act: list[tuple[str, str]],
    why: str,
) -> Card:
    name = as_written(bike.name)
    lines = [
        *act,
        *(("how", text) for text in look.how),
        ("why", why),
        *_evidence(advice, trials),
        *_outcomes(look, advice, name),
        *([_suspects(name)] if advice.kind == "stop" else []),
        *(("care", text) for text in care_lines((*_care_of_suspect(advice), *look.care, *advice.care))),
        *_aside(advice, bike),
        *_assumed(advice),
    ]
    return Card(
        kind=advice.kind,
        over=OVER[advice.kind],
        head=head,
        minutes=round(advice.minutes),
        lines=tuple(lines),
        odds=(),
        close=USE[advice.use],
    )


def _care_of_suspect(advice: Advice) -> tuple[str, ...]:
    """Give what to mind with the suspect, where it stands out enough to be named."""
    is_named = advice.suspect is not None and advice.suspect_count >= CLEAR_SUSPECT
    return SUSPECTS[advice.suspect or ""].care if is_named else ()


def suspect_name(fault: str) -> str:
    """Give a fault's name in a list."""
    return SUSPECTS[fault].name


LEAVE_IT = "Leave it as it is"
DRAWER_HAS_NO_BETTER = "Leave it: the drawer holds nothing better"


def _nothing_to_do(advice: Advice, bike: Bike, trials: Sequence[Trial]) -> Card:
    lines = [
        ("why", why_words(advice, trials)),
        *_evidence(advice, trials),
        *_buy(advice, bike),
        *_not_proven(advice, bike),
        *_aside(advice, bike),
        *_assumed(advice),
    ]
    return Card(
        kind=advice.kind,
        over=OVER[advice.kind],
        head=DRAWER_HAS_NO_BETTER if advice.why.key == "best the drawer makes" else LEAVE_IT,
        minutes=0,
        lines=tuple(lines),
        odds=odds(advice.expect),
        close=USE[advice.use],
    )


_CARD: dict[str, Callable[[Advice, Bike, Sequence[Trial]], Card]] = {
    "change": _job_card,
    "look": _look_card,
    "stop": _stop_tag,
    "done": _nothing_to_do,
}


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
