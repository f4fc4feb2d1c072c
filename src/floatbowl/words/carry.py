"""A bike carried to another day and height, in words: what it does there, what to fit, its swap lines."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from floatbowl.advice.advice import Step
from floatbowl.advice.carry import Carried, Fit, Swap
from floatbowl.advice.swaps import Band, Range
from floatbowl.belief.belief import OF
from floatbowl.bike.bike import Bike
from floatbowl.bike.rung import RUNGS
from floatbowl.units import FREEZING, HECTOPASCAL
from floatbowl.words.bench import Row, bike_sentence, ladder
from floatbowl.words.care import care_lines
from floatbowl.words.dry_fit import rung_fields
from floatbowl.words.forms import Form, air_fields, form, setup_fields
from floatbowl.words.names import AT, in_line, mixture_screw
from floatbowl.words.steps import step_brief
from floatbowl.words.suspects import SUSPECTS

KG = "kg/m\u00b3"
MILD = "on a mild day"
HILL_STEP = 50.0
"""Metres: heights of swap lines are told by this; their spread is far wider."""
_SAME_AIR = 0.005
"""Share of its thickness within which nobody would call the air another (judgement)."""


# --- the head ----------------------------------------------------------------------------------------------


def place_words(place: str) -> str:
    """Name a place, or say that it has no name yet."""
    return "a place not named" if place == "not known" else place


def head_words(carried: Carried) -> str:
    """Say from where to where."""
    here, there = carried.here.day, carried.there.day
    first, then = (f"{place_words(day.place)}, {day.height:,.0f} m" for day in (here, there))
    return f"from {first}, to {then}"


def thickness_words(carried: Carried) -> str:
    """Say how thick the air is there against here: ``The air there is 9 % thicker than here: ...``."""
    here, there = carried.thickness_here, carried.thickness_there
    off = there / here - 1.0
    told = f"{there:.2f} against {here:.2f} {KG}"
    if abs(off) < _SAME_AIR:
        return f"The air there is as thick as here: {told}."
    return (
        f"The air there is {abs(off):.0%} {'thicker' if off > 0 else 'thinner'} than here: {told}.".replace(
            "%", " %"
        )
    )


def as_fitted_words(carried: Carried) -> str:
    """Say where it is off there with what is fitted now, and whether that may hurt the engine."""
    told = f"As it is fitted, there: {_lower(bike_sentence(carried.there))}"
    far = carried.bad_tail_count
    if far:
        told += (
            f" Of the {OF} likely bikes {far} {'is' if far == 1 else 'are'} far short of fuel at 3/4 or full."
        )
    return told


def care_words(carried: Carried) -> tuple[str, ...]:
    """Give the care lines where what is fitted may hurt the engine there."""
    if not any((carried.bad_tail_count, *(fit.bad_tail_count for fit in carried.fits))):
        return ()
    return care_lines(("two-stroke short" if carried.here.bike.engine.strokes == 2 else "far short",))  # noqa: PLR2004


def tag_words(tag: str | None) -> str:
    """Say that a stop tag hangs; empty where none does."""
    if tag is None:
        return ""
    fault = _lower(SUSPECTS[tag].name)
    return f"A stop tag hangs on it: {fault}. No jet puts that right at any height; mend it first."


# --- what to fit there -------------------------------------------------------------------------------------


def fit_words(carried: Carried, *, tag: str | None = None) -> tuple[str, ...]:
    """Say what to fit there, the best first; one sentence where nothing at hand would serve better.

    While a stop tag hangs nothing is said.
    """
    if tag is not None:
        return ()
    if not carried.fits:
        return ("Nothing at hand would serve better there than what is fitted.",)
    first, *others = carried.fits
    return (
        f"Fit there: {_fitted(first, carried.here.bike)}",
        *(f"Or only {_fitted(other, carried.here.bike)}" for other in others),
    )


def _fitted(fit: Fit, bike: Bike) -> str:
    parts = in_line(tuple(step_brief(step, bike) for step in fit.steps))
    least = min(RUNGS, key=lambda rung: fit.after.counts_at(rung)[1])
    right = fit.after.counts_at(least)[1]
    after = f"at least {right} in {OF} are" if right else "of the twenty not one is"
    where = f"at every opening, fewest {AT[least]}" if right else AT[least]
    return f"{parts}, {fit.minutes:.0f} minutes with the ride. Then {after} about right {where}."


def buy_words(carried: Carried, *, tag: str | None = None) -> str:
    """Say what would serve much better and is not at hand; empty where nothing is, and under a stop tag."""
    if tag is not None or not carried.buy:
        return ""
    parts = in_line(tuple(step_brief(step, carried.here.bike) for step in carried.buy))
    return f"To buy, as it would serve much better there: {parts}."


# --- the ladder there --------------------------------------------------------------------------------------


def rows_there(carried: Carried) -> tuple[Row, ...]:
    """Give the six rungs as they would be there, from full down to shut, against what they are here."""
    return tuple(_row(carried, row) for row in ladder(carried.there))


def _row(carried: Carried, row: Row) -> Row:
    here = carried.here.counts_at(row.at)[1]
    told = f"{AT[row.at]}, {row.right} in {OF} would be about right there; here it is {here}."
    return replace(row, right_before=here, sentence=told[:1].upper() + told[1:])


# --- swap lines --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One swap line in words: the two parts, and where it lies by each measure; empty where it is not met."""

    part: str
    """As a mechanic names it: ``main``, ``clip groove``, ``air screw``."""
    thin: str
    thick: str
    air: str
    height: str
    warmth: str
    by_rule: str
    sentence: str


