"""Plate 3: the ring round the needle at every opening, against the hole of the main jet."""

from __future__ import annotations

from floatbowl.belief.belief import Belief
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.cutaway_shape import Frame
from floatbowl.draw.insets import needle_mm
from floatbowl.draw.marks import line, path, text
from floatbowl.draw.plate_window import window
from floatbowl.draw.say_bar import pattern_of
from floatbowl.draw.section import Section
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Point, Svg, element, picture, plain
from floatbowl.words.chart import Rings
from floatbowl.words.drawing import SQUARE_MM

STYLE = (
    ".ring-hole{fill:none;stroke:var(--main-line);stroke-width:calc(4px*var(--thick))}"
    ".mk-gap{fill:var(--paper);stroke:var(--ink);stroke-width:calc(1.2px*var(--thick))}"
    ".ring-raised{fill:none;stroke:var(--ink);stroke-width:calc(1.4px*var(--thick));stroke-dasharray:5 3}"
)

WIDE, TALL = 680.0, 500.0
_LEFT, _STEP = 206.0, 79.0
_DISC_Y, _DISC = 70.0, 31.0
_FOOT, _HIGHEST = 440.0, 190.0
"""Foot of the bars, and the y of the highest bar that is drawn to its full height."""
_BAR = 50.0


def ring_plate(belief: Belief, rings: Rings) -> Svg:
    """Draw discs of the jet's mouth over bars of the ring's area; dashed: one groove higher."""
    section, travel = set_out(belief.bike, belief.setup, belief=belief)
    scale = 2.0 * _DISC / section.jet.mm
    drawn: list[Svg] = []
    for i, at in enumerate(RUNGS):
        x = _LEFT + _STEP * i + _BAR / 2
        needle = min(needle_mm(belief.bike, belief.setup, travel.at(at.opening)), section.jet.mm)
        drawn += [_mouth(x, needle * scale / 2, section.jet.mm * scale / 2), *_bar(rings, i, at, x)]
    told = [
        f"{at.value}: ring {rings.now[i]:.2f} {SQUARE_MM}, one groove higher {rings.raised[i]:.2f}"
        for i, at in enumerate(RUNGS)
    ]
    return picture(
        *_in_the_jet(belief, section, travel.at(Rung.QUARTER.opening)),
        *drawn,
        *_hole(rings),
        view=(0.0, 0.0, WIDE, TALL),
        title="The ring round the needle, against the hole of the main jet",
        described=f"{'; '.join(told)}. Hole of the main jet {rings.hole:.2f} {SQUARE_MM}.",
        class_="plate",
    )


_SHOWN = 100.0
_TOP = 4.0


def _in_the_jet(belief: Belief, s: Section, lift: float) -> list[Svg]:
    """Draw the needle in its jet at 1/4, cut from the cut-away, and name what fuel passes on its way up."""
    low, high = s.main_jet_foot.mm - 1.0, s.jet_rise.mm + 0.22 * s.bore.mm
    scale = (_FOOT - _TOP) / (high - low)
    half = _SHOWN / scale / 2.0
    frame = Frame(-half, low, half, high, scale)
    x = 0.5 * s.jet.mm
    named = (
        ("needle", (0.0, s.jet_rise.mm + 0.13 * s.bore.mm)),
        ("ring", (x - 0.05, s.jet_rise.mm - 0.6)),
        ("needle jet", (x + 0.6 * s.wall, -0.5 * s.bore.mm)),
        ("main jet", (s.main_jet.mm / 2 + 0.9 * s.wall, s.main_jet_foot.mm + 2.4 * s.wall)),
    )
    shown = window(belief, frame, lift_mm=lift, at=(2.0, _TOP), has_air=False)
    return [shown, *(_named(words, frame.place(at)) for words, at in named)]


def _named(words: str, at: Point) -> Svg:
    x, y = at[0] + 2.0, at[1] + _TOP
    end = _SHOWN + 8.0
    return element(
        "g",
        line((x, y), (end - 4.0, y), class_="bal-lead"),
        element("circle", cx=x, cy=y, r=3.0, class_="bal-dot"),
        text(end, y + 5.5, words, class_="mk-strong mk-halo"),
    )


def _mouth(x: float, needle: float, jet: float) -> Svg:
    return element(
        "g",
        element("circle", cx=x, cy=_DISC_Y, r=jet + 5.5, class_="ins-jet"),
        element("circle", cx=x, cy=_DISC_Y, r=jet + 5.5, class_="ins-fine"),
        element("circle", cx=x, cy=_DISC_Y, r=jet, class_="ins-ring"),
        element("circle", cx=x, cy=_DISC_Y, r=jet, class_="ins-fine"),
        element("circle", cx=x, cy=_DISC_Y, r=needle, class_="ins-needle"),
        element("circle", cx=x, cy=_DISC_Y, r=needle, class_="ins-fine"),
    )


def _per_mm2(rings: Rings) -> float:
    """Give units for a mm2: the line of the main jet stands a little under the middle."""
    return 0.42 * (_FOOT - _HIGHEST) / rings.hole


def _bar(rings: Rings, i: int, at: Rung, x: float) -> list[Svg]:
    per = _per_mm2(rings)
    tall, raised = (min(area * per, _FOOT - _HIGHEST) for area in (rings.now[i], rings.raised[i]))
    left, top = x - _BAR / 2, _FOOT - tall
    is_cut = rings.now[i] * per > _FOOT - _HIGHEST
    drawn = [
        element("rect", x=left, y=top, width=_BAR, height=tall, fill=pattern_of("needle"), class_="say-part"),
        element("rect", x=left - 5, y=_FOOT - raised, width=_BAR + 10, height=raised, class_="ring-raised"),
        text(x, _FOOT - max(tall, raised) - 8, f"{rings.now[i]:.2f}", class_="mk-strong", anchor="middle"),
        text(x, _FOOT + 24, at.value, class_="mk-strong mk-big", anchor="middle"),
    ]
    return [*drawn, _break(left, _HIGHEST + 22.0)] if is_cut else drawn


def _break(left: float, y: float) -> Svg:
    """Draw that a bar goes on higher than the paper."""
    wave = f"M{plain(left - 8)} {plain(y)}q18 -14 37 0t37 0v9q-18 14 -37 0t-37 0Z"
    return path(wave, class_="mk-gap")


def _hole(rings: Rings) -> list[Svg]:
    y = _FOOT - rings.hole * _per_mm2(rings)
    told = f"main jet's hole {rings.hole:.2f} {SQUARE_MM}"
    return [
        line((_LEFT - 10, y), (WIDE - 4, y), class_="ring-hole"),
        text(_LEFT - 10, y - 10, told, class_="mk-strong mk-halo"),
        line((_LEFT - 10, _FOOT), (WIDE - 4, _FOOT), class_="mk-line"),
        text(
            _LEFT - 10,
            _FOOT + 48,
            f"ring, {SQUARE_MM}; dashed: the needle one groove higher",
            class_="mk-pencil",
        ),
    ]
