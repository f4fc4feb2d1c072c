"""A day ahead in words: the rules for each part, what to take along and what to buy."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.advice.advice import Step
from floatbowl.advice.air_way import warmth_at
from floatbowl.advice.day_sheet import DaySheet, HourAhead
from floatbowl.advice.swaps import SwapLine
from floatbowl.belief.belief import OF
from floatbowl.bike.hour import clock
from floatbowl.bike.setup import PART_FIELDS
from floatbowl.jobs import DayFile
from floatbowl.units import FREEZING, HECTOPASCAL
from floatbowl.words.carry import KG, air_fields_of, place_words, ranged, rounded, tag_words, warmth_fields
from floatbowl.words.forms import Form, air_fields, form, setup_fields
from floatbowl.words.names import in_line
from floatbowl.words.steps import step_brief

NEAR = 5.0
"""Kelvin within which an hour may fall on either side of a swap line (judgement: what forecasts miss by)."""


def head_words(sheet: DaySheet) -> str:
    """Name the place and the day."""
    day = sheet.hours[0].hour.day
    date = f", {day.date}" if day.date else ""
    return f"{place_words(day.place)}, {day.height:,.0f} m{date}"


def hour_head(ahead: HourAhead) -> str:
    """Name an hour at the head of its line: ``13:00 second heat``."""
    return f"{clock(ahead.hour.minute)} {ahead.hour.what}".strip()


def air_words(ahead: HourAhead) -> str:
    """Say the air of an hour: ``8 °C, 973 hPa at the door, 85 % damp: 1.20 kg/m³``."""
    day = ahead.hour.day
    celsius = _degrees(day.temperature.value - FREEZING)
    pressure, damp = day.pressure.value / HECTOPASCAL, 100.0 * day.humidity.value
    return f"{celsius}, {pressure:.0f} hPa at the door, {damp:.0f} % damp: {ahead.thickness:.2f} {KG}"


def _degrees(celsius: float) -> str:
    return f"{rounded(celsius, 1.0):.0f} \u00b0C".replace("-", "\N{MINUS SIGN}")


# --- rules -------------------------------------------------------------------------------------------------


def rules(sheet: DaySheet) -> tuple[str, ...]:
    """Give the rules of the day, main first: one for the whole day, or one for each hour."""
    told: list[str] = []
    for part in dict.fromkeys(band.part for band in sheet.bands):
        told += _rules_of(sheet, part)
    return tuple(told) or ("Nothing at hand would serve better at any hour than what is fitted.",)


def _rules_of(sheet: DaySheet, part: str) -> list[str]:
    """Give one rule for all day where no hour is near a line, else one for each stretch of like hours."""
    stretches: list[tuple[list[HourAhead], SwapLine | None]] = []
    for ahead in sheet.hours:
        line = _nearest(sheet, part, ahead)
        if stretches and _are_alike(part, (stretches[-1][0][-1], stretches[-1][1]), (ahead, line)):
            stretches[-1][0].append(ahead)
        else:
            stretches.append(([ahead], line))
    if len(stretches) == 1 and stretches[0][1] is None:
        return [f"All day: {_do(sheet, part, sheet.hours[0].best[part])}{_counted(sheet.hours, part)}."]
    return [_rule(sheet, part, hours, line) for hours, line in stretches]


def _are_alike(
    part: str, one: tuple[HourAhead, SwapLine | None], other: tuple[HourAhead, SwapLine | None]
) -> bool:
    """Say whether two hours share a rule: near the same line at the same warmth, or near none and alike."""
    (before, line), (after, next_line) = one, other
    if line is None or next_line is None:
        return line is next_line and before.best[part] == after.best[part]
    return line == next_line and _line_told(before, line) == _line_told(after, line)


def _line_told(ahead: HourAhead, line: SwapLine) -> str:
    return _degrees(line_warmth(ahead, line) - FREEZING)


def _nearest(sheet: DaySheet, part: str, ahead: HourAhead) -> SwapLine | None:
    """Give the line that an hour may fall on either side of; None where none is near."""
    lines = [line for line in sheet.lines if line.part == part]
    away = {
        k: abs(line_warmth(ahead, line) - ahead.hour.day.temperature.value) for k, line in enumerate(lines)
    }
    nearest = min(away, key=away.__getitem__, default=None)
    return None if nearest is None or away[nearest] > NEAR else lines[nearest]


def line_warmth(ahead: HourAhead, line: SwapLine) -> float:
    """Give the kelvin of a line in the air of one hour."""
    day = ahead.hour.day
    return warmth_at(line.thickness.value, pressure=day.pressure.value, humidity=day.humidity.value)


def _rule(sheet: DaySheet, part: str, hours: Sequence[HourAhead], line: SwapLine | None) -> str:
    before = f"before {in_line(tuple(_named(ahead) for ahead in hours))}"
    if line is None:
        return f"{_upper(before)}: {_do(sheet, part, hours[0].best[part])}{_counted(hours, part)}."
    cold_part, warm_part = (_do(sheet, part, stamp) for stamp in (line.thick, line.thin))
    return f"Under {_line_told(hours[0], line)} {before}: {cold_part}; over it {warm_part}."


def _named(ahead: HourAhead) -> str:
    time = clock(ahead.hour.minute)
    return f"your {ahead.hour.what} ({time})" if ahead.hour.what else time


def _do(sheet: DaySheet, part: str, stamp: str | float) -> str:
    """Say what the hand does about a part: ``fit main 165``, ``clip in groove 3``, ``leave main 160``."""
    brief = step_brief(Step(part, stamp, stamp), sheet.here.bike)
    if stamp == getattr(sheet.here.setup, PART_FIELDS[part]):
        return f"leave {brief}"
    return f"fit {brief}" if part in {"main", "pilot"} else brief


def _counted(hours: Sequence[HourAhead], part: str) -> str:
    """Say how many of the twenty want the main that is best then; the other parts are not counted."""
    if part != "main":
        return ""
    counts = [dict(ahead.mains).get(str(ahead.best[part]), 0) for ahead in hours]
    return f" ({min(counts)} in {OF}{' or more' if min(counts) < max(counts) else ''})"


# --- what to take along ------------------------------------------------------------------------------------


def pack_words(sheet: DaySheet) -> str:
    """Say what to take along from the drawer, and what to buy."""
    mains = in_line(sheet.pack)
    told = [f"Take along main {mains}." if sheet.pack else "No other main need come along."]
    if sheet.buy:
        parts = in_line(tuple(step_brief(step, sheet.here.bike) for step in sheet.buy))
        told.append(f"To buy, as it would serve much better there: {parts}.")
    return " ".join(told)


TWENTY = "Each line is one of twenty likely days; each count is of twenty likely bikes, one on each."
FOUR_HOURS = "Four hours of the forecast, three numbers each. A row without numbers is left out."
MAIN_FIRST = (
    "The main comes first, with everything else as it is fitted now; each further part is weighed with those "
    "above it done for the middle of the day."
)


def notes(read: DayFile) -> tuple[str, ...]:
    """Give a sentence for everything in a day file that a person may want to look at again."""
    return (*(doubt.sentence() for doubt in read.doubts), *(key.sentence() for key in read.unknown))


# --- the form ----------------------------------------------------------------------------------------------


def lines_head(sheet: DaySheet) -> str:
    """Head the swap lines with the pressure at which they are told."""
    return f"Swap lines, at {sheet.pressure / HECTOPASCAL:.0f} hPa at the door"


def line_words(sheet: DaySheet, line: SwapLine) -> str:
    """Say one line on the thermometer: ``Main 165 under 27 °C, main 162 over it (16 in 20: 1 to 37)``."""
    thin, thick = (step_brief(Step(line.part, one, one), sheet.here.bike) for one in (line.thin, line.thick))
    value, _, doubt = ranged(warmth_fields(line.there), ".0f").partition(" (")
    return f"{_upper(thick)} under {value} \u00b0C, {thin} over it (16 in {OF}: {doubt}"


def day_form(sheet: DaySheet, *, tag: str | None = None) -> Form:
    """Give the day sheet; every swap line to the digit shown. Under a stop ``tag`` no jet is advised."""
    told = () if tag else rules(sheet)
    return form(
        "day",
        bike=sheet.here.bike.name,
        words=tag_words(tag) or " ".join(told),
        of=OF,
        setup=setup_fields(sheet.here.setup),
        hours=[_hour_fields(ahead) for ahead in sheet.hours],
        pressure_hpa_at_door=round(sheet.pressure / HECTOPASCAL, 1),
        swaps=[_line_fields(sheet, line) for line in sheet.lines],
        rules=list(told),
        pack=[] if tag else list(sheet.pack),
        buy=[] if tag else [{"part": s.part, "from": s.before, "to": s.after} for s in sheet.buy],
    )


def _hour_fields(ahead: HourAhead) -> Form:
    return {
        "time": clock(ahead.hour.minute),
        "what": ahead.hour.what,
        "air": air_fields(ahead.hour.day),
        "air_kg_m3": round(ahead.thickness, 2),
        "twenty_kg_m3": [round(float(thick), 3) for thick in ahead.twenty],
        "mains": [{"main": stamp, "count": count} for stamp, count in ahead.mains],
        "best": [{"part": part, "stamp": stamp} for part, stamp in ahead.best.items()],
    }


def _line_fields(sheet: DaySheet, line: SwapLine) -> Form:
    return {
        "part": line.part,
        "thin": line.thin,
        "thick": line.thick,
        "words": line_words(sheet, line),
        "air_kg_m3": air_fields_of(line.thickness),
        "temperature_c": warmth_fields(line.there),
    }


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
