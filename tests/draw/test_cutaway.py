"""The cut-away of hundreds of bikes: no part through another, inked where measured, moved by data alone."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from xml.etree.ElementTree import Element

import numpy as np
import pytest

from floatbowl.belief.belief import Belief
from floatbowl.bike.measure import Measure
from floatbowl.bike.shape import contradictions
from floatbowl.draw import cutaway_body, cutaway_bowl
from floatbowl.draw.alone import alone
from floatbowl.draw.cutaway import cutaway, cutaway_told, moving_shapes, still_shapes
from floatbowl.draw.cutaway_air import streamlines
from floatbowl.draw.cutaway_choke import choke_shapes
from floatbowl.draw.cutaway_shape import Shape
from floatbowl.draw.cutaway_spray import Shares, sprays
from floatbowl.draw.insets import bore_inset, ring_inset, ring_mm2
from floatbowl.draw.moving import Travel
from floatbowl.draw.section import Section
from floatbowl.draw.stops import set_out
from tests.bike.bikes import bare_bike, bike_with, setup_with
from tests.draw.carburettors import Case, cases, wild
from tests.draw.pictured import read
from tests.draw.polygons import Ring, bottom, holds, lifted, numbers, overlap, spans, top, turned

SVG = "{http://www.w3.org/2000/svg}"
HAIR = 0.005
"""What rounding may let two parts share, mm2."""
ROUNDED = 0.0151
"""Numbers of a drawing are written to a hundredth; two of them may differ by one and a half."""


@dataclass(frozen=True)
class Drawn:
    """A case with its sizes and its travel."""

    case: Case
    s: Section
    travel: Travel

    @property
    def still(self) -> dict[str, list[Ring]]:
        """Give the rings of what stands still, by part."""
        return by_part(still_shapes(self.s))

    def moving(self, lift: float) -> dict[str, list[Ring]]:
        """Give the rings of what rides on the slide, at a lift."""
        rings = by_part(moving_shapes(self.s))
        return {key: [lifted(ring, lift) for ring in each] for key, each in rings.items()}


def by_part(shapes: tuple[Shape, ...]) -> dict[str, list[Ring]]:
    """Sort rings by their part."""
    found: dict[str, list[Ring]] = {}
    for shape in shapes:
        found.setdefault(shape.key, []).append(shape.ring)
    return found


@pytest.fixture(scope="module")
def drawn(seed: int) -> list[Drawn]:
    """Throw three hundred bikes and set them out."""
    thrown = cases(np.random.default_rng(seed + 1), 300)
    return [Drawn(one, *set_out(one.bike, one.setup)) for one in thrown]


def parts(rings: dict[str, list[Ring]], *names: str) -> list[Ring]:
    """Give all rings of the parts whose names begin so."""
    return [ring for key, each in rings.items() if key.startswith(names) for ring in each]


def shared(some: Sequence[Ring], others: Sequence[Ring]) -> float:
    """Give the largest area that a ring of the one shares with a ring of the other."""
    return max((overlap(one, other) for one in some for other in others), default=0.0)


# --- no part through another -------------------------------------------------------------------------------

SOLID = ("body", "bowl", "needle jet", "holder", "main jet", "cap", "gasket")


@pytest.mark.property
def test_no_part_that_stands_is_through_another(drawn: list[Drawn]) -> None:
    """Castings, cap and brass touch each other and never share room."""
    for one in drawn:
        rings = parts(one.still, *SOLID)
        assert max(overlap(a, b) for a, b in combinations(rings, 2)) < HAIR


@pytest.mark.property
def test_the_pilot_jet_hangs_free(drawn: list[Drawn]) -> None:
    """The pilot jet stands in its own tower, clear of bowl, needle jet and main jet."""
    for one in drawn:
        rest = parts(one.still, "bowl", "needle jet", "holder", "main jet", "body under the mouth")
        assert shared(parts(one.still, "pilot jet"), rest) < HAIR


@pytest.mark.property
@pytest.mark.parametrize("opening", [0.0, 0.125, 0.25, 0.5, 1.0])
def test_nothing_that_moves_is_through_what_stands(drawn: list[Drawn], opening: float) -> None:
    """At every opening slide, needle, clip and washer clear body, cap and brass."""
    for one in drawn:
        moving = one.moving(one.travel.at(opening))
        rings = [ring for each in moving.values() for ring in each]
        assert shared(rings, parts(one.still, *SOLID)) < HAIR


@pytest.mark.property
def test_needle_clip_and_slide_fit_each_other(drawn: list[Drawn]) -> None:
    """The needle hangs free in the slide, the clip lies in a groove and on the seat or the washer."""
    for one in drawn:
        rings = [ring for each in one.moving(0.0).values() for ring in each]
        assert max(overlap(a, b) for a, b in combinations(rings, 2)) < HAIR


@pytest.mark.property
def test_shut_the_slide_clears_the_needle_jet(drawn: list[Drawn]) -> None:
    """At the idle stop the pocket leaves at least 0.4 mm over needle jet and hood, wherever they stand."""
    for one in drawn:
        slide = parts(one.moving(one.travel.shut), "slide")
        jets = parts(one.still, "needle jet")
        assert bottom(slide) == pytest.approx(one.s.idle_lift.mm)
        assert min(over(slide, jets)) >= 0.4


def over(above: list[Ring], below: list[Ring]) -> Iterator[float]:
    """Give the room between the lowest of the one and the highest of the other along upright lines."""
    for ring in below:
        left, right = bottom([turned(ring)]), top([turned(ring)])
        for x in np.linspace(left + 1e-6, right - 1e-6, 60):
            hanging = [span.min() for other in above if (span := spans(turned(other), float(x))).size]
            standing = spans(turned(ring), float(x))
            if hanging and standing.size:
                yield float(min(hanging) - standing.max())


@pytest.mark.property
def test_the_needle_stays_between_main_jet_and_mouth(drawn: list[Drawn]) -> None:
    """Shut, the tip clears the main jet in every groove; fully open, it stays in the needle jet."""
    for one in drawn:
        for clip in range(1, one.s.needle.grooves + 1):
            setup = replace(one.case.setup, clip_from_top=clip)
            s, travel = set_out(one.case.bike, setup)
            needle = parts(by_part(moving_shapes(s)), "needle")
            assert bottom(needle) + travel.shut > top(parts(one.still, "main jet"))
            assert bottom(needle) + travel.full < s.jet_rise.mm


@pytest.mark.property
def test_clip_down_lifts_the_needle_by_a_pitch(drawn: list[Drawn]) -> None:
    """A higher groove number lifts the needle by one pitch and never lowers the ring's area."""
    for one in drawn:
        for clip in range(1, one.s.needle.grooves):
            low, high = (replace(one.case.setup, clip_from_top=n) for n in (clip, clip + 1))
            tops = [
                top(parts(by_part(moving_shapes(set_out(one.case.bike, setup)[0])), "needle"))
                for setup in (low, high)
            ]
            assert tops[1] - tops[0] == pytest.approx(one.s.needle.pitch.mm)
            for lift in one.travel.rungs:
                assert ring_mm2(one.case.bike, high, lift) >= ring_mm2(one.case.bike, low, lift) - 1e-12


