"""The carburettor: bores, holes, tapers and heights, all in metres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from floatbowl.bike.measure import Measure

SlideShape = Literal["round", "flat"]
ScrewKind = Literal["air", "fuel"]
VentPlace = Literal["open", "airbox"]
StampScale = Literal["bore", "flow"]
ChokeKind = Literal["plunger", "flap", "none"]
NeedleJetKind = Literal["bleed", "primary"]


@dataclass(frozen=True, slots=True)
class Station:
    """One place along the needle: distance from the blunt end, and the diameter there."""

    distance: Measure
    diameter: Measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Needle:
    """A needle: straight part and up to three tapers, given at stations from the blunt end.

    The first station is the end of the straight part; the diameter above it is
    constant. The last station is the tip. Between stations the taper is even.
    """

    stamp: str
    length: Measure
    stations: tuple[Station, ...]
    grooves: int
    first_groove: Measure
    groove_pitch: Measure


@dataclass(frozen=True, slots=True)
class Hole:
    """A pilot bypass hole in the floor of the bore.

    ``uncovered_at`` is the slide lift at which half of the hole feels the engine.
    """

    diameter: Measure
    uncovered_at: Measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Carb:
    """What was cast, drilled and turned; what can be swapped or turned by hand is in the Setup."""

    slide: SlideShape
    bore: Measure
    full_lift: Measure
    needle: Needle
    needle_seat: Measure
    """Height of the clip's seat above the underside of the slide."""
    needle_jet_bore: Measure
    needle_jet_kind: NeedleJetKind
    needle_jet_rise: Measure
    """Height of the needle jet's mouth above the floor of the bore."""
    main_jet_top: Measure
    """Depth of the main jet's upper face below the floor of the bore."""
    main_air_bore: Measure
    bleed_depth: Measure
    """Depth of the highest bleed hole below the fuel level."""
    pilot_air_bore: Measure
    pilot_outlet_bore: Measure
    bypass: tuple[Hole, ...]
    screw: ScrewKind
    screw_area_per_turn: Measure
    """Open area gained by the mixture screw in one turn, m2."""
    main_scale: StampScale
    pilot_scale: StampScale
    lip_height: Measure
    """Height of the needle jet's mouth above the fuel level at the book float height."""
    float_height: Measure
    """Book float height: joint face to float."""
    vent: VentPlace
    choke: ChokeKind
