"""Bike files to read: one written by hand, and any that hypothesis can think of."""

from __future__ import annotations

import datetime as dt
from typing import Any, get_args

from hypothesis import strategies as st

from floatbowl.bike.faults import FAULTS
from floatbowl.bike.place import assume_day
from floatbowl.bike.rung import RUNGS
from floatbowl.bike.setup import Setup
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.fields import STORIES
from floatbowl.record.mends import with_all_since
from floatbowl.signs.trial import (
    SHOWS,
    AfterBlip,
    Behaviour,
    ChokeOutcome,
    ChokeReading,
    ChokeUse,
    Clock,
    GasReading,
    HandOutcome,
    HandReading,
    How,
    IdleNoteReading,
    IdleSweepReading,
    LambdaLogReading,
    LambdaReading,
    LevelReading,
    LookOutcome,
    LookReading,
    Often,
    PlugColour,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    Touched,
    TouchedReading,
    Trial,
    Warmth,
    Way,
)

NOW = dt.datetime(2026, 11, 12, 18, 30, tzinfo=dt.UTC)

MAGPIE = """\
form = "floatbowl.bike/1"
name = "Magpie"
what = "125 four-stroke, replacement round slide 26"
colour = "red, mostly"

[engine]
strokes = 4
swept_cc = 124.1
idle_rpm = 1550
exhaust = "open end can, no baffle"

[carb]                        # leave out what you have not measured
slide = "round"
bore_mm = 26.0
needle_jet_bore_mm = 2.60
mixture_screw = "air"         # richens inwards
needle = { top_mm = 2.51, straight_mm = 13, tip_mm = 1.90, length_mm = 38, grooves = 5, groove_pitch_mm = 1 }

[setup]
number = 8
main = "110"
pilot = "40"
clip_from_top = 3
cutaway = "2.5"
screw_turns = 1.5
float_height_mm = 18.0

[[trial]]
date = 2026-11-12
place = "Tarn Hollow"
air = { temperature_c = 15.5, pressure_hpa_at_door = 851, humidity_pct = 46 }
said = [ { at = "1/4", did = "bogs", how = "snap", engine = "hot", often = "every time" } ]
readings = [
  { kind = "rollon", from = "1/4", seconds = [3.9, 3.9] },  # downhill
  { kind = "rollon", from = "1/4", choke = "half", seconds = [3.4, 3.4] },
]
"""


def some(pieces: dict[str, st.SearchStrategy[Any]]) -> st.SearchStrategy[dict[str, Any]]:
    """Give tables with any of these keys."""
    return st.fixed_dictionaries({}, optional=pieces)


def decimals(low: float, high: float) -> st.SearchStrategy[float]:
    """Give numbers as a person writes them: at most four places."""
    return st.integers(int(low * 10_000), int(high * 10_000)).map(lambda whole: whole / 10_000)


LINES = st.text(
    st.characters(min_codepoint=32, max_codepoint=0x2FF, exclude_categories=["C", "Z"]), max_size=20
)
NAMES = LINES.filter(bool)
STAMPS = NAMES.map(lambda name: name[:16])