@pytest.mark.property
def test_what_is_drilled_stays_in_the_metal(drawn: list[Drawn]) -> None:
    """Air ways and gallery break neither into the bore nor into the bowl."""
    for one in drawn:
        ways = parts(one.still, "main air passage", "pilot air passage")
        bore = [cutaway_body.bore_air(one.s)[0].ring]
        assert shared([*ways, *parts(one.still, "pilot gallery", "bleed room")], bore) < 0.02
        assert shared(ways, [cutaway_bowl.bowl_air(one.s).ring]) < HAIR


@pytest.mark.property
def test_the_fuel_stays_in_the_bowl(drawn: list[Drawn]) -> None:
    """The fuel fills the bowl from wall to wall and never its walls."""
    for one in drawn:
        fuel = cutaway_bowl.fuel(one.s).ring
        assert overlap(fuel, cutaway_bowl.bowl(one.s).ring) < HAIR
        level = one.s.fuel_level.mm
        widths = spans(fuel, min(level, one.s.gasket.mm - one.s.wall) - 0.3)
        assert float((widths[:, 1] - widths[:, 0]).sum()) == pytest.approx(one.s.bowl_width.mm, abs=0.02)


# --- air and fuel ------------------------------------------------------------------------------------------


@pytest.mark.property
@pytest.mark.parametrize("opening", [0.0, 0.25, 0.6, 1.0])
def test_no_air_through_metal(drawn: list[Drawn], opening: float) -> None:
    """Eleven streamlines run in order, through neither casting nor slide, at any opening."""
    for one in drawn[:60]:
        metal = [*parts(one.still, "body"), *parts(one.moving(one.travel.at(opening)), "slide")]
        lines = [line.at(opening) for line in streamlines(one.s)]
        assert len(lines) == 11
        heights = np.array([[y for _, y in line] for line in lines])
        assert (np.diff(heights, axis=0) > 0.0).all()
        for line in (lines[0], lines[5], lines[-1]):
            assert not [point for point in line for ring in metal if holds(ring, point)]