NO_LINES = "No other part at hand would be the better bet anywhere."
WHAT_IS_EMPTY = "What you leave empty is assumed: a mild day at that height."
STROKES = "The strokes beside the bands show where the lines of 16 of the 20 likely bikes lie."
NAME_AND_HEIGHT = "Name the place and its height, and it is remembered."


def not_kept_words(place: str) -> str:
    """Say that a place is new."""
    return f"{place} is not among the places yet."


SWAP_HEADS = ("part", "thin", "thick", f"line, {KG}", "height, m", "\u00b0C there", "rule")
"""What stands in the columns of the swap lines."""
RANGES = (
    "Thin and thick: the better bet in thinner and in thicker air than the line, everything else as it is "
    f"fitted now. Heights {MILD}; warmth at the pressure there. In brackets: where 16 of the 20 likely bikes "
    "have the line."
)


def swap_rows(carried: Carried) -> tuple[Line, ...]:
    """Give the swap lines, main first, each from thin air to thick."""
    return tuple(_line(swap, carried) for swap in carried.swaps)


def _line(swap: Swap, carried: Carried) -> Line:
    bike = carried.here.bike
    thin, thick = (step_brief(Step(swap.part, swap.thin, stamp), bike) for stamp in (swap.thin, swap.thick))
    return Line(
        part={"screw": mixture_screw(bike), "clip": "clip groove"}.get(swap.part, swap.part),
        thin=_stamp(swap.thin),
        thick=_stamp(swap.thick),
        air=ranged(air_fields_of(swap.thickness), ".2f"),
        height=ranged(height_fields(swap.height), ",.0f"),
        warmth=ranged(warmth_fields(swap.warmth), ".0f"),
        by_rule="" if swap.by_rule is None else f"{swap.by_rule:.2f}",
        sentence=_swap_sentence(swap, carried, thin=thin, thick=thick),
    )


def _stamp(stamp: str | float) -> str:
    return stamp if isinstance(stamp, str) else f"{stamp:g}"


def ranged(fields: Form | None, digits: str) -> str:
    """Write a value with the range that holds 16 in 20: ``1,200 (500 to 1,800)``; nothing for none."""
    if fields is None:
        return ""
    low, high = (None if fields[end] is None else _plain(fields[end], digits) for end in ("low", "high"))
    value = _plain(fields["value"], digits)
    if low is None and high is None:
        return f"{value} (hardly sure)"
    if low is None:
        return f"{value} (up to {high})"
    return f"{value} ({low} and up)" if high is None else f"{value} ({low} to {high})"


def _plain(value: float, digits: str) -> str:
    return f"{value:{digits}}".replace("-", "\N{MINUS SIGN}")


def _swap_sentence(swap: Swap, carried: Carried, *, thin: str, thick: str) -> str:
    """Say one line in full: ``Main 165 below 850 m on a mild day, main 162 above; at Low Meadow ...``."""
    air = f"{_upper(thick)} in air thicker than {swap.thickness.value:.2f} {KG}, {thin} in thinner"
    told = []
    if swap.height is not None:
        told.append(f"{height_fields(swap.height)['value']:,.0f} m {MILD}")  # type: ignore[index]
    if swap.warmth is not None:
        warm = _plain(warmth_fields(swap.warmth)["value"], ".0f")  # type: ignore[index]
        pressure = carried.there.day.pressure.value / HECTOPASCAL
        told.append(f"{warm} \u00b0C at {pressure:.0f} hPa at the door")
    return f"{air}: the line lies at {' or '.join(told)}."


def rounded(value: float, step: float) -> float:
    """Round to a step; a nought has no sign."""
    return round(value / step) * step + 0.0


def air_fields_of(line: Range) -> Form:
    """Give a range of thickness, kg/m3, to the digit shown."""
    return _fields(line, lambda thick: round(thick, 2))


def height_fields(line: Range | None) -> Form | None:
    """Give a range of heights, m, to the digit shown."""
    return None if line is None else _fields(line, lambda metres: rounded(metres, HILL_STEP))


def warmth_fields(line: Range | None) -> Form | None:
    """Give a range of warmth, in degrees Celsius, to the digit shown."""
    return None if line is None else _fields(line, lambda kelvin: rounded(kelvin - FREEZING, 1.0))


def _fields(line: Range, write: Callable[[float], float]) -> Form:
    low, high = (None if end is None else write(end) for end in (line.low, line.high))
    return {"value": write(line.value), "low": low, "high": high}


# --- the bands up the hill ---------------------------------------------------------------------------------


