"""The answers of the bench and the advice as plain data: the belief's side of ``forms``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from floatbowl.advice.advice import Advice, Expect, RunnerUp, Step
from floatbowl.advice.dry_fit import DryFit
from floatbowl.advice.narrow import NextMeasure
from floatbowl.belief.belief import OF, PARTS, Belief
from floatbowl.bike.bike import Bike
from floatbowl.bike.rung import RUNGS
from floatbowl.signs.trial import Trial
from floatbowl.words import bench, card
from floatbowl.words.dry_fit import dry_fit_sentence, rung_fields
from floatbowl.words.forms import Form, air_fields, form, setup_fields
from floatbowl.words.narrowing import narrows_words


def bench_form(
    belief: Belief,
    *,
    trials: Sequence[Trial],
    rows: Iterable[bench.Row],
    measure_next: NextMeasure | None = None,
) -> Form:
    """Give the ladder: who has the say, the twenty, and what was said, at each of the rows."""
    return form(
        "bench",
        bike=belief.bike.name,
        words=bench.bike_sentence(belief, trials),
        of=OF,
        setup=setup_fields(belief.setup),
        air=air_fields(belief.day),
        rungs=[_rung_fields(row, belief) for row in rows],
        suspects=suspect_fields(belief),
        sound_count=belief.sound_count,
        trusted=belief.trust.is_good,
        assumed=list(belief.leaned_on),
        measure_next=None
        if measure_next is None
        else {"measure": measure_next.path, "words": narrows_words(measure_next)},
    )


def _rung_fields(row: bench.Row, belief: Belief) -> Form:
    pilot, main = bench.whole_percents(
        tuple(float(share) for share in belief.fuel_share[RUNGS.index(row.at)])
    )
    return {
        "at": row.at.value,
        "words": row.sentence,
        "say_pct": dict(zip(PARTS, row.say_pct, strict=True)),
        "fuel_share_pct": {"pilot": pilot, "main": main},
        "off_pct": list(row.off_pct),
        "close_enough_pct": row.close_pct,
        "short": row.short,
        "right": row.right,
        "too_much": row.too_much,
        "said": list(row.heard),
    }


def suspect_fields(belief: Belief) -> list[Form]:
    """Give the faults still possible, each as a count of the twenty."""
    return [_suspect_fields(suspect.fault, suspect.count) for suspect in belief.suspects]


def _suspect_fields(fault: str, count: int) -> Form:
    return {"fault": fault, "words": card.suspect_name(fault), "count": count, "of": OF}


def suspects_form(belief: Belief) -> Form:
    """Give the faults still possible, and how many of the twenty are sound."""
    return form(
        "suspects",
        bike=belief.bike.name,
        of=OF,
        suspects=suspect_fields(belief),
        sound_count=belief.sound_count,
        two_at_once_count=bench.two_faults_count(belief),
    )


def dry_fit_form(belief: Belief, tried: DryFit, *, rows: Iterable[bench.Row]) -> Form:
    """Give what would be if this were fitted."""
    return form(
        "dry-fit",
        bike=belief.bike.name,
        words=dry_fit_sentence(belief, tried),
        of=OF,
        setup=setup_fields(tried.setup),
        rungs=[_dry_rung_fields(row) for row in rows],
    )


def _dry_rung_fields(row: bench.Row) -> Form:
    return {**rung_fields(row), "right_before": row.right_before}


def advice_form(advice: Advice, *, bike: Bike, trials: Sequence[Trial]) -> Form:
    """Give the next thing to do, and why, in data and in the words of the card."""
    told = card.card(advice, bike=bike, trials=trials)
    return form(
        "advice",
        bike=bike.name,
        kind=advice.kind,
        words=told.head,
        do=[_step_fields(step) for step in advice.steps],
        also=[_step_fields(step) for step in advice.also],
        minutes=told.minutes,
        buy=[_step_fields(step) for step in advice.buy],
        why={
            "words": told.line("why"),
            "at": advice.why.at.value,
            "count": advice.why.count,
            "of": OF,
            "speaks_for": list(advice.why.speaks_for),
            "speaks_against": list(advice.why.speaks_against),
        },
        expect_at=_expect_fields(advice.expect) if advice.expect else None,
        look=advice.look,
        suspect={"fault": advice.suspect, "count": advice.suspect_count, "of": OF}
        if advice.suspect
        else None,
        runners_up=[_runner_fields(runner) for runner in advice.runners_up],
        care=[text for label, text in told.lines if label == "care"],
        use=advice.use,
        use_words=told.close,
        bad_tail_count=advice.bad_tail_count,
        set_aside=[card.aside_words(one, bike) for one in advice.aside],
        offered_again=advice.is_offered_again,
        missing=list(advice.missing),
        assumed=list(advice.assumed),
        setup_after=setup_fields(advice.setup),
        card=[{"label": label, "words": text} for label, text in told.lines],
    )


def _step_fields(step: Step) -> Form:
    return {"part": step.part, "from": step.before, "to": step.after}


def _expect_fields(expect: Expect) -> Form:
    return {
        "at": expect.at.value,
        "lift_mm": round(expect.lift_mm, 2),
        "of": OF,
        "right": expect.right,
        "short": expect.short,
        "too_much": expect.too_much,
    }


def _runner_fields(runner: RunnerUp) -> Form:
    return {
        "do": [_step_fields(step) for step in runner.steps],
        "why_not_first": card.why_not_words(runner),
    }