@pytest.mark.property
@pytest.mark.parametrize("opening", [0.0, 0.25, 1.0])
def test_no_drop_in_metal(drawn: list[Drawn], opening: float) -> None:
    """Every drop of the spray flies in the air of the bore."""
    for one in drawn[:30]:
        shares = Shares(one.travel, pilot=(0.5,) * 6, main=(0.5,) * 6)
        metal = [*parts(one.still, "body"), *parts(one.moving(one.travel.at(opening)), "slide")]
        air = cutaway_body.bore_air(one.s)[0].ring
        for tier in sprays(one.s, shares):
            for drop in tier.drops.at(opening):
                assert holds(air, drop)
                assert not [ring for ring in metal if holds(ring, drop)]


def test_more_fuel_is_never_fewer_drops() -> None:
    """A passage that brings more of the fuel shows more of its tiers."""
    s, travel = set_out(bike_with(), setup_with())
    seen = [
        sum(tier.seen(13.0) for tier in sprays(s, Shares(travel, (1 - share,) * 6, (share,) * 6))[:5])
        for share in (0.0, 0.2, 0.5, 0.8, 1.0)
    ]
    assert seen[0] == 0.0
    assert seen == sorted(seen)
    assert seen[-1] > seen[1]


# --- inked and pencilled -----------------------------------------------------------------------------------


def is_assumed(*measures: Measure) -> bool:
    """Say whether any of these is assumed."""
    return any(measure.is_assumed for measure in measures)


def expected(case: Case) -> dict[str, bool]:
    """Give, from the bike and setup alone, whether each part's line is pencilled."""
    carb, setup = case.bike.carb, case.setup
    jet = is_assumed(carb.needle_jet_bore, carb.needle_jet_rise)
    return {
        "body over the mouth": True,
        "bowl": True,
        "cap": True,
        "holder": True,
        "slide, air side": True,
        "needle jet, air side": jet,
        "needle jet, engine side": jet,
        "main jet": setup.main == "?",
        "pilot jet": setup.pilot == "?",
        "main air jet": carb.main_air_bore.is_assumed,
        "pilot air jet": carb.pilot_air_bore.is_assumed,
    }


def expected_edges(case: Case) -> dict[str, set[bool]]:
    """Give the same for the stretches drawn over an outline, as a set for each part."""
    carb, setup, needle = case.bike.carb, case.setup, case.bike.carb.needle
    shank = is_assumed(needle.length, *(m for one in needle.stations for m in (one.distance, one.diameter)))
    ports = {hole.diameter.is_assumed for hole in carb.bypass} | {carb.pilot_outlet_bore.is_assumed}
    return {
        "body over the mouth": {carb.bore.is_assumed},
        "body under the outlet": {carb.bore.is_assumed},
        "slide, air side": {setup.cutaway == "?"},
        "needle jet, air side": {carb.needle_jet_bore.is_assumed},
        "needle": {shank, is_assumed(needle.first_groove, needle.groove_pitch)},
        "pilot gallery": ports,
    }


@pytest.mark.property
def test_measured_is_inked_and_assumed_is_pencilled(drawn: list[Drawn]) -> None:
    """In the drawing a part's line is dashed exactly where what it is drawn from was not measured."""
    for one in drawn:
        root = read(cutaway(one.case.bike, one.case.setup))
        lines = {part: line_classes(root, part) for part in {*expected(one.case), *expected_edges(one.case)}}
        for part, pencilled in expected(one.case).items():
            assert {"assumed" in outline for outline in lines[part][0]} == {pencilled}, part
        for part, kinds in expected_edges(one.case).items():
            edges = [edge for group in lines[part][1] for edge in group]
            assert {"assumed" in edge for edge in edges} == kinds, part


