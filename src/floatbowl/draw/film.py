"""The film: the slide opens and closes, and with it go air, fuel by passage, say and the bowl's level.

A frame is the cut-away at that lift, with what has the say under it; two setups
stand side by side. What moves is written with its values along the lift, as in
``moving``; ``animated`` makes of one frame a picture that moves by itself, in
the same times as the frames of a video file have.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.belief.belief import PARTS, Belief
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.cutaway import cutaway
from floatbowl.draw.cutaway_spray import rate
from floatbowl.draw.marks import text
from floatbowl.draw.moving import Travel, table
from floatbowl.draw.say_bar import pattern_of
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Svg, element, joined, picture, plain
from floatbowl.words import film as words

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from floatbowl.bike.setup import Setup

STYLE = (
    ".film-still{display:none}"
    "@media (prefers-reduced-motion:reduce){.film-still{display:inline}.film-moving{display:none}}"
    ".film-level{fill:var(--bore)}"
    ".film-surface{fill:none;stroke:var(--fuel-line);stroke-width:calc(1.6px*var(--thick))}"
)

SECONDS = 8.0
"""From shut to full, a rest there, back, and a rest at shut."""
RATE = 25
"""Frames a second."""
_UP, _REST, _DOWN = 0.40, 0.50, 0.90
"""When it is full, when it begins to close, when it is shut again: shares of the whole time."""
STILL = 0.25
"""How far the slide is open for who wants no motion: a quarter, where most is heard."""

_TOP, _BAR, _GAP, _SIDE = 72.0, 26.0, 40.0, 24.0
_DROP_MM = 1.2
"""How far the level is drawn to sink at full opening, mm in a bore of 26: a picture, no sum."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One carburettor of a film: its belief, the setup in it, and who has the say by rung, (rung, part)."""

    belief: Belief
    setup: Setup
    say: NDArray[np.float64]


def shares() -> tuple[float, ...]:
    """Give how far the slide is open in each frame, 0 to 1: the same coming down as going up."""
    count = round(SECONDS * RATE)
    return tuple(share_at(frame / count) for frame in range(count))


def share_at(time: float) -> float:
    """Give how far the slide is open at a share of the whole time.

    >>> [round(share_at(time), 6) for time in (0.0, 0.2, 0.45, 0.7, 0.95)]
    [0.0, 0.5, 1.0, 0.5, 0.0]
    """
    return float(np.interp(time, (0.0, _UP, _REST, _DOWN, 1.0), (0.0, 1.0, 1.0, 0.0, 0.0)))


def film_frame(scenes: Sequence[Scene], share: float) -> Svg:
    """Draw one frame: every scene with its slide open by this share of its way."""
    drawn = [_scene(scene, share) for scene in scenes]
    left, placed = _SIDE, []
    for one, wide, _ in drawn:
        placed.append(element("g", one, transform=f"translate({plain(left)} 0)"))
        left += wide + _GAP
    whole = left - _GAP + _SIDE
    high = max(high for _, _, high in drawn)
    told = words.film_told([(scene.belief, scene.setup) for scene in scenes])
    return picture(*placed, view=(0.0, 0.0, whole, high), title=words.TITLE, described=told, class_="film")


def _scene(scene: Scene, share: float) -> tuple[Svg, float, float]:
    """Draw one scene, and give how wide and how high it is."""
    belief, bike = scene.belief, scene.belief.bike
    section, travel = set_out(bike, scene.setup, belief=belief)
    now = Travel(travel.shut, travel.full, travel.at(share))
    drawing = cutaway(bike, scene.setup, lift_mm=now.lift, belief=belief, crop="phone")
    _, _, wide, tall = (float(x) for x in re.findall(r'viewBox="(\S+) (\S+) (\S+) (\S+)"', drawing)[0])
    scale = float(re.findall(r'data-scale="(\S+)"', drawing)[0])
    drop = _DROP_MM * section.grown * scale
    head = text(0.0, 22.0, f"{bike.name}, setup {scene.setup.number}", class_="mk-strong")
    inside = (
        head,
        *_where(now, wide),
        _windowed(_sinking(drawing, now, drop), wide, tall),
        *_say(scene, now, wide=wide, top=_TOP + tall + 30.0),
    )
    return element("g", *inside), wide, _TOP + tall + 30.0 + _BAR + 40.0


