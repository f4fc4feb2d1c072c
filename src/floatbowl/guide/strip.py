# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""The strip sheet: one part a card, in the order it comes off; what to look for, what to measure, what to mind.

Limits and usual sizes are common practice or from memory, as ``ground`` says of each card: what a
book says of this very carburettor goes before them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from floatbowl.signs.trial import SHOWS

if TYPE_CHECKING:
    from floatbowl.bike.bike import Bike

Answer = Literal["fine", "not fine", "skipped"]
State = Literal["fine", "not fine", "skipped", "open"]
Ground = Literal["common practice", "from memory", "judgement"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """A measure that a card may ask for: the field it fills, what it is called, and how it is read off.

    ``field`` is a place in the bike file, ``carb.bore_mm``, or ``setup.`` with a field of the setup.
    """

    field: str
    name: str
    unit: str
    how: str = ""

    @property
    def is_setting(self) -> bool:
        """Say whether it is of what is fitted and set, and not of the carburettor itself."""
        return self.field.startswith("setup.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One card. ``part`` names the part that is inked in the drawing, ``look`` what an answer is kept as.

    ``limit`` is what is usual or still good, on the ground that ``ground`` names. ``care`` are keys.
    """

    key: str
    part: str
    title: str
    look_for: tuple[str, ...]
    limit: str = ""
    ground: Ground = "common practice"
    care: tuple[str, ...] = ()
    look: str = ""
    asks: tuple[Ask, ...] = ()


PARTS: tuple[Part, ...] = (
    Part(
        key="outside",
        part="body",
        title="Outside, and the bowl",
        look_for=(
            "Read every stamp and number, and write down which hose sat where.",
            "A cracked overflow tube, a loose drain, wet places? In the bowl dirt, beads of water, green crust?",
        ),
        limit="The bore is as stamped; on replacement carburettors often 0.5 to 1 mm off.",
        ground="from memory",
        care=("bowl off",),
        asks=(Ask(field="carb.bore_mm", name="Bore, at the slide", unit="mm"),),
    ),
    Part(
        key="joints",
        part="inlet",
        title="Inlet rubber and O-rings",
        look_for=(
            "Bend the rubber: no crack may open. The flange must lie flat, no light under a straightedge.",
            "O-rings whole and springy; both clamps bite.",
        ),
        limit="No gap wider than 0.05 mm under the straightedge.",
        ground="from memory",
        care=("soap",),
        look="soap on the joints",
    ),
    Part(
        key="vents",
        part="vent",
        title="Vents of the bowl",
        look_for=(
            "Breathe through both hoses, from the bowl to their ends.",
            "Mud, a kink or a nest is enough.",
        ),
        look="breathe through the vents",
    ),
    Part(
        key="choke",
        part="choke",
        title="Choke",
        look_for=(
            "The plunger's rubber is whole and sits right down; a flap stands fully open.",
            "It moves all its way, and the cable has slack.",
        ),
        limit="1 to 2 mm of slack in the cable.",
        look="choke seat",
    ),
    Part(
        key="slide",
        part="slide",
        title="Slide",
        look_for=(
            "No deep scores, no catching: it falls through the bore by its own weight.",
            "Held up to the light it hardly rattles. Read the cutaway's number.",
        ),
        limit="0.05 to 0.10 mm of play when new; over 0.2 mm it is worn and may catch.",
        ground="from memory",
        care=("slide out", "throttle"),
        asks=(Ask(field="setup.cutaway", name="Cutaway, as stamped", unit=""),),
    ),
    Part(
        key="needle",
        part="needle",
        title="Needle",
        look_for=(
            "Straight when rolled on glass; no bright ring, no step. The clip is tight: note its groove before it moves.",
            "Is it the right one? A repair kit's needle often is not.",
        ),
        limit="0.02 mm thinner than beside it is felt.",
        ground="from memory",
        care=("slide out",),
        look="needle under the caliper",
        asks=(
            Ask(field="carb.needle.top_mm", name="Across, at its straight part", unit="mm"),
            Ask(field="carb.needle.tip_mm", name="Across, at its tip", unit="mm"),
            Ask(field="carb.needle.length_mm", name="Length", unit="mm"),
            Ask(
                field="setup.clip_from_top",
                name="Groove of the clip",
                unit="",
                how="Count from the blunt end, from 1.",
            ),
        ),
    ),
    Part(
        key="float",
        part="float",
        title="Float",
        look_for=(
            "Shake it: nothing splashes inside. No shiny place where it rubbed, no wear on the tang.",
            "Measure from the joint to the float, carburettor tilted so that the sprung pin is just not pressed.",
        ),
        limit="As the book says; usually 14 to 22 mm. Half a millimetre is felt.",
        care=("bowl off", "petrol"),
        look="float held under",
        asks=(Ask(field="setup.float_height_mm", name="Float height", unit="mm"),),
    ),
    Part(
        key="float valve",
        part="float valve",
        title="Float valve",
        look_for=(
            "No ring worn into the tip, the sprung pin moves, the seat is clean with its washer.",
            "Bowl upside down, blow gently into the fuel hose: nothing passes. Never polish a seat.",
        ),
        limit="Holds a gentle breath, 0.2 to 0.3 bar, for a minute.",
        ground="from memory",
        care=("bowl off", "petrol"),
        look="float valve under pressure",
    ),
    Part(
        key="main jet",
        part="main jet",
        title="Main jet",
        look_for=(
            "To the light: round, bright and sharp. It sat tight.",
            "Read the stamp. A reamed jet lies about its number.",
        ),
        care=("bowl off",),
        look="light through the main jet",
        asks=(Ask(field="setup.main", name="Main, as stamped", unit=""),),
    ),
    Part(
        key="needle jet",
        part="needle jet",
        title="Needle jet",
        look_for=(
            "The hole is round, not drawn out to one side.",
            "Every bleed hole in its wall shows light.",
        ),
        limit="Oval by 0.02 to 0.03 mm is too much fuel from 1/8 to 1/2.",
        ground="from memory",
        care=("bowl off", "blow through"),
        look="needle jet against the light",
        asks=(Ask(field="carb.needle_jet_bore_mm", name="Bore of the needle jet", unit="mm"),),
    ),
    Part(
        key="main air jet",
        part="main air jet",
        title="Main air jet",
        look_for=("The larger brass hole at the mouth is clear.", "Blow in: air comes out round the needle."),
        care=("blow through",),
        look="light through the main air jet",
        asks=(Ask(field="carb.main_air_mm", name="Bore of the main air jet", unit="mm"),),
    ),
    Part(
        key="pilot jet",
        part="pilot jet",
        title="Pilot jet",
        look_for=(
            "To the light: a round, sharp hole right through. Any fuzz is a block.",
            "It is the smallest hole of all, and the first to block. Read the stamp.",
        ),
        limit="0.35 to 0.6 mm across.",
        care=("bowl off", "blow through"),
        look="light through the pilot jet",
        asks=(Ask(field="setup.pilot", name="Pilot, as stamped", unit=""),),
    ),
    Part(
        key="pilot air jet",
        part="pilot air jet",
        title="Pilot air jet",
        look_for=(
            "The smaller brass hole at the mouth is clear.",
            "Blow in with the screw out: air comes out of the idle outlet and the screw's bore.",
        ),
        care=("blow through",),
        look="spray through the pilot air jet",
        asks=(Ask(field="carb.pilot_air_mm", name="Bore of the pilot air jet", unit="mm"),),
    ),
    Part(
        key="pilot passages",
        part="bypass",
        title="Idle outlet and bypass holes",
        look_for=(
            "Spray in at the screw's bore: a jet stands out of the idle outlet and of every bypass hole.",
            "A bypass hole is what is missed most.",
        ),
        care=("slide out", "spray"),
        look="spray from the bypass holes",
        asks=(Ask(field="carb.pilot_outlet_mm", name="Idle outlet, across", unit="mm"),),
    ),
    Part(
        key="air screw",
        part="screw",
        title="Air screw",
        look_for=(
            "Count the turns to lightly seated before it comes out.",
            "The tip is straight, without a ridge. Spring, washer and O-ring sit in this order, no ring left in the bore.",
        ),
        limit="Usually 1 to 2.5 turns out. Outside that another pilot is wanted. Never seat it hard.",
        asks=(Ask(field="setup.screw_turns", name="Turns out from lightly seated", unit="turns"),),
    ),
    Part(
        key="fuel screw",
        part="screw",
        title="Fuel screw",
        look_for=(
            "Count the turns to lightly seated before it comes out.",
            "The tip is straight, without a ridge: a snapped tip ruins the body. Spring, washer and O-ring sit in this order.",
        ),
        limit="Usually 0.75 to 3 turns out. Outside 1 to 2.5 another pilot is wanted. Never seat it hard.",
        asks=(Ask(field="setup.screw_turns", name="Turns out from lightly seated", unit="turns"),),
    ),
    Part(
        key="crank seals",
        part="crankcase",
        title="Crankcase and its seals",
        look_for=(
            "Inlet and exhaust closed, 0.4 bar by hand pump: it holds.",
            "It falls? Soap on both seals, base and inlet shows where.",
        ),
        limit="No loss in 5 minutes; never more than 0.6 bar.",
        care=("crank seal", "soap"),
        look="crankcase under pressure",
    ),
)
"""Every card there is; ``cards_for`` gives those of one bike."""


def cards_for(bike: Bike) -> tuple[Part, ...]:
    """Give the cards that fit a bike: by its strokes, its choke and its mixture screw."""
    left_out = {
        "fuel screw" if bike.carb.screw == "air" else "air screw",
        *(("choke",) if bike.carb.choke == "none" else ()),
        *(("crank seals",) if bike.engine.strokes == 4 else ()),  # noqa: PLR2004
    }
    return tuple(part for part in PARTS if part.key not in left_out)


@dataclass(frozen=True, slots=True)
class Happening:
    """What was done about a part: a card answered, a look with its outcome, or a fault put right."""

    kind: Literal["strip", "look", "mend"]
    key: str
    answer: str = ""


def state_of(card: Part, happenings: Iterable[Happening]) -> State:
    """Give how a card stands after all that was done, in order: what was mended since is open again."""
    state: State = "open"
    for one in happenings:
        match one:
            case Happening("strip", card.key, "fine" | "not fine" | "skipped" as answer):
                state = answer
            case Happening("look", card.look, outcome) if card.look:
                state = "not fine" if outcome == "found" else "fine"
            case Happening("mend", fault) if state == "not fine" and fault in SHOWS.get(card.look, ()):
                state = "open"
            case _:
                continue
    return state