def line_classes(root: Element, part: str) -> tuple[list[str], list[list[str]]]:
    """Give the classes of a part's outlines, and of the stretches over them, for each of its shapes."""
    outlines, edges = [], []
    for group in root.iterfind(f".//{SVG}g[@data-part='{part}']"):
        found = [
            (line.get("class", ""), line.get("d", ""))
            for line in group
            if line.get("class", "").startswith(("cut-edge", "cut-fine"))
        ]
        outlines += [classes for classes, d in found if d.endswith("Z")]
        edges.append([classes for classes, d in found if not d.endswith("Z")])
    return outlines, edges


@pytest.mark.property
def test_a_label_says_assumed_exactly_where_its_value_is(drawn: list[Drawn]) -> None:
    """Each label has a third line, "assumed", if and only if nobody measured its value."""
    for one in drawn:
        carb, setup = one.case.bike.carb, one.case.setup
        needle = carb.needle
        told = {
            "slide": setup.cutaway == "?",
            "clip": False,
            "screw": False,
            "needle": is_assumed(
                needle.length, *(m for at in needle.stations for m in (at.distance, at.diameter))
            ),
            "needle jet": carb.needle_jet_bore.is_assumed,
            "main jet": setup.main == "?",
            "pilot jet": setup.pilot == "?",
            "ports": is_assumed(carb.pilot_outlet_bore, *(hole.diameter for hole in carb.bypass)),
            "fuel level": is_assumed(carb.lip_height, carb.needle_jet_rise),
            "float": setup.float_height_mm is None and carb.float_height.is_assumed,
        }
        root = read(cutaway(one.case.bike, setup))
        for key, pencilled in told.items():
            group = root.find(f".//{SVG}g[@data-label='{key}']")
            assert group is not None
            assert ("assumed" in [text.text for text in group.iter(f"{SVG}text")]) is pencilled, key


# --- what the browser moves --------------------------------------------------------------------------------


def moving_paths(root: Element) -> list[Element]:
    """Give every path that moves."""
    return [path for path in root.iter(f"{SVG}path") if path.get("data-shut")]


@pytest.mark.property
@pytest.mark.parametrize("opening", [0.0, 0.31, 0.77, 1.0])
def test_between_its_stops_everything_moves_evenly(drawn: list[Drawn], opening: float) -> None:
    """A drawing at any lift is the interpolation of its own two stops: a browser needs no geometry."""
    for one in drawn[:25]:
        root = read(cutaway(one.case.bike, one.case.setup, lift_mm=one.travel.at(opening)))
        paths = moving_paths(root)
        assert len(paths) > 30
        for path in paths:
            shut, full, now = (
                np.array(numbers(path.get(key, ""))) for key in ("data-shut", "data-full", "d")
            )
            assert shut.shape == full.shape == now.shape
            assert np.abs(now - (shut + opening * (full - shut))).max() < ROUNDED
        rising = root.find(f".//{SVG}g[@data-rise]")
        assert rising is not None
        by = numbers(rising.get("transform", ""))[1]
        assert by == pytest.approx(-float(rising.get("data-rise", "")) * one.travel.at(opening), abs=ROUNDED)


def test_the_same_stops_whatever_the_lift() -> None:
    """The data of the stops do not depend on where the slide stands, nor does anything that stands still."""
    bike, setup = bike_with(), setup_with()
    drawings = [read(cutaway(bike, setup, lift_mm=lift)) for lift in (0.9, 6.5, 26.0)]
    stops = [[(p.get("data-shut"), p.get("data-full")) for p in moving_paths(root)] for root in drawings]
    still = [[p.get("d") for p in root.iter(f"{SVG}path") if not p.get("data-shut")] for root in drawings]
    assert stops[0] == stops[1] == stops[2]
    assert still[0] == still[1] == still[2]


# --- the paper ---------------------------------------------------------------------------------------------