def _windowed(drawing: Svg, wide: float, tall: float) -> Svg:
    """Set a picture in, cut off at its edges; a picture in a picture would keep a time of its own."""
    opening, inside = drawing.removesuffix("</svg>").split(">", 1)
    name = f"film-window-{plain(wide)}-{plain(tall)}"
    stops = " ".join(re.findall(r'data-(?:shut|full)-lift="[^"]*"', opening))
    frame = element("clipPath", element("rect", width=wide, height=tall), id=name)
    held = Svg(f'<g {stops} clip-path="url(#{name})">{_UNSAID.sub("", inside)}</g>')
    return element("g", frame, held, transform=f"translate(0 {plain(_TOP)})")


_UNSAID = re.compile(r"<title>.*?</title>(?:<desc>.*?</desc>)?", flags=re.DOTALL)
"""What a picture tells; the film tells it once for the whole."""


def _where(travel: Travel, wide: float) -> Iterator[Svg]:
    """Draw how far it is open as a bar that grows along the names of the rungs."""

    def length(lift: float) -> float:
        return wide * (lift - travel.shut) / (travel.full - travel.shut)

    yield element("rect", x=0.0, y=36.0, width=wide, height=8.0, class_="rung-band")
    yield element(
        "rect",
        x=0.0,
        y=36.0,
        width=length(travel.lift),
        height=8.0,
        class_="cut-push",
        data_table=table((travel.shut, travel.full), length),
        data_sets="width",
    )
    for at in RUNGS:
        anchor = {Rung.SHUT: "start", Rung.FULL: "end"}.get(at, "middle")
        yield text(wide * at.opening, 60.0, at.value, class_="mk-pencil", anchor=anchor)


def _sinking(drawing: Svg, travel: Travel, drop: float) -> Svg:
    """Let the level in the bowl sink as fuel is drawn: air over it, and its surface lower."""
    found = re.search(r'<path d="M(\S+) (\S+)L(\S+) \S+" class="cut-surface"/>', drawing)
    if found is None:
        return drawing
    left, top, right = (float(x) for x in found.groups())
    steps = travel.steps(1.0)

    def sunk(lift: float) -> float:
        return drop * (rate(travel, lift) - rate(travel, travel.shut))

    band = element(
        "rect",
        x=left,
        y=top,
        width=right - left,
        height=sunk(travel.lift),
        class_="film-level",
        data_table=table(steps, sunk),
        data_sets="height",
    )
    surface = element(
        "path",
        d=f"M{plain(left)} {plain(top)}H{plain(right)}",
        class_="film-surface",
        transform=f"translate(0 {sunk(travel.lift):.2f})",
        data_table=table(steps, sunk),
        data_sets="down",
    )
    return Svg(drawing.replace(found[0], band + surface, 1))


def _say(scene: Scene, travel: Travel, *, wide: float, top: float) -> Iterator[Svg]:
    """Draw who has the say as a bar whose fields grow and shrink, each over the next one."""
    ends = np.cumsum(scene.say, axis=1) / scene.say.sum(axis=1, keepdims=True)
    for number, part in reversed(tuple(enumerate(PARTS))):

        def end(lift: float, number: int = number) -> float:
            return wide * float(np.interp(lift, travel.rungs, ends[:, number]))

        yield element(
            "rect",
            x=0.0,
            y=top,
            width=end(travel.lift),
            height=_BAR,
            fill=pattern_of(part),
            class_="say-part",
            data_table=table(travel.rungs, end),
            data_sets="width",
        )
    yield text(0.0, top - 8.0, words.SAY, class_="mk-pencil")
    for place, part in enumerate(PARTS):
        x = place * wide / len(PARTS)
        yield element(
            "rect",
            x=x,
            y=top + _BAR + 10.0,
            width=18.0,
            height=18.0,
            fill=pattern_of(part),
            class_="say-part",
        )
        yield text(x + 24.0, top + _BAR + 25.0, words.SAYERS[part], class_="mk-pencil")


# --- moving by itself --------------------------------------------------------------------------------------


