"""The cut-away: the carburettor of this bike in section, to one scale, from its own measures.

Drawn once; only what moves with the slide carries its two stops (see
``draw.moving``). Measured lines are inked, assumed ones pencilled and dashed.
The root says where the slide is: ``data-lift``, ``data-shut-lift``,
``data-full-lift`` in mm, ``data-scale`` in units for a millimetre, and
``data-floor``, the y of the bore's floor.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.draw import cutaway_body as casting
from floatbowl.draw import cutaway_bowl as bowl
from floatbowl.draw import cutaway_jets as jets
from floatbowl.draw.cutaway_air import LINES, streamlines
from floatbowl.draw.cutaway_choke import choke_shapes
from floatbowl.draw.cutaway_labels import Label, drawn_label, float_label, labels_of, placed
from floatbowl.draw.cutaway_needle import clip, needle
from floatbowl.draw.cutaway_shape import Frame, Shape, drawn
from floatbowl.draw.cutaway_slide import cable, coil_backs, coils, slide
from floatbowl.draw.cutaway_spray import Shares, shares_of, sprays
from floatbowl.draw.moving import Travel, moving_path, table
from floatbowl.draw.section import Section
from floatbowl.draw.stops import set_out
from floatbowl.draw.svg import Svg, element, line_path, picture, plain
from floatbowl.words import drawing as words

Crop = Literal["whole", "phone"]

STYLE = (
    ".cut-air{fill:var(--bore)}.cut-body,.cut-cap{fill:var(--metal)}.cut-choke{fill:var(--care)}.cut-steel{fill:var(--steel)}"
    ".cut-brass{fill:var(--brass)}.cut-fuel{fill:var(--fuel)}.cut-needle{fill:var(--paper)}"
    ".cut-mix{fill:var(--needle-field)}.cut-plate{fill:var(--ink)}.cut-ghost{fill:var(--paper);fill-opacity:.55}"
    ".cut-bowl-fuel .cut-fuel{fill-opacity:.62}"
    ".cut-open{fill:none}.cut-edge,.cut-fine{stroke:var(--ink);stroke-linejoin:round;stroke-linecap:round;"
    "stroke-width:calc(1.8px*var(--thick))}"
    ".cut-fine{stroke-width:calc(.9px*var(--thick))}"
    ".cut-edge.assumed,.cut-fine.assumed{stroke:var(--pencil);stroke-dasharray:4 3;stroke-linecap:butt}"
    ".cut-edge.assumed{stroke-width:calc(1.3px*var(--thick))}"
    ".cut-hidden{fill:none;stroke:var(--pencil);stroke-width:calc(.8px*var(--thick));stroke-dasharray:5 3}"
    ".cut-behind path{stroke:var(--pencil);stroke-width:calc(.9px*var(--thick));stroke-dasharray:7 3 1.5 3}"
    ".cut-surface{stroke:var(--fuel-line);stroke-width:calc(.9px*var(--thick))}"
    ".cut-screw{fill:var(--brass);stroke:var(--ink);stroke-width:calc(1.3px*var(--thick))}"
    ".cut-slot{stroke:var(--ink);stroke-width:calc(2.2px*var(--thick));stroke-linecap:round}"
    ".cut-centre{fill:none;stroke:var(--pencil);stroke-width:calc(.8px*var(--thick));"
    "stroke-dasharray:14 3 2.5 3}"
    ".cut-stream{fill:none;stroke:var(--air);stroke-width:calc(.9px*var(--thick));stroke-linecap:round;"
    "stroke-dasharray:17 3.5;opacity:.85}"
    ".cut-drop{fill:none;stroke:var(--fuel-line);stroke-linecap:round}"
    ".cut-push{fill:var(--fuel-line)}.cut-share{fill:var(--fuel-line)}"
    ".cut-cable{fill:none;stroke:var(--ink);stroke-width:calc(2px*var(--thick));stroke-dasharray:3.4 1.4}"
    ".cut-coil-back{fill:none;stroke:var(--steel);stroke-width:3.4px;stroke-linecap:round}"
    ".cut-coil-rim,.cut-coil{fill:none;stroke:var(--ink);stroke-linecap:round;stroke-width:9px}"
    ".cut-coil{stroke:var(--steel);stroke-width:6.8px}"
    ".cut-leader{fill:none;stroke:var(--ink);stroke-width:calc(.8px*var(--thick))}"
    ".cut-dot{fill:none;stroke:var(--ink);stroke-width:4.6px;stroke-linecap:round}"
    ".cut-name,.cut-value,.cut-share,.cut-way{font-family:Label,'Arial Narrow',sans-serif;font-size:16px;"
    "font-stretch:condensed;font-weight:600;fill:var(--ink)}"
    ".cut-value{font-size:15px;font-weight:500;fill:var(--pencil)}.cut-guess{font-style:italic}"
    ".cut-way{fill:var(--air)}.cut-arrow{stroke:var(--air);fill:none;stroke-width:calc(1.2px*var(--thick))}"
    ".cut-arrow-head{fill:var(--air)}"
    "@media (prefers-reduced-motion:no-preference){.cut-live .cut-stream{animation:cut-drift 1.9s linear"
    " infinite}}@keyframes cut-drift{to{stroke-dashoffset:-41}}"
)
"""Inks of the cut-away. Wide lines are twice as wide as narrow ones, as ISO 128-2 has it."""

WIDTHS: dict[Crop, float] = {"whole": 720.0, "phone": 390.0}
"""Units across the paper: one is a pixel at the size the picture is made for."""
MARGIN = 122.0
"""Units left and right for the labels."""
BARE_MARGIN = 8.0
"""The same where there are none."""


@dataclass(frozen=True, slots=True)
class Cutaway:
    """All that the drawing is made from, worked out once."""

    bike: Bike
    setup: Setup
    section: Section
    travel: Travel
    frame: Frame
    shares: Shares | None
    margin: float

    @property
    def labels(self) -> tuple[Label, ...]:
        """Give the labels, drawn or not: the telling names the same."""
        return labels_of(self.bike, self.setup, self.section)


def cutaway(  # noqa: PLR0913  (each is a choice of whoever draws)
    bike: Bike,
    setup: Setup,
    *,
    lift_mm: float | None = None,
    belief: Belief | None = None,
    crop: Crop = "whole",
    has_labels: bool = True,
    has_choke: bool = False,
) -> Svg:
    """Draw the cut-away.

    ``lift_mm`` is the slide's lift over the floor of the bore; the fuel's
    shares come from ``belief``, and without it no spray is drawn. Inks and
    patterns come from the page, or from ``draw.alone``.
    """
    is_labelled = has_labels and crop == "whole"
    margin = MARGIN if is_labelled else 0.0
    one = _cutaway(bike, setup, lift_mm=lift_mm, belief=belief, crop=crop, margin=margin)
    frame, travel = one.frame, one.travel
    return picture(
        *layers(one, has_choke=has_choke),
        *([_labels(one)] if is_labelled else []),
        view=(0.0, 0.0, frame.width, frame.height),
        title=words.cutaway_title(bike),
        described=_telling(one),
        class_="cut",
        data_lift=plain(travel.lift),
        data_shut_lift=f"{travel.shut:.4f}",
        data_full_lift=f"{travel.full:.4f}",
        data_scale=f"{frame.scale:.4f}",
        data_floor=frame.place((0.0, 0.0))[1],
    )


def layers(one: Cutaway, *, has_choke: bool = False, has_air: bool = True) -> tuple[Svg, ...]:
    """Draw all but the labels, from the back of the paper to the front."""
    return (
        _ground(one),
        *([_air(one)] if has_air else []),
        _standing(one),
        *([_choke(one)] if has_choke else []),
        _moving(one),
        *([_spray(one), _pushes(one)] if one.shares else []),
        _over(one),
    )


def _cutaway(  # noqa: PLR0913  (each is a choice of whoever draws)
    bike: Bike, setup: Setup, *, lift_mm: float | None, belief: Belief | None, crop: Crop, margin: float
) -> Cutaway:
    s, travel = set_out(bike, setup, lift_mm=lift_mm, belief=belief)
    return Cutaway(
        bike=bike,
        setup=setup,
        section=s,
        travel=travel,
        frame=frame_of(s, crop, margin=margin or BARE_MARGIN),
        shares=None if belief is None else shares_of(belief, travel),
        margin=margin,
    )


def cutaway_told(
    bike: Bike, setup: Setup, *, lift_mm: float | None = None, belief: Belief | None = None
) -> str:
    """Tell the drawing in words, as its description does."""
    return _telling(_cutaway(bike, setup, lift_mm=lift_mm, belief=belief, crop="whole", margin=MARGIN))


def frame_of(s: Section, crop: Crop, *, margin: float) -> Frame:
    """Choose the window: the whole, or for a phone the bore and what hangs below it."""
    left, right = -s.mouth_length.mm - 3.0 * s.grown, s.outlet_length.mm + 3.0 * s.grown
    bottom = bowl.bowl_bottom(s) - 1.6 * s.grown
    top = casting.cap_top(s) + 3.0 * s.grown if crop == "whole" else s.bore.mm + 3.5 * s.grown
    scale = (WIDTHS[crop] - 2.0 * margin) / (right - left)
    beside = margin / scale
    return Frame(left - beside, bottom, right + beside, top, scale)


def still_shapes(s: Section) -> tuple[Shape, ...]:
    """Give all parts that stand still and are cut, from the back of the paper to the front."""
    return (
        *casting.body(s),
        bowl.bowl(s),
        *bowl.gasket(s),
        *casting.air_passages(s),
        casting.pilot_gallery(s),
        *jets.bleed_annulus(s),
        *jets.fuel_columns(s),
        *jets.needle_jet(s),
        *jets.bleed_holes(s),
        *jets.main_jet(s),
        *jets.pilot_jet(s),
        *jets.air_jets(s),
        casting.cap(s),
    )


def moving_shapes(s: Section) -> tuple[Shape, ...]:
    """Give all parts that ride on the slide; heights are over its underside."""
    return (*slide(s), needle(s), *clip(s))


def _all(shapes: Iterable[Shape], frame: Frame) -> list[Svg]:
    return [drawn(shape, frame) for shape in shapes]


def _ground(one: Cutaway) -> Svg:
    """Draw what lies behind the cut: air, fuel, and float and valve as ghosts."""
    s, frame = one.section, one.frame
    surface = [frame.place((side * s.bowl_width.mm / 2, bowl.fuel_top(s))) for side in (-1.0, 1.0)]
    return element(
        "g",
        *_all((*casting.bore_air(s), bowl.bowl_air(s)), frame),
        element("g", drawn(bowl.fuel(s), frame), class_="cut-bowl-fuel"),
        element("path", d=line_path(surface), class_="cut-surface"),
        element("g", *_all((bowl.float_ghost(s), *bowl.float_valve(s)), frame), class_="cut-behind"),
    )


def _standing(one: Cutaway) -> Svg:
    return element("g", *_all(still_shapes(one.section), one.frame), *_hidden(one), _screw(one))


def _hidden(one: Cutaway) -> list[Svg]:
    lines = [[one.frame.place(point) for point in line] for line in casting.hidden_passage(one.section)]
    return [element("path", d=line_path(line), class_="cut-hidden") for line in lines]


def _screw(one: Cutaway) -> Svg:
    """Draw the mixture screw end on, its slot askew."""
    s, way = one.section, casting.Passages(one.section)
    x, y = one.frame.place((s.screw_x.mm, way.pilot_air if s.screw == "air" else way.gallery))
    radius = 1.6 * s.wall * one.frame.scale
    slot = line_path([(x - 0.7 * radius, y + 0.4 * radius), (x + 0.7 * radius, y - 0.4 * radius)])
    disc = element("circle", cx=x, cy=y, r=radius, class_="cut-screw")
    return element("g", disc, element("path", d=slot, class_="cut-slot"), data_part="screw")


def _choke(one: Cutaway) -> Svg:
    return element("g", *_all(choke_shapes(one.section), one.frame), class_="cut-choke", data_part="choke")


def _air(one: Cutaway) -> Svg:
    lines = [line.seen(one.frame.place) for line in streamlines(one.section)]
    return element(
        "g",
        *(moving_path(line, one.travel, class_="cut-stream") for line in lines),
        class_="cut-airs",
        data_lines=LINES,
    )


def _moving(one: Cutaway) -> Svg:
    """Draw spring and cable, which stretch, and slide and needle, which rise."""
    s, frame, travel = one.section, one.frame, one.travel
    backs = [moving_path(back.seen(frame.place), travel, class_="cut-coil-back") for back in coil_backs(s)]
    cuts = [
        moving_path(side.seen(frame.place), travel, has_dots=True, class_=class_)
        for side in coils(s)
        for class_ in ("cut-coil-rim", "cut-coil")
    ]
    rising = element(
        "g",
        *_all(moving_shapes(s), frame),
        class_="cut-moving",
        transform=f"translate(0 {plain(-travel.lift * frame.scale)})",
        data_rise=f"{frame.scale:.4f}",
    )
    hung = moving_path(cable(s).seen(frame.place), travel, class_="cut-cable")
    return element("g", *backs, *cuts, hung, rising)


def _spray(one: Cutaway) -> Svg:
    assert one.shares is not None  # noqa: S101  (drawn only where there are shares)
    tiers = []
    for tier in sprays(one.section, one.shares):
        seen = tier.seen(one.travel.lift)
        tiers.append(
            moving_path(
                tier.drops.seen(one.frame.place),
                one.travel,
                has_dots=True,
                class_="cut-drop",
                stroke_width=tier.size * one.frame.scale,
                opacity=seen,
                data_table=table(one.travel.steps(1.0), tier.seen),
                data_sets="opacity",
            )
        )
    return element("g", *tiers, class_="cut-spray")


def _pushes(one: Cutaway) -> Svg:
    """Draw a triangle under each jet: its area is that passage's share of the fuel."""
    s, shares = one.section, one.shares
    assert shares is not None  # noqa: S101  (as in _spray)
    rows = ((0.0, s.main_jet_foot.mm, shares.main), (s.pilot_x.mm, s.pilot_foot.mm, shares.pilot))
    return element(
        "g", *(_push(one, shares, x, foot, passage) for x, foot, passage in rows), class_="cut-pushes"
    )


