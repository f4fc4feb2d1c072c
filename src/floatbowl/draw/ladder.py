"""The wide ladder of the bench: slide lift, who has the say, fuel against what it wants, what it did.

Everything stands at the slide's lift, to scale. To its left stands the bore's
own scale, much smaller; projection lines enlarge it as a draughtsman enlarges a
detail. Where that scale stands is told by ``BoreScale``, so that the cut-away
and the ladder share one system of coordinates: y grows downwards, one unit is
one pixel at the size the picture is made for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from floatbowl.belief.belief import PARTS
from floatbowl.bike.rung import Rung
from floatbowl.draw.marks import arrow_head, box, curve, line, moved_to, path, text, words_width, wrapped
from floatbowl.draw.moving import Swept, Travel, moving_path
from floatbowl.draw.rungs import REACH_PCT, across, beyond
from floatbowl.draw.say_bar import named, pattern_of
from floatbowl.draw.svg import Point, Svg, element, joined, line_path, picture, plain
from floatbowl.words.bench import Row
from floatbowl.words.ladder import DID_HERE, FUEL, MUCH_SIDE, SAY, SHORT_SIDE, ladder_description
from floatbowl.words.names import LETTER

STYLE = (
    ".lad-rung{fill:none;stroke:var(--rule);stroke-width:1px;opacity:.7}"
    ".lad-ray{fill:none;stroke:var(--pencil);stroke-width:.8px;opacity:.55}"
    ".lad-fan{fill:var(--band);opacity:.45}"
    ".lad-band{fill:var(--band)}"
    ".lad-close{fill:none;stroke:var(--pencil);stroke-width:calc(1px*var(--thick));stroke-dasharray:2 3}"
    ".lad-part{stroke:var(--ink);stroke-width:calc(1.2px*var(--thick));stroke-linejoin:round}"
    ".lad-one{fill:none;stroke:var(--ink);stroke-width:calc(1.15px*var(--thick));stroke-linejoin:round;opacity:.72}"
    ".lad-was{fill:none;stroke:var(--pencil);stroke-width:calc(.8px*var(--thick));opacity:.55}"
    ".lad-fit{fill:none;stroke:var(--fit);stroke-width:calc(1.5px*var(--thick));stroke-dasharray:9 4}"
    ".lad-grid{fill:none;stroke:var(--rule);stroke-width:.8px;opacity:.5}"
    ".lad-position{stroke:var(--position);stroke-width:calc(2.4px*var(--thick));fill:none}"
    ".lad-projected{stroke:var(--position);stroke-width:calc(2px*var(--thick));fill:none;"
    "stroke-dasharray:8 4}"
    ".lad-knob{fill:var(--position);stroke:var(--paper);stroke-width:2px}"
    ".lad-knob-mark{fill:none;stroke:var(--paper);stroke-width:calc(2px*var(--thick));stroke-linecap:round;"
    "stroke-linejoin:round}"
    ".lad-drop{fill:none;stroke:var(--fuel-line);stroke-width:calc(1.8px*var(--thick))}"
    ".lad-drop-full{fill:var(--fuel-line);stroke:var(--fuel-line);stroke-width:1.5px}"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoreScale:
    """Where the bore's true scale stands: its x, the y of the bore's floor, and units per mm.

    ``from_x`` is where the line from the slide's edge begins, left of the scale.
    """

    x: float
    floor_y: float
    per_mm: float
    from_x: float

    def y(self, lift_mm: float) -> float:
        """Give the height of a lift on the scale."""
        return self.floor_y - lift_mm * self.per_mm


LEFT_ROOM = 96.0
"""Room that the projection takes when no cut-away stands beside the ladder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where the ladder stands: its upper left corner (of the scale), and its size."""

    left: float = LEFT_ROOM
    top: float = 34.0
    height: float = 430.0
    scale_wide: float = 62.0
    say_wide: float = 172.0
    fuel_wide: float = 236.0
    did_wide: float = 188.0
    gap: float = 18.0

    @property
    def say_left(self) -> float:
        """Give where the chart of the say begins."""
        return self.left + self.scale_wide

    @property
    def fuel_left(self) -> float:
        """Give where the chart of the fuel begins."""
        return self.say_left + self.say_wide + self.gap

    @property
    def did_left(self) -> float:
        """Give where the remarks begin."""
        return self.fuel_left + self.fuel_wide + self.gap

    @property
    def right(self) -> float:
        """Give where the ladder ends."""
        return self.did_left + self.did_wide

    @property
    def bottom(self) -> float:
        """Give the y at which the slide is shut."""
        return self.top + self.height


FOOT = 54.0
"""Room below the frame for the axis and its words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """All that one wide ladder is drawn from; ``tried`` are the rows of a dry fit."""

    rows: Sequence[Row]
    travel: Travel
    bore: BoreScale
    frame: Frame = Frame()
    tried: Sequence[Row] | None = None

    def y(self, lift_mm: float) -> float:
        """Give the height of a lift on the ladder: linear, so that the browser may slide along it."""
        return self.frame.bottom - (lift_mm - self.travel.shut) * self.rise

    @property
    def rise(self) -> float:
        """Give how many units the ladder goes up for each mm of lift."""
        return self.frame.height / (self.travel.full - self.travel.shut)

    def rung_y(self, at: Rung) -> float:
        """Give the height of a rung."""
        return self.y(self.travel.at(at.opening))

    @property
    def shown(self) -> Sequence[Row]:
        """Give the rows that tell the say: those of the dry fit, where there is one."""
        return self.rows if self.tried is None else self.tried


