# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""Every fault in words: what it is called, why jets must wait for it, what to look at, and how it is mended."""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.words.looks import LOOKS, Look
from floatbowl.words.measuring import TESTS


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
    care: tuple[str, ...] = ()
    """What to mind while the bike has it, whatever look is made."""


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
        care=("main blocked",),
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
        hides="Richer jets would hide a leak, and a leak can seize an engine.",
        look="soap on the joints",
        act="Mend the air leak",
        mend=(
            "A new rubber or gasket; sealant on a crack does not last. Flange flat and clean, clamps square and tight.",
            "Soap it all once more: no bubbles. Then the idle stop where it was.",
        ),
        care=("leak",),
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
        care=("throttle",),
    ),
    "crank seal leaks": Suspect(
        name="Crank seal leaks",
        find="out whether a crank seal leaks",
        hides="Air that comes in below the piston makes it short of fuel and oil at once: it seizes, whatever jet is in.",
        look="crankcase under pressure",
        act="Renew the crank seals",
        mend=(
            "Both sides, with the bearings looked at: play in the shaft wears a new seal out in an hour. Oil the lips.",
            "Put it under pressure again before it runs: it must hold for five minutes.",
        ),
        care=("crank seal",),
    ),
    "float sinks": Suspect(
        name="Float has fuel in it",
        find="out whether the float sinks",
        hides="A float that sinks lets the fuel stand higher every minute: no jet keeps up with it.",
        look="float held under",
        act="Renew the float",
        mend=(
            "A plastic float is renewed, never glued. A brass one may be soldered, empty and dry, far from any petrol.",
            "Set its height anew and write it down: floatbowl fitted BIKE float=18.",
        ),
        care=("petrol",),
    ),
    "float valve leaks": Suspect(
        name="Float valve leaks",
        find="what lets petrol past the float valve",
        hides="Fuel that runs on by itself is too much at every opening, and it ends on the floor or in the engine.",
        look="float valve under pressure",
        act="Make the float valve tight",
        mend=(
            "Clean seat and valve. A ring worn into the tip: a new valve, with its seat where it comes out. Never polish a seat.",
            "Tap on for ten minutes, dry paper under the overflow: not a drop. Tap off whenever it stands.",
        ),
        care=("float valve", "petrol"),
    ),
    "needle worn": Suspect(
        name="Needle worn",
        find="the wear on the needle",
        hides="A worn needle gives too much where it has worn, and no clip moves it away from there.",
        look="needle under the caliper",
        act="Renew the needle",
        mend=(
            "A new needle and a new needle jet of the same stamps, together: they wear each other.",
            "See that it hangs straight, the clip sits in the groove you wrote down, and its tip finds the jet.",
        ),
    ),
    "wrong needle": Suspect(
        name="Wrong needle",
        find="out which needle is in",
        hides="Another needle is another carburettor in the middle: main and pilot cannot make up for it.",
        look="needle under the caliper",
        act="Fit the right needle",
        mend=(
            "The one the book names, by stamp and by length. Keep the other in a bag with the bike's name.",
            "It has another shape on purpose? Put it into the drawer's file, and say that it is fitted.",
        ),
    ),
    "tank vent blocked": Suspect(
        name="Tank vent blocked",
        find="out whether the tank breathes",
        hides="A tank that cannot breathe starves the bowl after some minutes; a bigger jet empties it sooner.",
        look="tank cap opened",
        act="Clear the tank vent",
        mend=(
            "Cap off: blow through its valve both ways, wash it out, look at the hose for kinks and mud.",
            "Cap on, suck on its hose: air must come. Then ride until it used to fade.",
        ),
        care=("petrol",),
    ),
    "fuel tap clogged": Suspect(
        name="Fuel tap or strainer clogged",
        find="what holds the fuel back",
        hides="Where the bowl is not filled fast enough a bigger jet only empties it sooner.",
        look="flow from the tap",
        act="Let the fuel run freely",
        mend=(
            "Drain the tank, take the tap out, wash its strainer, look for rust. A soft or kinked hose is renewed.",
            "Rust in the tank comes back: get it out, and put a filter in the hose. Let it run into the can again.",
        ),
        care=("petrol",),
    ),
    "air filter torn or gone": Suspect(
        name="Air filter torn or gone",
        find="where air gets past the filter",
        hides="Jets set without a filter are wrong with one, and the dust wears the engine out meanwhile.",
        look="filter in the hand",
        act="Fit a whole air filter",
        mend=(
            "A new one, oiled, its rim greased and seated all round; airbox and inlet wiped out first.",
            "Jet it as it is ridden: with this filter and this box, or not at all.",
        ),
    ),
    "valve too tight": Suspect(
        name="Valve too tight",
        find="out whether a valve is too tight",
        hides="A valve that does not shut loses what the jet gives, most of all at idle, and burns its seat.",
        look="valve clearance",
        act="Set the valve clearance",
        mend=(
            "Stone cold, piston at the top of its firing stroke: set it as the book says, and turn it over twice.",
            "Measure again after the first ride. Tight again soon: the seat is going, and that is no job for jets.",
        ),
    ),
    "weak spark": Suspect(
        name="Weak spark",
        find="out whether the spark is weak",
        hides="A spark that fails under load feels like too much fuel, and fouls the next plug as well.",
        look="new plug",
        act="Make the spark strong",
        mend=(
            "A new plug of the right range and gap, a dry cap screwed onto a fresh end of the lead, earths bright and tight.",
            "Still weak: coil and stator measured warm, as the book says. Then ride the same stretch.",
        ),
        care=("spark",),
    ),
    "ignition cuts out": Suspect(
        name="Ignition cuts out",
        find="what cuts the spark",
        hides="What dies like a switch is no mixture: no jet is that quick.",
        look="wires and switch shaken",
        act="Mend the ignition's wires",
        mend=(
            "Kill switch opened and cleaned, plugs apart, bright and greased, every earth to bare metal, no wire rubbed through.",
            "Cuts out hot only: the coil, the pick-up or the box. Swap a known good one before you buy.",
        ),
        care=("spark",),
    ),
    "water or stale fuel": Suspect(
        name="Water or stale fuel",
        find="out what is in the tank",
        hides="Water does not burn and varnish blocks jets: set on such fuel, it is wrong on good fuel.",
        look="fresh petrol",
        act="Get fresh petrol in",
        mend=(
            "Drain tank, tap, hose and bowl; wipe the bowl dry. Old petrol goes to the collecting point, never down a drain.",
            "Fresh petrol, in a two-stroke with its oil. Varnish in the bowl: the jets want cleaning too.",
        ),
        care=("petrol",),
    ),
    "exhaust leaks": Suspect(
        name="Exhaust leaks",
        find="where the exhaust leaks",
        hides="A leak pops when you shut it and the mixture has no part in that: a richer pilot would only hide it.",
        look="exhaust joints",
        act="Make the exhaust tight",
        mend=(
            "A new gasket, flange flat, springs and bolts tight; a cracked seam welded, packing renewed if it is burnt out.",
            "Wet rag again, started cold: no flutter.",
        ),
        care=("running indoors", "hot pipe"),
    ),
}
"""Every fault of ``bike.faults`` in words."""


def look_for(key: str) -> Look:
    """Give a look or test by its own key, or the look for a fault by the fault's."""
    name = SUSPECTS[key].look if key in SUSPECTS else key
    return TESTS[name] if name in TESTS else LOOKS[name]
