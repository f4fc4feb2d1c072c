"""Words of the picture of mains by height, and of the chart of a day ahead."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.advice.day_sheet import DaySheet
from floatbowl.advice.swaps import Band
from floatbowl.words.carry import bands_words
from floatbowl.words.day import air_words, hour_head, rules

HEIGHTS_TITLE = "Main by height"
DAY_TITLE = "The air of the day"
FITTED = "fitted"
CHART_HINT = (
    "Each thin line is one of twenty likely days. Between two thick lines stands the main that is the better "
    "bet; above a dashed line, the part it names. Under each hour: how many of the twenty want which main."
)
AIR_SIDE = "kg/m\u00b3"
WARM_SIDE = "\u00b0C"


def metres_words(metres: float) -> str:
    """Write a height: ``1,450 m``."""
    return f"{metres:,.0f} m"


def heights_told(bands: tuple[Band, ...], home: str, metres: float) -> str:
    """Read the picture of mains by height."""
    return f"{bands_words(bands)} {home} lies at {metres_words(metres)}."


def day_told(sheet: DaySheet) -> str:
    """Read the chart of a day: the air of each hour, then the rules."""
    hours = "; ".join(f"{hour_head(ahead)}, {air_words(ahead)}" for ahead in sheet.hours)
    return f"{hours}. {' '.join(rules(sheet))}"


def line_label(part: str, stamp: str | float) -> str:
    """Name what is the better bet above a line: ``clip 3``, ``screw 1.25``."""
    return f"{part} {stamp}" if isinstance(stamp, str) else f"{part} {stamp:g}"


def counted(mains: Sequence[tuple[str, int]], best: str | float) -> str:
    """Say how many of the twenty want a main: ``165: 17``."""
    return f"{best}: {dict(mains).get(str(best), 0)}"