def ladder_picture(rows: Sequence[Row], *, travel: Travel, tried: Sequence[Row] | None = None) -> Svg:
    """Draw the ladder by itself, with the bore's scale at its left edge."""
    frame = Frame()
    per_mm = 0.36 * frame.height / travel.full
    bore = BoreScale(x=14.0, floor_y=frame.top + 0.80 * frame.height, per_mm=per_mm, from_x=0.0)
    one = Ladder(rows=rows, travel=travel, bore=bore, frame=frame, tried=tried)
    return picture(
        ladder_drawing(one),
        view=(0, 0, frame.right, frame.bottom + FOOT),
        title=LADDER_TITLE,
        described=ladder_description(one.shown),
        class_="lad-picture",
    )


LADDER_TITLE = f"The ladder: {SAY}, {FUEL}, {DID_HERE}"


def ladder_drawing(one: Ladder) -> Svg:
    """Draw the ladder as a part of a larger picture, in that picture's own coordinates."""
    return element(
        "g",
        _heads(one.frame),
        _projection(one),
        _rungs(one),
        _say(one),
        _fuel(one),
        _position(one),
        *_say_names(one),
        *_counted_beyond(one),
        _did(one),
        class_="lad-all",
    )


def _heads(frame: Frame) -> Svg:
    y = frame.top - 14
    columns = ((frame.say_left, SAY), (frame.fuel_left, FUEL), (frame.did_left, DID_HERE))
    return joined(text(x, y, words, class_="mk-strong") for x, words in columns)


# --- the bore's scale, enlarged ----------------------------------------------------------------------------


def _projection(one: Ladder) -> Svg:
    bore, left = one.bore, one.frame.left
    rungs = [one.travel.at(row.at.opening) for row in one.rows]
    full, shut = one.travel.full, one.travel.shut
    corners = [(bore.x, bore.y(full)), (left, one.y(full)), (left, one.y(shut)), (bore.x, bore.y(shut))]
    ticks = "".join(f"M{plain(bore.x - 6)} {plain(bore.y(lift))}h6" for lift in rungs)
    spine = f"M{plain(bore.x)} {plain(bore.y(full))}V{plain(bore.y(shut))}"
    rays = "".join(line_path([(bore.x, bore.y(lift)), (left, one.y(lift))]) for lift in rungs)
    return element(
        "g",
        path(line_path(corners, is_closed=True), class_="lad-fan"),
        path(rays, class_="lad-ray"),
        path(spine + ticks, class_="mk-line"),
    )


def _rungs(one: Ladder) -> Svg:
    frame = one.frame
    drawn = []
    for row in one.rows:
        y = one.rung_y(row.at)
        drawn.append(line((frame.left, y), (frame.fuel_left + frame.fuel_wide, y), class_="lad-rung"))
        words = text(
            frame.say_left - 9, y + 6.5, row.at.value, class_="mk-strong mk-big mk-halo", anchor="end"
        )
        drawn.append(words)
    return element("g", *drawn)


# --- who has the say ---------------------------------------------------------------------------------------


def _say(one: Ladder) -> Svg:
    frame = one.frame
    edges = _say_edges(one)
    fields = [
        element("path", d=_between_edges(near, far), fill=pattern_of(part), class_="lad-part")
        for part, near, far in zip(PARTS, edges, edges[1:], strict=False)
    ]
    outline = box(frame.say_left, frame.top, frame.say_wide, frame.height, class_="mk-outline")
    return element("g", *fields, outline)


def _say_edges(one: Ladder) -> list[list[Point]]:
    """Give the five lines between the parts, from left to right, each from full down to shut."""
    frame = one.frame
    stacks = [(row, (0, *accumulate(row.say_pct))) for row in one.shown]
    return [
        [(frame.say_left + frame.say_wide * stack[k] / 100.0, one.rung_y(row.at)) for row, stack in stacks]
        for k in range(len(PARTS) + 1)
    ]