def animated(scenes: Sequence[Scene]) -> Svg:
    """Make a picture that moves by itself, and rests for who asked the system for no motion."""
    still, moving = film_frame(scenes, STILL), film_frame(scenes, 0.0)
    opening, rest = moving.split(">", 1)
    inside = rest.removesuffix("</svg>")
    head = re.match(r"(?:<title>.*?</title>)?(?:<desc>.*?</desc>)?", inside, flags=re.DOTALL)
    told = head[0] if head else ""
    stands = still.split(">", 1)[1].removesuffix("</svg>").removeprefix(told)
    groups = joined(
        (
            element("g", Svg(stands), class_="film-still"),
            element("g", Svg(_moved(inside.removeprefix(told))), class_="film-moving"),
        )
    )
    return Svg(f"{opening}>{told}{groups}</svg>")


_MOVES = re.compile(r"<(?P<tag>path|g|rect|text)(?P<told>(?: [\w-]+=\"[^\"]*\")*)(?P<end>/?)>")
_NUMBER = re.compile(r'<text[^>]* data-sets="text"[^>]*>[^<]*</text>')
_SCALED = re.compile(r" scale\([^)]*\)(?=\")")
"""What stands in a transform and is moved: what is written behind it would multiply it."""
_TOLD = re.compile(r' ([\w-]+)="([^"]*)"')


def _moved(markup: str) -> str:
    """Write into everything that moves how it does, in the language of SVG itself (SMIL).

    Numbers cannot move in it: they are left out, the shares stand in the triangles' areas.
    """
    travels: list[Travel] = []

    def write(found: re.Match[str]) -> str:
        told = dict(_TOLD.findall(found["told"]))
        if "data-shut-lift" in told:
            travels.append(Travel(float(told["data-shut-lift"]), float(told["data-full-lift"]), 0.0))
        how = _how(told, travels[-1] if travels else None)
        if not how:
            return found[0]
        stands = _SCALED.sub("", found["told"])
        return f"<{found['tag']}{stands}>{how}" + (f"</{found['tag']}>" if found["end"] else "")

    return _MOVES.sub(write, _NUMBER.sub("", markup))


def _how(told: dict[str, str], travel: Travel | None) -> str:
    """Give the animation of one element; nothing where it stands still."""
    if "data-full" in told:
        shut, full = (_with_numbers(told["d"], told[f"data-{end}"]) for end in ("shut", "full"))
        return _animate("d", [(0.0, shut), (1.0, full)])
    if travel is not None and "data-rise" in told:
        by = float(told["data-rise"])
        ends = [(share, f"0 {plain(-by * travel.at(share))}") for share in (0.0, 1.0)]
        return _animate("transform", ends, kind="translate")
    if "data-table" in told and told["data-sets"] in _SETS:
        rows = [pair.split(":") for pair in told["data-table"].split()]
        low, high = float(rows[0][0]), float(rows[-1][0])
        return _SETS[told["data-sets"]](
            [((float(at) - low) / (high - low), float(value)) for at, value in rows]
        )
    return ""


def _with_numbers(d: str, numbers: str) -> str:
    """Put other numbers into a path's ``d``; its letters stay."""
    given = iter(numbers.split())
    return re.sub(r"-?\d+(?:\.\d+)?", lambda _: next(given), d)


def _animate(
    name: str, values: Sequence[tuple[float, str]], *, kind: str = "", is_added: bool = False
) -> str:
    """Write values by the share of the way as values by time: up, a rest, down, a rest."""
    up = [(_UP * share, value) for share, value in values]
    down = [(_DOWN - (_DOWN - _REST) * share, value) for share, value in reversed(values)]
    steps = [*up, *down, (1.0, values[0][1])]
    tag = "animateTransform" if kind else "animate"
    return str(
        element(
            tag,
            attributeName=name,
            type=kind or None,
            additive="sum" if is_added else None,
            dur=f"{plain(SECONDS)}s",
            repeatCount="indefinite",
            keyTimes=";".join(f"{time:.4f}" for time, _ in steps),
            values=";".join(value for _, value in steps),
        )
    )


_SETS: dict[str, Callable[[list[tuple[float, float]]], str]] = {
    "scale": lambda values: _animate(
        "transform", [(at, f"{value:.3f}") for at, value in values], kind="scale", is_added=True
    ),
    "opacity": lambda values: _animate("opacity", [(at, f"{value:.3f}") for at, value in values]),
    "width": lambda values: _animate("width", [(at, plain(value)) for at, value in values]),
    "height": lambda values: _animate("height", [(at, plain(value)) for at, value in values]),
    "down": lambda values: _animate(
        "transform", [(at, f"0 {plain(value)}") for at, value in values], kind="translate"
    ),
}