def _push(one: Cutaway, shares: Shares, x: float, foot: float, passage: tuple[float, ...]) -> Svg:
    s, travel = one.section, one.travel
    left, top = one.frame.place((x, foot - 3.1 * s.wall))
    side = 1.9 * s.wall * one.frame.scale
    share = shares.at(travel.lift, passage)
    steps = travel.steps(0.5)
    triangle = element(
        "path",
        d=line_path([(0.0, -1.2 * side), (side, 0.55 * side), (-side, 0.55 * side)], is_closed=True),
        class_="cut-push",
        transform=f"translate({plain(left)} {plain(top)}) scale({sqrt(share):.3f})",
        data_table=table(steps, lambda lift: sqrt(shares.at(lift, passage))),
        data_sets="scale",
    )
    told = element(
        "text",
        words.percent_words(share),
        x=left + side + 6.0,
        y=top + 0.55 * side,
        class_="cut-share",
        data_table=table(steps, lambda lift: 100.0 * shares.at(lift, passage)),
        data_sets="text",
        data_decimals=0,
        data_unit=" %",
    )
    return element("g", triangle, told)


def _over(one: Cutaway) -> Svg:
    """Draw the centre line of the bore, which lies over all."""
    s, frame = one.section, one.frame
    half, middle = s.slide_width.mm / 2 + 0.6, s.bore.mm / 2
    left, right = -s.mouth_length.mm - 2.5 * s.grown, s.outlet_length.mm + 2.5 * s.grown
    runs = ((left, -half), (half, right))
    lines = [line_path([frame.place((a, middle)), frame.place((b, middle))]) for a, b in runs]
    return element("g", *(element("path", d=d, class_="cut-centre") for d in lines))