def _between_edges(near: list[Point], far: list[Point]) -> str:
    back = near[::-1]
    return f"{moved_to(far[0])}{curve(far)}L{plain(back[0][0])} {plain(back[0][1])}{curve(back)}Z"


def _widest(rows: Sequence[Row], k: int) -> Row:
    """Give the rung at which a part has most say."""
    return max(rows, key=lambda row: row.say_pct[k])


def _say_names(one: Ladder) -> list[Svg]:
    """Name each part where it is widest: in full where its name fits, else by its letter."""
    frame, drawn = one.frame, []
    for k, part in enumerate(PARTS):
        row = _widest(one.shown, k)
        wide = frame.say_wide * row.say_pct[k] / 100.0
        name = part if words_width(part) + 14 <= wide else LETTER[part]
        tab = words_width(name) + 12
        if tab > wide:
            continue
        x = frame.say_left + frame.say_wide * (sum(row.say_pct[:k]) + row.say_pct[k] / 2) / 100.0
        y = min(frame.bottom - 16, max(frame.top + 16, one.rung_y(row.at)))
        drawn.append(named(part, name, x, y, wide=tab))
    return drawn


# --- fuel against what it wants ----------------------------------------------------------------------------

_LANE = 24.0
"""Room at either side of the chart where the lines of those beyond its reach run."""


def _fuel_x(frame: Frame, off_pct: float) -> float:
    inner = across(off_pct, left=frame.fuel_left + _LANE, width=frame.fuel_wide - 2 * _LANE)
    if abs(off_pct) <= REACH_PCT:
        return inner
    return inner + (0.5 * _LANE if off_pct > 0 else -0.5 * _LANE)


def _fuel(one: Ladder) -> Svg:
    frame = one.frame
    outline = box(frame.fuel_left, frame.top, frame.fuel_wide, frame.height, class_="mk-outline")
    return element(
        "g",
        _band(one),
        _grid(frame),
        *_twenty(one),
        outline,
        _axis(frame),
    )


def _band(one: Ladder) -> Svg:
    left = [(_fuel_x(one.frame, -row.close_pct), one.rung_y(row.at)) for row in one.rows]
    right = [(_fuel_x(one.frame, row.close_pct), one.rung_y(row.at)) for row in one.rows]
    field = path(line_path([*left, *right[::-1]], is_closed=True), class_="lad-band")
    return joined((field, path(line_path(left) + line_path(right), class_="lad-close")))


def _grid(frame: Frame) -> Svg:
    places = [_fuel_x(frame, pct) for pct in (-15.0, -10.0, -5.0, 5.0, 10.0, 15.0)]
    lines = "".join(f"M{plain(x)} {plain(frame.top)}V{plain(frame.bottom)}" for x in places)
    middle = _fuel_x(frame, 0.0)
    return element(
        "g",
        path(lines, class_="lad-grid"),
        line((middle, frame.top), (middle, frame.bottom), class_="mk-centre"),
    )


def _twenty(one: Ladder) -> list[Svg]:
    if one.tried is None:
        return [_pencil_lines(one, one.rows, class_="lad-one")]
    return [
        _pencil_lines(one, one.rows, class_="lad-was"),
        _pencil_lines(one, one.tried, class_="lad-fit"),
    ]


def _pencil_lines(one: Ladder, rows: Sequence[Row], *, class_: str) -> Svg:
    """Draw the twenty, each a whole bike from full to shut."""
    drawn = []
    for which in range(len(rows[0].off_pct)):
        points = [(_fuel_x(one.frame, row.off_pct[which]), one.rung_y(row.at)) for row in rows]
        drawn.append(path(moved_to(points[0]) + curve(points), class_=class_))
    return element("g", *drawn)


def _counted_beyond(one: Ladder) -> list[Svg]:
    """Count those beyond the reach at each rung, on a tab in the lane that their lines run in."""
    frame, drawn = one.frame, []
    for row in one.shown:
        y = min(frame.bottom - 13, max(frame.top + 13, one.rung_y(row.at)))
        short, much = beyond(row.off_pct)
        drawn += [_beyond_tab(short, (frame.fuel_left, y), side=-1)] if short else []
        drawn += [_beyond_tab(much, (frame.fuel_left + frame.fuel_wide, y), side=1)] if much else []
    return drawn


_TAB_WIDE = 34.0


def _beyond_tab(count: int, edge: Point, *, side: int) -> Svg:
    x, y = edge
    left = x if side < 0 else x - _TAB_WIDE
    tab = box(left, y - 10, _TAB_WIDE, 20, class_="say-tab")
    words = text(x - side * 23, y + 5.5, f"{count}", class_="mk-strong", anchor="middle")
    return element("g", tab, arrow_head((x - side * 3, y), along=(side, 0)), words)