def band_fields(bands: tuple[Band, ...]) -> list[Form]:
    """Give the mains by height from the lowest up, m; an end that is open is None."""
    rising = bands[::-1]
    return [
        {
            "main": band.stamp,
            "from_m": None if k == 0 else rounded(band.there[1], HILL_STEP),
            "to_m": None if k == len(rising) - 1 else rounded(band.there[0], HILL_STEP),
        }
        for k, band in enumerate(rising)
    ]


def bands_words(bands: tuple[Band, ...]) -> str:
    """Say the mains by height: ``Main 165 up to 850 m, 162 to 1,200 m, 160 above, on a mild day.``."""
    if not bands:
        return "No other main at hand would be the better bet at any height."
    if len(bands) == 1:
        return f"Main {bands[0].stamp} at any height."
    told = [f"{band['main']} {_up_to(band['to_m'])}" for band in band_fields(bands)]
    return f"Main {', '.join(told)}, {MILD}."


def _up_to(metres: float | None) -> str:
    return "above" if metres is None else f"up to {metres:,.0f} m"


# --- the rule beside it ------------------------------------------------------------------------------------


def rule_words(carried: Carried) -> str:
    """Say what the square-root rule would have it, and how we differ."""
    rule = carried.rule
    ours = [float(shift) for shift in rule.worked_out]
    told = f"As a check, the square-root rule says {_off(rule.shift)} everywhere with no part changed"
    if rule.main is not None:
        told += f", and main {rule.main:.0f} to mend it"
    least, most = _off(min(ours, key=abs)), _off(max(ours, key=abs))
    if least[-5:] == most[-5:]:
        least = least.split(" ", maxsplit=1)[0]
    return f"{told}. Worked out passage by passage it is {least} to {most}, by the opening."


def _off(shift: float) -> str:
    per_cent = 100.0 * math.expm1(shift)
    if abs(per_cent) < 0.5:  # noqa: PLR2004  (what rounds to nothing)
        return "no change"
    return f"{abs(per_cent):.0f} % {'too much' if per_cent > 0 else 'short'}"


# --- the form ----------------------------------------------------------------------------------------------


def carry_words(carried: Carried, *, tag: str | None = None) -> str:
    """Say the whole answer in a few sentences."""
    told = (
        tag_words(tag),
        thickness_words(carried),
        as_fitted_words(carried),
        *fit_words(carried, tag=tag),
        buy_words(carried, tag=tag),
    )
    return " ".join(words for words in told if words)


def carry_form(carried: Carried, *, tag: str | None = None) -> Form:
    """Give the whole answer; every swap line to the digit shown."""
    b = carried.here
    return form(
        "carry",
        bike=b.bike.name,
        words=carry_words(carried, tag=tag),
        of=OF,
        tag=tag,
        setup=setup_fields(b.setup),
        here={**air_fields(b.day), "air_kg_m3": round(carried.thickness_here, 2)},
        there={**air_fields(carried.there.day), "air_kg_m3": round(carried.thickness_there, 2)},
        rungs=[{**rung_fields(row), "right_here": row.right_before} for row in rows_there(carried)],
        far_short_count=carried.bad_tail_count,
        care=list(care_words(carried)),
        fits=[_fit_fields(fit) for fit in carried.fits] if tag is None else [],
        buy=[]
        if tag is not None
        else [{"part": s.part, "from": s.before, "to": s.after} for s in carried.buy],
        mains_by_height=band_fields(carried.mains),
        swaps=[
            _swap_fields(swap, line) for swap, line in zip(carried.swaps, swap_rows(carried), strict=True)
        ],
        rule=_rule_fields(carried),
    )


def _fit_fields(fit: Fit) -> Form:
    counts = {rung: fit.after.counts_at(rung) for rung in reversed(RUNGS)}
    return {
        "do": [{"part": step.part, "from": step.before, "to": step.after} for step in fit.steps],
        "minutes": round(fit.minutes),
        "far_short_count": fit.bad_tail_count,
        "rungs": [
            {"at": at.value, "short": short, "right": right, "too_much": much}
            for at, (short, right, much) in counts.items()
        ],
    }


def _swap_fields(swap: Swap, line: Line) -> Form:
    return {
        "part": swap.part,
        "thin": swap.thin,
        "thick": swap.thick,
        "words": line.sentence,
        "air_kg_m3": air_fields_of(swap.thickness),
        "height_m": height_fields(swap.height),
        "temperature_c": warmth_fields(swap.warmth),
        "by_rule_kg_m3": None if swap.by_rule is None else round(swap.by_rule, 2),
    }


def _rule_fields(carried: Carried) -> Form:
    rule = carried.rule
    return {
        "words": rule_words(carried),
        "off_pct": round(100.0 * math.expm1(rule.shift), 1),
        "worked_out_pct": {
            at.value: round(100.0 * math.expm1(float(shift)), 1)
            for at, shift in zip(RUNGS, rule.worked_out, strict=True)
        },
        "main": None if rule.main is None else round(rule.main, 1),
    }


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