def _labels(one: Cutaway) -> Svg:
    column = placed(one.labels, one.frame)
    return element(
        "g",
        *_ways(one),
        *(drawn_label(label, one.frame, one.travel, margin=one.margin) for label in column),
        float_label(one.section, one.frame, column, margin=one.margin),
        class_="cut-labels",
    )


def _ways(one: Cutaway) -> list[Svg]:
    """Write where the air comes from and where it goes, with arrows in the margins."""
    y = one.frame.place((0.0, one.section.bore.mm / 2))[1]
    ends = ((words.AIR_IN, one.margin - 46.0), (words.TO_ENGINE, one.frame.width - one.margin + 4.0))
    found: list[Svg] = []
    for text, x in ends:
        found += [
            element("text", text, x=x, y=y - 7.0, class_="cut-way"),
            element("path", d=line_path([(x, y), (x + 34.0, y)]), class_="cut-arrow"),
            element(
                "path",
                d=line_path([(x + 42.0, y), (x + 33.0, y - 3.2), (x + 33.0, y + 3.2)], is_closed=True),
                class_="cut-arrow-head",
            ),
        ]
    return found


def _telling(one: Cutaway) -> str:
    lift, shares = one.travel.lift, one.shares
    labels = one.labels
    return words.cutaway_telling(
        opening=words.opening_words(lift, one.travel.share),
        parts=[(label.name, label.value) for label in labels],
        shares=None if shares is None else (shares.at(lift, shares.pilot), shares.at(lift, shares.main)),
        assumed=[label.name for label in labels if label.is_assumed],
        troubles=words.trouble_lines(one.section.troubles),
        slide=one.section.slide,
    )
