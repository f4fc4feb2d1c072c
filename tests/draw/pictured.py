"""Rows, setups and pictures for the tests of the drawings, and how a test reads a picture."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace

from floatbowl.advice.advice import Step
from floatbowl.belief.belief import OF
from floatbowl.bike.assume import assume_bike, assume_needle, ordinary_needle
from floatbowl.bike.bike import Bike
from floatbowl.bike.carb import Needle
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.bike.setup import Setup
from floatbowl.draw.airline import Pin, airline
from floatbowl.draw.behaviours import behaviour_sketch
from floatbowl.draw.ladder import ladder_picture
from floatbowl.draw.looks import DRAWN_AS, look_picture
from floatbowl.draw.moving import Travel
from floatbowl.draw.parts import part_picture
from floatbowl.draw.rungs import rung_row, small_ladder
from floatbowl.draw.svg import Svg
from floatbowl.draw.tally import tally, tally_rows
from floatbowl.words.bench import Row
from floatbowl.words.names import BEHAVIOURS

SVG = "{http://www.w3.org/2000/svg}"


def row(at: Rung, off_pct: tuple[float, ...] | None = None, heard: tuple[str, ...] = ()) -> Row:
    """Make a rung on which the twenty stand half a per cent apart, unless told otherwise."""
    off = tuple(0.5 * n - 4.75 for n in range(OF)) if off_pct is None else off_pct
    short, much = sum(one < -5.0 for one in off), sum(one > 5.0 for one in off)
    return Row(
        at=at,
        say_pct=SAY[at],
        off_pct=off,
        close_pct=5.0,
        short=short,
        right=OF - short - much,
        too_much=much,
        heard=heard,
        sentence=f"This is {at.value}.",
    )


SAY: dict[Rung, tuple[int, int, int, int]] = {
    Rung.SHUT: (100, 0, 0, 0),
    Rung.EIGHTH: (70, 25, 4, 1),
    Rung.QUARTER: (30, 30, 37, 3),
    Rung.HALF: (12, 14, 60, 14),
    Rung.THREE_QUARTERS: (10, 5, 45, 40),
    Rung.FULL: (8, 0, 22, 70),
}
ROWS = tuple(row(at, heard=("bogs, hot, 3 times",) if at == Rung.QUARTER else ()) for at in reversed(RUNGS))
FAR = tuple(replace(one, off_pct=tuple(40.0 if n < 3 else -30.0 for n in range(OF))) for one in ROWS)
TRAVEL = Travel(shut=0.9, full=26.0, lift=7.2)


def bike() -> Bike:
    """Give a bike of which the needle was measured and the rest is assumed."""
    needle = {"top": 0.00251, "straight": 0.013, "tip": 0.0019, "length": 0.038, "grooves": 5}
    carb = {"bore": 0.026, "needle": {**needle, "stamp": "N1"}}
    engine = {"strokes": 4, "swept_volume": 124e-6}
    return assume_bike(name="Magpie", what="", engine=engine, carb=carb, fuel={})


def other_needle() -> Needle:
    """Give a needle from the drawer."""
    ordinary = ordinary_needle(bike().engine, bore=0.026)
    return assume_needle({"stamp": "N2"}, bore=0.026, jet_bore=0.0026, ordinary=ordinary)


SETUP = Setup(
    number=8, main="110", pilot="40", clip_from_top=3, cutaway="2.5", screw_turns=1.5, float_height_mm=18.0
)
STEPS = (
    Step("main", "110", "108"),
    Step("pilot", "40", "42"),
    Step("needle", "own", "N2"),
    Step("clip", 3, 4),
    Step("washer", 0.0, 0.5),
    Step("cutaway", "2.5", "3.0"),
    Step("screw", 1.5, 2.0),
    Step("float", 18.0, 17.0),
)


def part(step: Step, *, before: Setup = SETUP) -> Svg:
    """Draw one step on the bike of these tests."""
    return part_picture(step, bike=bike(), before=before, needles=(other_needle(),))


def every_picture() -> Iterator[tuple[str, Svg]]:
    """Give each kind of chart and small picture, with a name."""
    yield "ladder", ladder_picture(ROWS, travel=TRAVEL)
    yield "ladder, dry fit", ladder_picture(ROWS, travel=TRAVEL, tried=FAR)
    yield "rung", rung_row(ROWS[3])
    yield "rung, dry fit", rung_row(FAR[3], before=ROWS[3])
    yield "small ladder", small_ladder(FAR, title="Magpie")
    yield "tally", tally(13, of_what="Air leak")
    yield "suspects", tally_rows([("Air leak", 16), ("Water or stale fuel in the tank", 0)], title="Suspects")
    yield "air", airline([Pin(words="now", density=1.03, is_today=True), FORECAST])
    yield from ((f"part {step.part}", part(step)) for step in STEPS)
    yield from ((f"did {did}", behaviour_sketch(did)) for did in BEHAVIOURS)
    yield from ((f"look {key}", look_picture(key)) for key in DRAWN_AS)


FORECAST = Pin(words="Saturday", density=1.12, low=1.10, high=1.14)


def read(picture: Svg) -> ET.Element:
    """Read a picture as a browser does; refuses markup that is not well formed."""
    return ET.fromstring(picture)  # noqa: S314  (our own markup)


def all_of(picture: Svg, tag: str, class_: str = "") -> list[ET.Element]:
    """Give all elements of a kind, in order, those with a class if one is named."""
    return [
        one
        for one in read(picture).iter(f"{SVG}{tag}")
        if not class_ or class_ in one.get("class", "").split()
    ]


def texts(picture: Svg) -> list[str]:
    """Give all that is written in a picture."""
    return [one.text or "" for one in all_of(picture, "text")]


def numbers(d: str) -> list[float]:
    """Give the numbers of a path."""
    return [float(number) for number in re.findall(r"-?\d*\.?\d+", d)]


def number(one: ET.Element, name: str) -> float:
    """Give a number that stands in an attribute."""
    return float(one.attrib[name])