ENGINES = st.sampled_from([2, 4]).flatmap(
    lambda strokes: st.builds(
        lambda needed, more: {**needed, **more},
        st.one_of(
            st.fixed_dictionaries({"strokes": st.just(strokes), "swept_cc": decimals(49.0, 450.0)}),
            st.fixed_dictionaries(
                {
                    "strokes": st.just(strokes),
                    "bore_mm": decimals(38.0, 90.0),
                    "stroke_mm": decimals(38.0, 80.0),
                }
            ),
        ),
        some(
            {
                "inlet": st.sampled_from(["valve"] if strokes == 4 else ["reed", "piston port"]),
                "compression_ratio": decimals(6.0, 14.0) if strokes == 4 else decimals(1.2, 1.8),
                "cooling": st.sampled_from(["air", "liquid"]),
                "idle_rpm": decimals(900.0, 2500.0),
                "peak_rpm": decimals(5000.0, 12000.0),
                "inlet_length_mm": decimals(60.0, 300.0),
                "exhaust": LINES,
            }
        ),
    )
)
CARBS = st.builds(
    lambda bore, more: {"bore_mm": bore, **more},
    decimals(15.0, 40.0),
    some(
        {
            "slide": st.sampled_from(["round", "flat"]),
            "mixture_screw": st.sampled_from(["air", "fuel"]),
            "vent": st.sampled_from(["open", "airbox"]),
            "choke": st.sampled_from(["plunger", "flap", "none"]),
            "main_stamp": st.sampled_from(["bore", "flow"]),
            "main_air_mm": decimals(0.4, 1.5),
            "pilot_outlet_mm": decimals(0.3, 1.0),
            "fuel_below_jet_mm": decimals(8.0, 20.0),
            "needle": some({"grooves": st.integers(3, 7), "stamp": STAMPS}).filter(bool),
            "bypass": st.lists(
                st.fixed_dictionaries(
                    {"diameter_mm": decimals(0.4, 0.9), "uncovered_at_lift_mm": decimals(0.5, 2.5)}
                ),
                max_size=3,
            ),
        }
    ),
)
FUELS = some({"ethanol_pct": decimals(0.0, 20.0), "oil_ratio": decimals(0.0, 60.0)})
OPENINGS = st.sampled_from(RUNGS)
FAULT_KEYS = sorted({fault.key for fault in FAULTS})
DAYS = st.builds(
    assume_day,
    NAMES,
    date=st.one_of(st.just(""), st.dates().map(dt.date.isoformat)),
    height=st.none() | decimals(-100.0, 3000.0),
    temperature=st.none() | decimals(-10.0, 40.0).map(lambda celsius: celsius + 273.15),
    pressure=st.none() | decimals(650.0, 1050.0).map(lambda hectopascal: hectopascal * 100.0),
    humidity=st.none() | decimals(0.0, 100.0).map(lambda per_cent: per_cent * 0.01),
)


def setups(number: int) -> st.SearchStrategy[Setup]:
    """Give setups that fit any of the carburettors above."""
    return st.builds(
        Setup,
        number=st.just(number),
        main=st.one_of(st.just("?"), st.integers(60, 200).map(str)),
        pilot=st.integers(15, 70).map(str),
        clip_from_top=st.integers(1, 3),
        cutaway=st.sampled_from(["1.5", "2.0", "2.5", "3.0"]),
        screw_turns=decimals(0.0, 4.0),
        float_height_mm=st.none() | decimals(10.0, 25.0),
        needle_washer_mm=st.sampled_from([0.0, 0.5]),
    )


def remarks(name: str) -> st.SearchStrategy[Remark]:
    """Give remarks of one name."""
    return st.builds(
        Remark,
        entry=st.just(name),
        did=st.sampled_from(get_args(Behaviour)),
        at=st.none() | OPENINGS,
        how=st.none() | st.sampled_from(get_args(How)),
        engine=st.sampled_from(get_args(Warmth)),
        often=st.sampled_from(get_args(Often)),
    )