def places(root: Element) -> Iterator[tuple[float, float]]:
    """Give every point of a drawing in its own units, with the lift of what rides on the slide."""
    rise = {id(child): group for group in root.iter() if group.get("data-rise") for child in group.iter()}
    for item in root.iter():
        carrier = rise.get(id(item))
        up = numbers(carrier.get("transform", ""))[1] if carrier is not None else 0.0
        if item.tag == f"{SVG}path" and "scale" not in item.get("transform", ""):
            for text in (item.get("d", ""), item.get("data-shut", ""), item.get("data-full", "")):
                flat = numbers(text)
                yield from ((x, y + up) for x, y in zip(flat[::2], flat[1::2], strict=True))
        if item.get("x") and item.get("y"):
            yield float(item.get("x", "")), float(item.get("y", ""))


@pytest.mark.property
@pytest.mark.parametrize("opening", [0.0, 0.25, 1.0])
def test_everything_lies_on_the_paper(drawn: list[Drawn], opening: float) -> None:
    """Every number is finite and every point lies within the view box, at both stops too."""
    for one in drawn[:100]:
        drawing = cutaway(one.case.bike, one.case.setup, lift_mm=one.travel.at(opening), has_choke=True)
        assert not re.search(r"\b(?:nan|inf)\b", drawing)
        root = read(drawing)
        _, _, wide, tall = numbers(root.get("viewBox", ""))
        points = np.array(list(places(root)))
        assert np.isfinite(points).all()
        assert points.min() >= 0.0
        assert (points.max(axis=0) <= (wide, tall)).all()


@pytest.mark.property
def test_no_label_lies_on_another(drawn: list[Drawn]) -> None:
    """Down each margin the lines of text stand at least fifteen units apart."""
    for one in drawn[:100]:
        root = read(cutaway(one.case.bike, one.case.setup))
        columns: dict[str, list[float]] = {"end": [], "start": []}
        for text in root.iterfind(f".//{SVG}g[@data-label]/{SVG}text"):
            columns.get(text.get("text-anchor", ""), []).append(float(text.get("y", "")))
        for heights in columns.values():
            assert np.diff(sorted(heights)).min() >= 15.0


def test_a_phone_sees_the_bore_without_labels() -> None:
    """The phone's crop is as wide as a phone and names nothing: the rungs beside it do."""
    root = read(cutaway(bike_with(), setup_with(), crop="phone"))
    assert numbers(root.get("viewBox", ""))[2] == pytest.approx(390.0)
    assert list(root.iter(f"{SVG}text")) == []


def test_one_scale_in_both_directions() -> None:
    """The scale that the root tells is that of the drawing: the bore's floor and roof stand 26 mm apart."""
    root = read(cutaway(bike_with(), setup_with()))
    group = root.find(f".//{SVG}g[@data-part='body over the mouth']")
    assert group is not None
    roof = numbers(group[-1].get("d", ""))
    floor, scale = float(root.get("data-floor", "")), float(root.get("data-scale", ""))
    assert (floor - roof[1]) / scale == pytest.approx(26.0, abs=0.01)


@pytest.mark.parametrize("kind", ["plunger", "flap", "none"])
def test_the_choke_is_a_layer_of_its_own(kind: str) -> None:
    """The choke is drawn when asked for, in its own pattern, and a carburettor without one shows none."""
    bike = bare_bike(choke=kind)
    assert "pat-choke" not in cutaway(bike, setup_with())
    drawing = cutaway(bike, setup_with(), has_choke=True)
    assert drawing.count("url(#pat-choke)") == {"plunger": 2, "flap": 1, "none": 0}[kind]


def test_the_flap_clears_the_walls(drawn: list[Drawn]) -> None:
    """A flap turns in the bore without touching the casting."""
    for one in drawn:
        if one.s.choke == "flap":
            rings = [shape.ring for shape in choke_shapes(one.s)]
            assert shared(rings, parts(one.still, "body")) < HAIR


# --- what it says ------------------------------------------------------------------------------------------

ODD_NAMES = ("<b>Magpie</b>", 'M"&agpie', "</title><script>x</script>", "]]>")


