# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What to look at, and how, for every fault and every test.

A look is done in minutes, with what lies in a shed; ``advice.looks`` knows how many.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One check or test: the act, two lines of how, and what each outcome means."""

    act: str
    how: tuple[str, str]
    found: str
    not_found: str
    care: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A fault in words: its name in a list, what to find first, and the look that finds it."""

    name: str
    find: str
    hides: str
    """Why jets must wait."""
    look: str


LOOKS: dict[str, Look] = {
    "light through the pilot jet": Look(
        act="Take the pilot jet out and hold it to the light",
        how=(
            "You must see a round, sharp hole right through. Any fuzz or half-moon of light is a block.",
            "Blow through its passage: air must come out of the idle outlet and out of every bypass hole.",
        ),
        found="Blocked: clean it, blow the passages backwards, put it back and ride.",
        not_found="Clear: it is not this. Write it down, and the next suspect moves to the top.",
        care=("bowl off", "blow through"),
    ),
    "spray through the pilot air jet": Look(
        act="Blow through the pilot air jet, at the mouth of the carburettor",
        how=(
            "Filter off: the small brass hole at the mouth. Blow in with the mixture screw out.",
            "Air must come out of the idle outlet and the screw's bore, as easily as through the main air jet.",
        ),
        found="Blocked: clear it with a strand of soft copper and blow it backwards.",
        not_found="Clear: it is not this. Write it down, and the next suspect moves to the top.",
        care=("blow through",),
    ),
    "spray from the bypass holes": Look(
        act="Spray cleaner into the pilot passage and watch the bypass holes",
        how=(
            "Slide out: the tiny holes in the floor of the bore, just engine side of the slide.",
            "Spray in at the screw's bore: a jet must stand out of each hole. This one is missed most.",
        ),
        found="A hole stays dry: soak it, clear it with a strand of soft copper, blow backwards, look again.",
        not_found="All spray: it is not this. Write it down, and the next suspect moves to the top.",
        care=("slide out", "blow through"),
    ),
    "light through the main jet": Look(
        act="Take the main jet out and hold it to the light",
        how=(
            "Round, bright and sharp, and the stamp is the one you wrote down.",
            "Look into the bowl too: grit, water beads or green crust will block it again.",
        ),
        found="Blocked: clean jet and bowl, and look at the strainer in the tap.",
        not_found="Clear: it is not this. Write it down, and the next suspect moves to the top.",
        care=("bowl off",),
    ),
    "light through the main air jet": Look(
        act="Blow through the main air jet, at the mouth of the carburettor",
        how=(
            "Filter off: the larger brass hole at the mouth.",
            "Air must come out round the needle, and every bleed hole of the needle jet must show light.",
        ),
        found="Blocked: clear the holes and blow them backwards.",
        not_found="Clear: it is not this. Write it down, and the next suspect moves to the top.",
        care=("blow through",),
    ),
    "soap on the joints": Look(
        act="Soap and water on the inlet rubber and its joints",
        how=(
            "Engine cold. Plug the mouth, blow a little air in by hand pump, bend the rubber while you look.",
            "Brush on soap and water: rubber, both clamps, flange, and on a two-stroke the crank seals.",
        ),
        found="Bubbles: the leak is there. Mend it, then ride once before any jet.",
        not_found="None: look at the crank seals of a two-stroke, then at slide and cable.",
        care=("soap",),
    ),
    "fuel level by a clear hose": Look(
        act="Hold a clear hose from the bowl drain up beside the bowl",
        how=(
            "Bike upright, tap on, drain open: the fuel stands in the hose where it stands in the bowl.",
            "Measure from the bowl joint down to the fuel, and write it down with the float height.",
        ),
        found="Wrong: set the float, one change, and measure again.",
        not_found="Right: it is not this. Write it down, and the next suspect moves to the top.",
        care=("bowl off",),
    ),
    "needle jet against the light": Look(
        act="Take the needle jet out and look at its hole",
        how=(
            "A round hole is good. A hole drawn out to one side has been worn by the needle.",
            "Look for a bright ring or a step on the needle at the same height.",
        ),
        found="Oval or stepped: a new needle jet and needle together; nothing else cures it.",
        not_found="Round: it is not this. Write it down, and the next suspect moves to the top.",
        care=("bowl off", "slide out"),
    ),
    "breathe through the vents": Look(
        act="Pull both vent hoses off the bowl and breathe through them",
        how=(
            "Follow each hose to its end: mud, a kink or a wasp's nest is enough.",
            "Then ride the same stretch with the hoses off. Open the tank cap as well.",
        ),
        found="Blocked: clear or cut back the hose and lay it without a kink.",
        not_found="Free: it is not this. Write it down, and the next suspect moves to the top.",
    ),
    "choke seat": Look(
        act="See that the choke shuts",
        how=(
            "The plunger must sit right down on its rubber; a cable needs 1 to 2 mm of slack.",
            "Engine warm at idle: pull it on a little. If nothing changes, it was never off.",
        ),
        found="It does not seat: free it, set the slack, new rubber if it is cut.",
        not_found="It seats: it is not this. Write it down, and the next suspect moves to the top.",
        care=("running indoors",),
    ),
    "filter off for a moment": Look(
        act="Take the air filter off and run it for ten seconds",
        how=(
            "Warm, outside, in clean air, no load: does it clear up at once?",
            "Hold the filter to a lamp: you must see light through it everywhere.",
        ),
        found="It clears up: wash or change the filter, oil it lightly, fit it as it will be ridden.",
        not_found="No change: the filter breathes.",
        care=("running indoors",),
    ),
    "idle stop right out": Look(
        act="Turn the idle stop right out",
        how=(
            "Engine warm, outside: with the stop out, a slide carburettor should die or nearly so.",
            "Still high? Turn the bars lock to lock, feel the cable for play, and let the slide snap shut.",
        ),
        found="It stays up: free the cable or the slide before you ride.",
        not_found="It dies: the slide shuts. Still high and wandering before? Look for an air leak.",
        care=("throttle", "running indoors"),
    ),
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
    "plug": Look(
        act="Read the plug after a clean cut",
        how=(
            "Warm, clean plug: hold the opening under load for 300 m, then clutch in and switch off at the same moment.",
            "Coast, take it out, read the ring at the foot of the white. Idling back first spoils it.",
        ),
        found="Write the colour down: floatbowl measured BIKE plug full tan.",
        not_found="A colour you cannot name tells nothing: leave it out.",
        care=("plug chop",),
    ),
    "rollon": Look(
        act="Time a roll-on three times, and three times with half choke",
        how=(
            "Same gear, same stretch, both ways, from one tape mark to another. One person holds the watch.",
            "Only a difference larger than the scatter of your own three runs counts.",
        ),
        found="Write every run down, not the mean: floatbowl measured BIKE rollon 1/4 3.9s 4.0s.",
        not_found="No difference is an answer as well: write it down.",
        care=("test ride",),
    ),
    "lambda": Look(
        act="Log lambda at a steady hand",
        how=(
            "Sensor in the pipe, warm, hold the opening for five seconds, read when it stands still.",
            "Write the engine speed beside it if you have a counter.",
        ),
        found="Write it down, one opening a line: floatbowl measured BIKE lambda 1/2 0.92.",
        not_found="A number that will not stand still tells of a misfire: say what it did instead.",
        care=("test ride", "hot pipe"),
    ),
}
"""Every look by its key; the key is what advice names."""