def _axis(frame: Frame) -> Svg:
    y = frame.bottom + 20
    marks = [
        text(_fuel_x(frame, pct), y, words, class_="mk-pencil", anchor="middle")
        for pct, words in ((-10.0, "\u221210 %"), (0.0, "0"), (10.0, "+10 %"))
    ]
    left, right = frame.fuel_left, frame.fuel_left + frame.fuel_wide
    sides = (
        _drop((left + 6, y + 16), class_="lad-drop"),
        text(left + 18, y + 24, SHORT_SIDE),
        text(right - 18, y + 24, MUCH_SIDE, anchor="end"),
        _drop((right - 6, y + 16), class_="lad-drop-full"),
    )
    return element("g", *marks, *sides)


def _drop(middle: Point, *, class_: str) -> Svg:
    x, y = middle
    return path(f"M{plain(x)} {plain(y - 7)}c7 8 6 16 0 16s-7-8 0-16Z", class_=class_)


# --- what it did -------------------------------------------------------------------------------------------

_LEADING = 18.0
_APART = 6.0
_REMARK_LINES = 3
"""Rungs at the foot of the ladder stand this many lines apart."""

Lines = list[tuple[str, str]]
"""Words with their weight."""


def _did(one: Ladder) -> Svg:
    """Write the remarks beside their rungs; from the foot up, those that would touch are moved apart."""
    drawn, free_above = [], one.frame.bottom
    for row in reversed([row for row in one.rows if row.heard]):
        lines = _remark_lines(row.heard, width=one.frame.did_wide - 16)
        tall = _LEADING * len(lines)
        top = max(one.frame.top, min(one.rung_y(row.at) - tall / 2, free_above - tall))
        drawn.append(_bracketed(one.frame, lines, top, tall))
        free_above = top - _APART
    return element("g", *drawn)


def _bracketed(frame: Frame, lines: Lines, top: float, tall: float) -> Svg:
    words = [
        text(frame.did_left + 16, top + _LEADING * i + 14, told, class_=f"mk-halo {weight}")
        for i, (told, weight) in enumerate(lines)
    ]
    bracket = f"M{plain(frame.did_left + 8)} {plain(top)}h-7v{plain(tall)}h7"
    return element("g", *words, path(bracket, class_="mk-outline"))


def _remark_lines(heard: Sequence[str], *, width: float) -> Lines:
    """Give the lines at a rung: one remark as what it did and how; more of them, one after the other."""
    if len(heard) == 1:
        did, _, how = heard[0].partition(", ")
        told = [(line, "mk-strong") for line in wrapped(did, width=width)] + [(how, "mk-pencil")]
    else:
        told = [(line, "mk-strong") for one in heard for line in wrapped(one, width=width)]
    if len(told) <= _REMARK_LINES:
        return told
    return [*told[: _REMARK_LINES - 1], (f"and {len(heard) - 1} more", "mk-pencil")]


# --- where the slide stands --------------------------------------------------------------------------------


def _position(one: Ladder) -> Svg:
    """Draw the line that the slide's lift draws through everything; the browser moves it."""
    shut, full = (_projected(one, lift) for lift in (one.travel.shut, one.travel.full))
    return element("g", moving_path(Swept(shut, full), one.travel, class_="lad-projected"), _crossing(one))


def _projected(one: Ladder, lift_mm: float) -> tuple[Point, ...]:
    y = one.bore.y(lift_mm)
    return (one.bore.from_x, y), (one.bore.x, y), (one.frame.left, one.y(lift_mm))


def _crossing(one: Ladder) -> Svg:
    """Draw knob and line at no lift, moved up to where the slide stands."""
    frame, y = one.frame, one.y(0.0)
    knob = (frame.left + 12, y)
    return element(
        "g",
        line((frame.say_left - 6, y), (frame.right, y), class_="lad-position"),
        element("circle", cx=knob[0], cy=knob[1], r=13, class_="lad-knob"),
        path(_chevrons(knob), class_="lad-knob-mark"),
        class_="lad-crossing",
        transform=f"translate(0 {plain(-one.travel.lift * one.rise)})",
        data_rise=f"{one.rise:.4f}",
    )


def _chevrons(middle: Point) -> str:
    x, y = middle
    up = f"M{plain(x - 5)} {plain(y - 2.5)}L{plain(x)} {plain(y - 7.5)}L{plain(x + 5)} {plain(y - 2.5)}"
    down = f"M{plain(x - 5)} {plain(y + 2.5)}L{plain(x)} {plain(y + 7.5)}L{plain(x + 5)} {plain(y + 2.5)}"
    return up + down