@pytest.mark.parametrize("name", ODD_NAMES)
def test_a_name_with_markup_stays_a_name(name: str) -> None:
    """Name and stamps reach the drawing as text, whatever they hold, alone or on a page."""
    bike, setup = replace(bike_with(), name=name), setup_with(main=name[:8], pilot=name[:8])
    for drawing in (cutaway(bike, setup), alone(cutaway(bike, setup))):
        root = read(drawing)
        title = root.find(f"{SVG}title")
        assert title is not None
        assert title.text == f"Cut-away of the carburettor of {name}"
        assert [item.tag for item in root.iter() if item.tag in {f"{SVG}b", f"{SVG}script"}] == []


def test_ids_are_unique_in_a_picture_that_stands_alone() -> None:
    """No name is given twice, and every name that is used is given."""
    drawing = alone(cutaway(bike_with(), setup_with(), has_choke=True))
    given = [item.get("id") for item in read(drawing).iter() if item.get("id")]
    assert len(given) == len(set(given))
    assert set(re.findall(r"url\(#([\w-]+)\)", drawing)) <= set(given)


def test_no_style_and_no_handler_in_the_markup() -> None:
    """A strict page takes the drawing as it is: no style attributes, no handlers, no addresses."""
    root = read(cutaway(bike_with(), setup_with(), has_choke=True))
    names = {name for item in root.iter() for name in item.attrib}
    assert not [name for name in names if name == "style" or name.startswith("on") or "href" in name]


def test_measures_that_contradict_are_drawn_and_told() -> None:
    """A needle too long for its carburettor is drawn as told, and the description says what is wrong."""
    bike, setup = bike_with(needle={"length": 0.052}), setup_with()
    assert contradictions(bike, setup)
    root = read(cutaway(bike, setup))
    told = root.find(f"{SVG}desc")
    assert told is not None
    assert "52" in (told.text or "")


@pytest.mark.property
def test_whatever_was_measured_is_drawn(rng: np.random.Generator) -> None:
    """Measures wrong by factors still give a whole drawing and insets, every number of them finite."""
    contradicted = 0
    for one in cases(rng, 150):
        bike = replace(one.bike, carb=wild(one.bike.carb, rng))
        setup = replace(one.setup, clip_from_top=int(rng.integers(1, 9)), cutaway="8")
        contradicted += bool(contradictions(bike, setup))
        for drawing in (cutaway(bike, setup), bore_inset(bike, setup), ring_inset(bike, setup)):
            assert read(drawing).get("viewBox")
            assert not re.search(r"\b(?:nan|inf)\b", drawing)
    assert contradicted > 100


def test_the_telling_says_what_the_labels_say(belief: Belief) -> None:
    """A reader who does not see it hears the same names, values and shares."""
    drawing = cutaway(belief.bike, belief.setup, belief=belief)
    told = cutaway_told(belief.bike, belief.setup, belief=belief)
    for group in read(drawing).iterfind(f".//{SVG}g[@data-label]"):
        if group.get("data-label") != "float":
            name, value = [text.text for text in group.iter(f"{SVG}text")][:2]
            assert f"{name} {value}" in told
    main, pilot = [text.text for text in read(drawing).iterfind(f".//{SVG}text[@data-unit]")]
    assert f"{main} comes through the main jet and {pilot} through the pilot jet" in told
    assert told in (read(drawing).findtext(f"{SVG}desc") or "")


def test_shares_are_those_of_the_belief(belief: Belief) -> None:
    """The figures under the jets at a rung are the belief's, and each triangle's area is its share."""
    _, travel = set_out(belief.bike, belief.setup, belief=belief)
    for place, lift in enumerate(travel.rungs):
        root = read(cutaway(belief.bike, belief.setup, belief=belief, lift_mm=lift))
        pilot, main = (float(share) for share in belief.fuel_share[place])
        figures = [text.text for text in root.iterfind(f".//{SVG}text[@data-unit]")]
        assert figures == [f"{100 * main:.0f} %", f"{100 * pilot:.0f} %"]
        triangles = root.iterfind(f".//{SVG}path[@data-sets='scale']")
        scales = [numbers(triangle.get("transform", ""))[2] for triangle in triangles]
        assert np.square(scales) == pytest.approx([main, pilot], abs=0.002)


def test_without_a_belief_no_fuel_is_claimed() -> None:
    """A bike of which too little is known is drawn without spray and without figures."""
    drawing = cutaway(bike_with(), setup_with())
    assert "cut-spray" not in drawing
    assert "comes through" not in drawing
