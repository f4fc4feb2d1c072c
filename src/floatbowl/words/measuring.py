# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What to ride, measure and time, and how: every test that advice may ask for, every reading that may be written down."""

from __future__ import annotations

from floatbowl.words.looks import LOOKS, Look

TESTS: dict[str, Look] = {
    "ride and say": Look(
        act="Ride it warm and say what it does at each opening",
        how=(
            "Mark the grip with tape at 1/4, 1/2 and 3/4. Ten minutes, then each opening once, slowly and snapped.",
            "Say every opening, the clean ones too: what is right tells as much as what is wrong.",
        ),
        found="Write it down, one line an opening: floatbowl said BIKE 1/4 bogs --snap.",
        not_found="It ran clean? Write that down as well: floatbowl said BIKE 1/4 clean.",
        care=("test ride",),
    ),
    "choke test": Look(
        act="Ease the choke on a little while you hold the throttle",
        how=(
            "Warm, a steady hand at that opening, the choke on by a quarter: better, worse, or no change?",
            "Better: short of fuel there. Worse: too much. It tells less above 1/2: the choke is small.",
        ),
        found="Write it down: floatbowl measured BIKE choke AT better (or worse).",
        not_found='No change tells something too: floatbowl measured BIKE choke AT "no change".',
        care=("test ride",),
        is_at_an_opening=True,
    ),
    "hand over the intake": Look(
        act="Cover the intake slowly with your hand, at idle",
        how=(
            "Warm, filter off, glove on, outside. Take three seconds to cover it: clapping the hand on tells nothing.",
            "Does the idle rise at some point before it sinks, or does it only sink?",
        ),
        found="It rises first: short of fuel, or air leaks in. floatbowl measured BIKE hand rises.",
        not_found="It only sinks: neither. floatbowl measured BIKE hand sinks.",
        care=("running indoors", "hand in the intake"),
    ),
    "idle sweep": Look(
        act="Note the idle speed at four or five places of the mixture screw",
        how=(
            "Warm, the idle stop left alone. From where it stands half a turn at a time, both ways; half a minute at each.",
            "Counter or ear, each place its own number; 0 where it died. Put the screw back where it was.",
        ),
        found="Write all of it in one line, turns out = speed: floatbowl measured BIKE sweep 1.0=1380 1.5=1450 2.0=1430.",
        not_found="The same speed at every place is an answer too: the screw has no say there. Write it down.",
        care=("running indoors",),
    ),
    "roll-on pair": Look(
        act="Time a roll-on three times, and three times with half choke",
        how=(
            "Same gear, same stretch, both ways, from one tape mark to another. One person holds the watch.",
            "Only a difference larger than the scatter of your own three runs counts.",
        ),
        found="Write every run down, not the mean: floatbowl measured BIKE rollon AT 3.9s 4.0s 3.9s.",
        not_found="Then the ones with choke: floatbowl measured BIKE rollon AT 3.4s 3.5s 3.4s --choke half.",
        care=("test ride",),
        is_at_an_opening=True,
    ),
    "plug chop": Look(
        act="Read the plug after a clean cut",
        how=(
            "Warm, clean plug: hold the opening under load for 300 m, then clutch in and switch off at the same moment.",
            "Coast, take it out, read the ring at the foot of the white. Idling back first spoils it.",
        ),
        found="Write the colour down: floatbowl measured BIKE plug AT tan.",
        not_found="A colour you cannot name tells nothing: leave it out.",
        care=("plug chop",),
        is_at_an_opening=True,
    ),
    "lambda log": Look(
        act="Log lambda at a steady hand",
        how=(
            "Sensor in the pipe, warm, hold the opening for five seconds, read when it stands still.",
            "Write the engine speed beside it if you have a counter.",
        ),
        found="Write it down, one opening a line: floatbowl measured BIKE lambda AT 0.92.",
        not_found="A number that will not stand still tells of a misfire: say what it did instead.",
        care=("test ride", "hot pipe"),
        is_at_an_opening=True,
    ),
    "exhaust gas": Look(
        act="Read the exhaust gas at a steady hand",
        how=(
            "Engine and analyser warm, analyser zeroed in clean air, the hose well up the pipe and tight.",
            "Hold the opening until all four numbers stand still. Dry gas: the analyser takes the water out.",
        ),
        found="Write all four in one line: floatbowl measured BIKE gas co=2.1 co2=12.5 hc=250 o2=0.8 --at shut.",
        not_found="Much O2 beside much CO: a leak in the pipe or the hose, or a misfire. Look for it first.",
        care=("running indoors", "hot pipe"),
        is_at_an_opening=True,
    ),
    "touched last": Look(
        act="Ask what was worked on last, before the trouble began",
        how=(
            "Jets, needle, cleaning, carburettor off, float, filter, exhaust, hoses, plug, fuel, cable, valves, or nothing.",
            "The last job done is often the cause: hoses, clamps and clips first.",
        ),
        found="Write it down: floatbowl measured BIKE touched cleaning.",
        not_found="Nobody touched it? That is an answer: floatbowl measured BIKE touched nothing.",
    ),
}
"""Every test that is no look for a fault, by the key that advice names."""

WRITTEN: dict[str, tuple[str, str]] = {
    "plug": ("plug chop", "plug full tan"),
    "lambda": ("lambda log", "lambda 1/2 0.92 --rpm 5200"),
    "rollon": ("roll-on pair", "rollon 1/4 3.9s 4.0s --choke half"),
    "choke": ("choke test", "choke 1/4 better"),
    "hand": ("hand over the intake", "hand rises"),
    "sweep": ("idle sweep", "sweep 1.0=1380 1.5=1450 2.0=1430"),
    "level": ("fuel level by a clear hose", "level -1.5"),
    "touched": ("touched last", "touched cleaning"),
    "log": ("lambda log", "ride.csv"),
    "gas": ("exhaust gas", "gas co=2.1 co2=12.5 hc=250 o2=0.8 --at shut"),
}
"""Every kind of reading by the word it is written with: how it is taken, and how it is written down."""


def how_taken(kind: str) -> Look:
    """Give how a kind of reading is taken."""
    key, _ = WRITTEN[kind]
    return TESTS[key] if key in TESTS else LOOKS[key]
