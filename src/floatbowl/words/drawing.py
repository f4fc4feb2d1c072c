"""What the cut-away says: names and values of its parts, its title, and how it is told to a screen reader."""

from __future__ import annotations

from collections.abc import Iterable

from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import SlideShape
from floatbowl.bike.shape import Contradiction
from floatbowl.record.trouble import Trouble, tell
from floatbowl.words.forms import Form, form
from floatbowl.words.names import in_line

ASSUMED = "assumed"
"""Stands under the value of whatever nobody has measured yet."""

AIR_IN, TO_ENGINE = "air in", "engine"

OPEN_TO_AIR = "open to the air"
ROUND_NEEDLE = "ring round the needle"
SQUARE_MM = "mm\N{SUPERSCRIPT TWO}"

NOT_KNOWN = "not known"

NEVER_TOLD = ("the outlines of body, bowl and slide",)
"""What no bike file holds: it follows from the bore and is pencilled on every drawing."""

_MOST_STAMP = 12
"""Letters of a stamp that fit beside the drawing."""


def across(mm: float) -> str:
    """Give a diameter: ``\N{LATIN CAPITAL LETTER O WITH STROKE} 2.60``."""
    return f"\N{LATIN CAPITAL LETTER O WITH STROKE} {mm:.2f}"


def needle_across(top: float, tip: float) -> str:
    """Give a needle by its thickest and thinnest: diameters in mm."""
    return f"{across(top)} to {tip:.2f}"


def stamp_words(stamp: str) -> str:
    """Give what is stamped on a part, cut short where it is long."""
    if stamp == "?":
        return NOT_KNOWN
    return stamp if len(stamp) <= _MOST_STAMP else f"{stamp[: _MOST_STAMP - 1]}\N{HORIZONTAL ELLIPSIS}"


def cutaway_words(mm: float) -> str:
    """Give a slide's cutaway in mm."""
    return f"cutaway {mm:.1f}"


def groove_words(clip: int, grooves: int) -> str:
    """Give the clip's groove."""
    return f"groove {clip} of {grooves}"


def turns_words(turns: float) -> str:
    """Give how far a screw is turned out."""
    return f"{turns:g} {'turn' if turns == 1 else 'turns'} out"


def level_words(below_mouth: float) -> str:
    """Give the fuel level by how far it stands below the needle jet's mouth, in mm."""
    return f"{below_mouth:.1f} below the jet"


def float_words(mm: float) -> str:
    """Give the float height in mm."""
    return f"height {mm:g}"


def ports_words(bypasses: int) -> str:
    """Name the pilot's ports."""
    return {0: "outlet", 1: "bypass and outlet"}.get(bypasses, f"{bypasses} bypasses, outlet")


def washer_words(mm: float) -> str:
    """Give the washer under the clip in mm."""
    return f"{mm:g} under the clip"


def percent_words(share: float) -> str:
    """Give a share of the fuel."""
    return f"{100.0 * share:.0f} %"


def area_words(square_mm: float, *, decimals: int) -> str:
    """Give an area in square millimetres."""
    return f"{square_mm:.{decimals}f} {SQUARE_MM}"


def cutaway_title(bike: Bike) -> str:
    """Give the title of the drawing."""
    return f"Cut-away of the carburettor of {bike.name}"


def opening_words(lift_mm: float, share: float) -> str:
    """Say how far the slide is open."""
    if share <= 0.0:
        return f"Slide shut, resting {lift_mm:.1f} mm open"
    if share >= 1.0:
        return f"Slide fully open, {lift_mm:.1f} mm"
    return f"Slide {lift_mm:.1f} mm open, {100.0 * share:.0f} % of its way"


def cutaway_telling(  # noqa: PLR0913  (what there is to tell)
    *,
    opening: str,
    parts: Iterable[tuple[str, str]],
    shares: tuple[float, float] | None,
    assumed: Iterable[str],
    troubles: Iterable[str],
    slide: SlideShape,
) -> str:
    """Tell the drawing: how far it is open, what is fitted, who brings the fuel, and what is assumed.

    ``shares`` are those of pilot and main; ``parts`` and ``assumed`` name what the labels name.
    """
    told = [
        f"Side view, cut through the middle, {slide} slide, air from the left, engine on the right",
        opening,
        "Fitted: " + ", ".join(f"{name} {value}" for name, value in parts),
    ]
    if shares is not None:
        pilot, main = shares
        told.append(
            f"Of the fuel, {percent_words(main)} comes through the main jet"
            f" and {percent_words(pilot)} through the pilot jet"
        )
    pencilled = in_line(tuple(dict.fromkeys((*assumed, *NEVER_TOLD))))
    told.append(f"Pencilled, because nobody has measured it: {pencilled}")
    return " ".join([". ".join(told) + ".", *troubles])


def trouble_lines(contradictions: Iterable[Contradiction]) -> tuple[str, ...]:
    """Tell the measures that cannot all be true: they are drawn as told, and that is said."""
    return tuple(Trouble(None, *tell(one)).sentence() for one in contradictions)


def drawn_words(file: str, *, bike: str) -> str:
    """Say where a drawing went."""
    return f"The cut-away of {bike} is in {file}."


def bore_telling(*, lift_mm: float, area: float) -> str:
    """Tell the bore as it is seen from the engine."""
    open_area = area_words(area, decimals=0)
    return f"The bore seen from the engine, slide {lift_mm:.1f} mm open: {open_area} are open."


def ring_telling(*, jet_mm: float, needle_mm: float, area: float, times: float) -> str:
    """Tell the ring round the needle, and how much it is enlarged."""
    return (
        f"Needle jet {jet_mm:.2f} mm, needle {needle_mm:.3f} mm in its mouth: the ring between them is"
        f" {area_words(area, decimals=2)}. Drawn {times:.0f} times its size."
    )


def times_words(times: float) -> str:
    """Say how much a picture is enlarged."""
    return f"{times:.0f} times its size"


def drawing_form(  # noqa: PLR0913  (the fields of the form, one each)
    *,
    bike: str,
    setup: int,
    lift_mm: float,
    share: float,
    open_mm2: float,
    ring_mm2: float,
    told: str,
    troubles: tuple[str, ...],
    file: str | None,
    svg: str | None,
) -> Form:
    """Give a drawing: where it is, or the picture itself, with its areas and its telling."""
    return form(
        "drawing",
        bike=bike,
        setup=setup,
        lift_mm=round(lift_mm, 3),
        opening_pct=round(100.0 * share, 1),
        open_mm2=round(open_mm2, 2),
        ring_mm2=round(ring_mm2, 4),
        words=told,
        troubles=list(troubles),
        file=file,
        svg=svg,
    )
