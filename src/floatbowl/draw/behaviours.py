"""What a bike does, as a small sketch: engine speed over time above, the hand on the throttle below.

Where speed over time does not tell, a small drawing of the thing stands
instead. All are of one size and one hand, and none needs a language. On a
button that already has its words, hide the sketch from screen readers.
"""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.draw.marks import path
from floatbowl.draw.svg import Point, Svg, picture, plain
from floatbowl.signs.trial import Behaviour
from floatbowl.words.names import BEHAVIOURS, DID

STYLE = (
    ".beh-engine,.beh-hand,.beh-should,.beh-base,.beh-star,.beh-thing{fill:none;stroke-linecap:round;"
    "stroke-linejoin:round}"
    ".beh-engine{stroke:var(--ink);stroke-width:calc(2.8px*var(--thick))}"
    ".beh-thing{stroke:var(--ink);stroke-width:calc(2px*var(--thick))}"
    ".beh-hand{stroke:var(--pencil);stroke-width:calc(1.5px*var(--thick))}"
    ".beh-should{stroke:var(--pencil);stroke-width:calc(1.6px*var(--thick));stroke-dasharray:.1 4}"
    ".beh-base{stroke:var(--pencil);stroke-width:1px}"
    ".beh-star{stroke:var(--position);stroke-width:calc(2px*var(--thick))}"
    ".beh-fuel{fill:var(--fuel);stroke:var(--fuel-line);stroke-width:calc(1.5px*var(--thick));stroke-linejoin:round}"
    ".beh-soot{fill:var(--ink)}"
)

WIDE, TALL = 96.0, 60.0

_SNAPPED = "M6 56H26V47H90"
_STEADY = "M6 51H90"
_SHUT = "M6 47H30V56H90"
_HELD = "M6 47H90"
_AS_IT_SHOULD = "M26 34C34 34 38 11 50 9H90"
_NO_SPEED = "M4 41H92"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """Engine speed over time as a path, the hand below it, what it should do, and where it bangs or stops."""

    engine: str
    hand: str = ""
    should: str = ""
    stars: tuple[Point, ...] = ()
    stop: Point | None = None


_RUNS: dict[Behaviour, _Run] = {
    "clean": _Run(engine=f"M6 34H26{_AS_IT_SHOULD[6:]}", hand=_SNAPPED),
    "bogs": _Run(
        engine="M6 28H24C29 28 30 39 37 39C47 39 50 34 55 24C60 13 64 9 72 9H90",
        hand=_SNAPPED,
        should="M24 28C32 28 36 11 46 9H64",
    ),
    "stumbles": _Run(
        engine="M6 34H26C31 34 33 27 36 23L41 31L46 20L51 29L56 15C60 10 64 9 72 9H90", hand=_SNAPPED
    ),
    "surges": _Run(
        engine="M6 22C11 8 17 8 22 22S34 36 40 22S52 8 57 22S69 36 74 22S84 10 90 12", hand=_STEADY
    ),
    "thick": _Run(
        engine="M6 34H26l4-5l3 5l5-8l3 6l5-9l3 6l5-9l3 6l5-9l3 6l5-8l3 5l5-8l3 5l5-7l4 3",
        hand=_SNAPPED,
        should=_AS_IT_SHOULD,
    ),
    "flat": _Run(engine="M6 34H26C34 34 36 26 46 25H90", hand=_SNAPPED, should=_AS_IT_SHOULD),
    "pings": _Run(engine="M6 34H22C34 34 40 22 52 20H90", hand=_SNAPPED, stars=((50, 8), (64, 9), (78, 8))),
    "hangs": _Run(
        engine="M6 9H34C54 9 66 11 76 20S86 33 90 34", hand=_SHUT, should="M31 9C38 11 40 34 50 34H80"
    ),
    "dies": _Run(engine="M6 20H38C48 20 52 30 58 41", hand=_STEADY, stop=(68, 33)),
    "pops": _Run(engine="M6 9H30C39 9 40 31 56 34H90", hand=_SHUT, stars=((52, 17), (66, 22), (81, 17))),
    "hard start": _Run(
        engine="M6 41C9 28 13 28 16 41H25C28 28 32 28 35 41H44C47 28 51 28 54 41H63C67 18 70 12 77 12H90"
    ),
    "cuts out": _Run(engine="M6 14H48V41", hand=_HELD, stop=(62, 28)),
    "fades": _Run(engine="M6 11C28 11 46 15 62 24S82 34 90 36", hand=_HELD, should="M36 9H90"),
    "rest helps": _Run(
        engine="M6 11C18 11 23 22 29 41M60 41C64 22 67 12 75 11H90M41 19V33M49 19V33", hand=""
    ),
}