def readings(name: str) -> st.SearchStrategy[Reading]:
    """Give readings of one name."""
    entry = st.just(name)
    return st.one_of(
        st.builds(
            LambdaReading,
            entry=entry,
            at=OPENINGS,
            value=decimals(0.6, 1.4),
            rpm=st.none() | decimals(1000.0, 12000.0),
        ),
        st.builds(
            lambda places, is_counted: LambdaLogReading(
                entry=name,
                at=tuple(at for at, _, _ in places),
                value=tuple(value for _, value, _ in places),
                spread=tuple(0.01 for _ in places),
                rpm=tuple(rpm for _, _, rpm in places) if is_counted else (),
            ),
            st.lists(
                st.tuples(OPENINGS, decimals(0.6, 1.4), decimals(1000.0, 12000.0)), min_size=1, max_size=4
            ),
            st.booleans(),
        ),
        st.builds(
            GasReading,
            entry=entry,
            at=OPENINGS,
            co_pct=decimals(0.0, 8.0),
            co2_pct=decimals(6.0, 15.0),
            hc_ppm=decimals(0.0, 5000.0),
            o2_pct=decimals(0.0, 8.0),
            rpm=st.none() | decimals(1000.0, 12000.0),
        ),
        st.builds(PlugReading, entry=entry, at=OPENINGS, colour=st.sampled_from(get_args(PlugColour))),
        st.builds(
            lambda runs, at, choke, rpm, are_told, by: RollOnReading(
                entry=name,
                at=at,
                seconds=tuple(seconds for seconds, _ in runs),
                choke=choke,
                rpm=rpm,
                ways=tuple(way for _, way in runs) if are_told else (),
                by=by,
            ),
            st.lists(st.tuples(decimals(1.0, 20.0), st.sampled_from(get_args(Way))), min_size=1, max_size=4),
            OPENINGS,
            st.sampled_from(get_args(ChokeUse)),
            st.none() | decimals(1000.0, 12000.0),
            st.booleans(),
            st.sampled_from(get_args(Clock)),
        ),
        st.builds(ChokeReading, entry=entry, at=OPENINGS, outcome=st.sampled_from(get_args(ChokeOutcome))),
        st.builds(HandReading, entry=entry, outcome=st.sampled_from(get_args(HandOutcome))),
        st.builds(
            lambda places: IdleSweepReading(
                entry=name, turns=tuple(turn for turn, _ in places), rpm=tuple(rpm for _, rpm in places)
            ),
            st.lists(st.tuples(decimals(0.0, 4.0), decimals(0.0, 3000.0)), min_size=2, max_size=5),
        ),
        st.builds(
            IdleNoteReading,
            entry=entry,
            rpm=decimals(600.0, 3000.0),
            spread_rpm=decimals(1.0, 40.0),
            wander_pct=decimals(0.1, 9.0),
            hunts_per_s=st.none() | decimals(0.2, 2.5),
            hangs_s=st.none() | decimals(0.2, 6.0),
            after_blip=st.none() | st.sampled_from(get_args(AfterBlip)),
        ),
        st.builds(LevelReading, entry=entry, above_mm=decimals(-12.0, 12.0)),
        st.builds(TouchedReading, entry=entry, part=st.sampled_from(get_args(Touched))),
        st.builds(
            LookReading,
            entry=entry,
            look=st.sampled_from(sorted(SHOWS)),
            outcome=st.sampled_from(get_args(LookOutcome)),
        ),
    )


@st.composite
def trials(draw: st.DrawFn, fitted: list[Setup]) -> tuple[Trial, ...]:
    """Give trials under these setups, each entry with a name of its own, not always the next one."""
    ride = draw(st.integers(0, 2))
    reading = 0
    made = []
    for _ in range(draw(st.integers(0, 3))):
        said, measured = draw(st.integers(0, 2)), draw(st.integers(0, 2))
        made.append(
            Trial(
                setup=draw(st.sampled_from(fitted)),
                day=draw(DAYS),
                remarks=tuple(draw(remarks(f"ride-{ride + 1 + place}")) for place in range(said)),
                readings=tuple(draw(readings(f"reading-{reading + 1 + place}")) for place in range(measured)),
                mended=tuple(draw(st.lists(st.sampled_from(FAULT_KEYS), max_size=2))),
            )
        )
        ride, reading = ride + said, reading + measured
    return with_all_since(made)


@st.composite
def bike_files(draw: st.DrawFn) -> BikeFile:
    """Give bikes as a file might tell them, with no text of their own."""
    fitted = [draw(setups(number)) for number in range(1, 1 + draw(st.integers(1, 3)))]
    return BikeFile(
        name=draw(NAMES),
        what=draw(LINES),
        story=frozenset(draw(st.sets(st.sampled_from(STORIES)))),
        engine=draw(ENGINES),
        carb=draw(CARBS),
        fuel=draw(FUELS),
        setup=fitted[-1],
        earlier_setups=tuple(fitted[:-1]),
        trials=draw(trials(fitted)),
    )
