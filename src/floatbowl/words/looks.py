# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What to look at, and how, for every fault and every test.

A look is done in minutes, with what lies in a shed; ``advice.looks`` knows how many.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One check or test: the act, two lines of how, and what each outcome looks like or asks for."""

    act: str
    how: tuple[str, str]
    found: str
    not_found: str
    care: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A fault in words: its name in a list, what to find first, the look that finds it, how to mend it."""

    name: str
    find: str
    hides: str
    """Why jets must wait."""
    look: str
    act: str
    """What the hand does to mend it."""
    mend: tuple[str, str]


LOOKS: dict[str, Look] = {
    "light through the pilot jet": Look(
        act="Take the pilot jet out and hold it to the light",
        how=(
            "You must see a round, sharp hole right through. Any fuzz or half-moon of light is a block.",
            "Blow through its passage: air must come out of the idle outlet and out of every bypass hole.",
        ),
        found="Blocked: it is this.",
        not_found="Clear: it is not this.",
        care=("bowl off", "blow through"),
    ),
    "spray through the pilot air jet": Look(
        act="Blow through the pilot air jet, at the mouth of the carburettor",
        how=(
            "Filter off: the small brass hole at the mouth. Blow in with the mixture screw out.",
            "Air must come out of the idle outlet and the screw's bore, as easily as through the main air jet.",
        ),
        found="Blocked: it is this.",
        not_found="Clear: it is not this.",
        care=("blow through",),
    ),
    "spray from the bypass holes": Look(
        act="Spray cleaner into the pilot passage and watch the bypass holes",
        how=(
            "Slide out: the tiny holes in the floor of the bore, just engine side of the slide.",
            "Spray in at the screw's bore: a jet must stand out of each hole. This one is missed most.",
        ),
        found="A hole stays dry: it is this.",
        not_found="All spray: it is not this.",
        care=("slide out", "blow through"),
    ),
    "light through the main jet": Look(
        act="Take the main jet out and hold it to the light",
        how=(
            "Round, bright and sharp, and the stamp is the one you wrote down.",
            "Look into the bowl too: grit, water beads or green crust will block it again.",
        ),
        found="Blocked: it is this.",
        not_found="Clear: it is not this.",
        care=("bowl off",),
    ),
    "light through the main air jet": Look(
        act="Blow through the main air jet, at the mouth of the carburettor",
        how=(
            "Filter off: the larger brass hole at the mouth.",
            "Air must come out round the needle, and every bleed hole of the needle jet must show light.",
        ),
        found="Blocked: it is this.",
        not_found="Clear: it is not this.",
        care=("blow through",),
    ),
    "soap on the joints": Look(
        act="Soap and water on the inlet rubber and its joints",
        how=(
            "Engine cold. Plug the mouth, blow a little air in by hand pump, bend the rubber while you look.",
            "Brush on soap and water: rubber, both clamps, flange, and on a two-stroke the crank seals.",
        ),
        found="Bubbles: the leak is there.",
        not_found="None: no leak at the joints. On a two-stroke, look at the crank seals too.",
        care=("soap",),
    ),
    "fuel level by a clear hose": Look(
        act="Hold a clear hose from the bowl drain up beside the bowl",
        how=(
            "Bike upright, tap on, drain open: the fuel stands in the hose where it stands in the bowl.",
            "Measure from the bowl joint down to the fuel, and write it down with the float height.",
        ),
        found="Wrong: it is this.",
        not_found="Right: it is not this.",
        care=("bowl off",),
    ),
    "needle jet against the light": Look(
        act="Take the needle jet out and look at its hole",
        how=(
            "A round hole is good. A hole drawn out to one side has been worn by the needle.",
            "Look for a bright ring or a step on the needle at the same height.",
        ),
        found="Oval or stepped: it is this.",
        not_found="Round: it is not this.",
        care=("bowl off", "slide out"),
    ),
    "breathe through the vents": Look(
        act="Pull both vent hoses off the bowl and breathe through them",
        how=(
            "Follow each hose to its end: mud, a kink or a wasp's nest is enough.",
            "Then ride the same stretch with the hoses off. Open the tank cap as well.",
        ),
        found="Blocked: it is this.",
        not_found="Free: it is not this.",
    ),
    "choke seat": Look(
        act="See that the choke shuts",
        how=(
            "The plunger must sit right down on its rubber; a cable needs 1 to 2 mm of slack.",
            "Engine warm at idle: pull it on a little. If nothing changes, it was never off.",
        ),
        found="It does not seat: it is this.",
        not_found="It seats: it is not this.",
        care=("running indoors",),
    ),
    "filter off for a moment": Look(
        act="Take the air filter off and run it for ten seconds",
        how=(
            "Warm, outside, in clean air, no load: does it clear up at once?",
            "Hold the filter to a lamp: you must see light through it everywhere.",
        ),
        found="It clears up: it is this.",
        not_found="No change: the filter breathes.",
        care=("running indoors",),
    ),
    "idle stop right out": Look(
        act="Turn the idle stop right out",
        how=(
            "Engine warm, outside: with the stop out, a slide carburettor should die or nearly so.",
            "Still high? Turn the bars lock to lock, feel the cable for play, and let the slide snap shut.",
        ),
        found="It stays up: it is this.",
        not_found="It dies: the slide shuts.",
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
        act="Clear the pilot jet",
        mend=(
            "Soak it, then a strand of soft copper through the hole, never steel. Blow its passage backwards.",
            "Hold it to the light again: round and sharp. Then clean what blocked it out of bowl and tank.",
        ),
    ),
    "pilot air jet blocked": Suspect(
        name="Pilot air jet blocked",
        find="the block in the pilot air",
        hides="A smaller pilot would hide it and leave you short of fuel the day it clears.",
        look="spray through the pilot air jet",
        act="Clear the pilot air jet",
        mend=(
            "Spray cleaner in at the mouth, wait, then blow backwards from the bore of the mixture screw, screw out.",
            "Blow in at the mouth again: it must go as easily as through the main air jet.",
        ),
    ),
    "bypass holes blocked": Suspect(
        name="Bypass holes blocked",
        find="the block in the bypass holes",
        hides="No jet reaches these holes while they are shut.",
        look="spray from the bypass holes",
        act="Clear the bypass holes",
        mend=(
            "Soak the bare body, rubber parts off. Then a strand of soft copper through each hole, and blow backwards.",
            "Spray in at the screw's bore again: a jet must stand out of every hole.",
        ),
    ),
    "main jet blocked": Suspect(
        name="Main jet blocked",
        find="the block in the main jet",
        hides="A half-blocked main at full opening is short of fuel, and another jet will block again.",
        look="light through the main jet",
        act="Clear the main jet",
        mend=(
            "Soak it, a strand of soft copper through the hole, and blow. A scratched hole is another size: renew it.",
            "Clean the bowl, and look at hose and strainer in the tap, or it will block again.",
        ),
    ),
    "main air jet blocked": Suspect(
        name="Main air jet blocked",
        find="the block in the main air",
        hides="Without its air the main gives too much higher up, whatever is stamped on it.",
        look="light through the main air jet",
        act="Clear the main air jet",
        mend=(
            "Needle jet out: clear every bleed hole with soft copper, and spray the passage from the mouth.",
            "Blow in at the mouth: air must come out freely where the needle jet sat.",
        ),
    ),
    "air leak": Suspect(
        name="Air leak",
        find="the air leak",
        hides="No jet explains what it does. Richer jets would hide a leak, and a leak can seize an engine.",
        look="soap on the joints",
        act="Mend the air leak",
        mend=(
            "A new rubber or gasket; sealant on a crack does not last. Flange flat and clean, clamps square and tight.",
            "Where a crank seal bubbled, a new seal. Soap it all once more: no bubbles.",
        ),
    ),
    "fuel level low": Suspect(
        name="Fuel level low",
        find="why the fuel stands low",
        hides="The level moves every opening at once; jets set to a wrong level are all wrong later.",
        look="fuel level by a clear hose",
        act="Bring the fuel level up",
        mend=(
            "See first that fuel runs freely from tap and tank. Then bend the tang a little, so that the valve shuts later.",
            "Measure by the hose again, and write the float height down: floatbowl fitted BIKE float=18.",
        ),
    ),
    "fuel level high": Suspect(
        name="Fuel level high",
        find="why the fuel stands high",
        hides="The level moves every opening at once; jets set to a wrong level are all wrong later.",
        look="fuel level by a clear hose",
        act="Bring the fuel level down",
        mend=(
            "A float with fuel in it and a worn valve are renewed. Else bend the tang a little, so that it shuts sooner.",
            "Measure by the hose again, and write the float height down: floatbowl fitted BIKE float=18.",
        ),
    ),
    "needle jet worn": Suspect(
        name="Needle jet worn",
        find="the wear in the needle jet",
        hides="No clip and no jet cures a worn hole: it gets too much at small openings whatever you fit.",
        look="needle jet against the light",
        act="Renew the needle jet",
        mend=(
            "A new needle jet and a new needle of the same stamps, together: an old needle soon spoils a new jet.",
            "See that the needle hangs straight and the clip sits in the groove you wrote down.",
        ),
    ),
    "bowl vent blocked": Suspect(
        name="Bowl vent blocked",
        find="the block in the vent",
        hides="A bowl that cannot breathe starves every jet, whatever its size.",
        look="breathe through the vents",
        act="Clear the vents of the bowl",
        mend=(
            "Blow the hoses through, cut off a muddy or kinked end, and lay them where nothing can pinch them.",
            "Blow gently into the bare vents as well, and see that the tank cap breathes.",
        ),
    ),
    "choke not off": Suspect(
        name="Choke not off",
        find="what keeps the choke open",
        hides="Smaller jets would hide it and leave you short the day it shuts.",
        look="choke seat",
        act="Let the choke shut",
        mend=(
            "Free the plunger or the flap, give the cable 1 to 2 mm of slack, and renew the rubber foot if it is cut.",
            "Engine warm at idle: pulling it on must change something at once.",
        ),
    ),
    "air filter clogged": Suspect(
        name="Air filter clogged",
        find="what clogs the air filter",
        hides="Smaller jets would suit a dirty filter only, and be short with a clean one.",
        look="filter off for a moment",
        act="Clean the air filter",
        mend=(
            "Wash it in filter cleaner or warm soapy water, never in petrol. Dry it, oil it lightly, squeeze it out.",
            "Grease its rim and seat it all round: dust that gets past it wears the engine out.",
        ),
    ),
    "slide hangs open": Suspect(
        name="Slide or cable hangs",
        find="what holds the slide open",
        hides="No jet shuts a slide.",
        look="idle stop right out",
        act="Free the slide",
        mend=(
            "Cable with free play at both locks of the bars and no kink; slide and bore clean and dry, without a burr.",
            "Spring in its seat. Twist, let go, it must snap shut by itself. Then set the idle stop.",
        ),
    ),
}
"""Every fault of ``bike.faults`` in words."""


def look_for(key: str) -> Look:
    """Give a look by its own key or by the fault it is to find."""
    return LOOKS[SUSPECTS[key].look if key in SUSPECTS else key]