def behaviour_sketch(did: Behaviour) -> Svg:
    """Draw what a bike does, to stand beside its word or on its button."""
    drawn = _thing(did) if did in _THINGS else _run(_RUNS[did])
    return picture(
        *drawn, view=(0, 0, WIDE, TALL), title=DID[did], described=BEHAVIOURS[did], class_="beh-picture"
    )


def _run(run: _Run) -> list[Svg]:
    drawn = [path(_NO_SPEED, class_="beh-base")]
    drawn += [path(run.hand, class_="beh-hand")] if run.hand else []
    drawn += [path(run.should, class_="beh-should")] if run.should else []
    drawn.append(path(run.engine, class_="beh-engine"))
    drawn += [path(_star(star), class_="beh-star") for star in run.stars]
    drawn += [path(_cross(run.stop), class_="beh-star")] if run.stop else []
    return drawn


def _star(middle: Point) -> str:
    x, y = middle
    return f"M{plain(x - 5)} {plain(y)}h10m-7.5-4.3l5 8.6m0-8.6l-5 8.6"


def _cross(middle: Point) -> str:
    x, y = middle
    return f"M{plain(x - 5)} {plain(y - 5)}l10 10m0-10l-10 10"


# --- what is not told by speed over time -------------------------------------------------------------------

_BELL = "M92 14H64C56 14 52 9 49 4M92 44H64C56 44 52 49 49 54M78 14V26H90V14"
_PUFFS = "M44 29a6 6 0 0 1-9 5a7 7 0 0 1-12 0a6 6 0 0 1-6-9a6 6 0 0 1 8-7a7 7 0 0 1 12 0a6 6 0 0 1 7 11"
_BOWL = "M22 4V24Q22 34 32 34H64Q74 34 74 24V4M44 34v4h8v-4"
_BOWL_FUEL = "M23 14H73V24Q73 33 64 33H32Q23 33 23 24Z"
_PLUG = (
    "M4 24H26L30 21V37L26 34H4M12 24V34M19 24V34M30 16H46V42H30ZM38 16V42"
    "M46 22H72V36H46M51 22V36M56 22V36M61 22V36M66 22V36M72 26H79V32H72M72 22V14H88V25"
)
_SOOT = "M70 21C72 12 90 9 92 20C95 32 92 40 82 41C74 41 69 38 70 21Z"

_THINGS: tuple[Behaviour, ...] = ("spits", "drips", "fouls")


def _thing(did: Behaviour) -> list[Svg]:
    if did == "spits":
        gone = path("M12 29H2M7 23L1 29L7 35", class_="beh-star")
        return [path(_BELL, class_="beh-thing"), path(_PUFFS, class_="beh-thing"), gone]
    if did == "drips":
        fuel = path(_BOWL_FUEL, class_="beh-fuel")
        drops = [path(_drop(48, 46), class_="beh-fuel"), path("M36 58H60", class_="beh-fuel")]
        return [fuel, path(_BOWL, class_="beh-thing"), *drops]
    return [path(_SOOT, class_="beh-soot"), path(_PLUG, class_="beh-thing")]


def _drop(x: float, y: float) -> str:
    return f"M{plain(x)} {plain(y - 6)}c5 6 5 10 0 10s-5-4 0-10Z"