SUSPECTS: dict[str, Suspect] = {
    "pilot jet blocked": Suspect(
        name="Pilot jet blocked",
        find="the block in the pilot",
        hides="A bigger jet cannot do the work of a blocked one, and is too much the day it clears.",
        look="light through the pilot jet",
    ),
    "pilot air jet blocked": Suspect(
        name="Pilot air jet blocked",
        find="the block in the pilot air",
        hides="A smaller pilot would hide it and leave you short of fuel the day it clears.",
        look="spray through the pilot air jet",
    ),
    "bypass holes blocked": Suspect(
        name="Bypass holes blocked",
        find="the block in the bypass holes",
        hides="No jet reaches these holes while they are shut.",
        look="spray from the bypass holes",
    ),
    "main jet blocked": Suspect(
        name="Main jet blocked",
        find="the block in the main jet",
        hides="A half-blocked main at full opening is short of fuel, and another jet will block again.",
        look="light through the main jet",
    ),
    "main air jet blocked": Suspect(
        name="Main air jet blocked",
        find="the block in the main air",
        hides="Without its air the main gives too much higher up, whatever is stamped on it.",
        look="light through the main air jet",
    ),
    "air leak": Suspect(
        name="Air leak",
        find="the air leak",
        hides="No jet explains what it does. Richer jets would hide a leak, and a leak can seize an engine.",
        look="soap on the joints",
    ),
    "fuel level low": Suspect(
        name="Fuel level low",
        find="why the fuel stands low",
        hides="The level moves every opening at once; jets set to a wrong level are all wrong later.",
        look="fuel level by a clear hose",
    ),
    "fuel level high": Suspect(
        name="Fuel level high",
        find="why the fuel stands high",
        hides="The level moves every opening at once; jets set to a wrong level are all wrong later.",
        look="fuel level by a clear hose",
    ),
    "needle jet worn": Suspect(
        name="Needle jet worn",
        find="the wear in the needle jet",
        hides="No clip and no jet cures a worn hole: it gets too much at small openings whatever you fit.",
        look="needle jet against the light",
    ),
    "bowl vent blocked": Suspect(
        name="Bowl vent blocked",
        find="the block in the vent",
        hides="A bowl that cannot breathe starves every jet, whatever its size.",
        look="breathe through the vents",
    ),
    "choke not off": Suspect(
        name="Choke not off",
        find="what keeps the choke open",
        hides="Smaller jets would hide it and leave you short the day it shuts.",
        look="choke seat",
    ),
    "air filter clogged": Suspect(
        name="Air filter clogged",
        find="what clogs the air filter",
        hides="Smaller jets would suit a dirty filter only, and be short with a clean one.",
        look="filter off for a moment",
    ),
    "slide hangs open": Suspect(
        name="Slide or cable hangs",
        find="what holds the slide open",
        hides="No jet shuts a slide.",
        look="idle stop right out",
    ),
}
"""Every fault of ``bike.faults`` in words."""


def look_for(key: str) -> Look:
    """Give a look by its own key or by the fault it is to find."""
    return LOOKS[SUSPECTS[key].look if key in SUSPECTS else key]
