# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What to look at in the shed, and how: every look that finds a fault or clears it.

A look is done in minutes, with what lies in a shed; ``advice.looks`` knows how many.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One check or test: the act, two lines of how, and what each outcome looks like or asks for.

    BIKE and AT in a command stand for the bike and the opening.
    """

    act: str
    how: tuple[str, str]
    found: str
    not_found: str
    measure: str = ""
    """How to write it down as a number instead, where there is one."""
    care: tuple[str, ...] = ()
    is_at_an_opening: bool = False
    """Whether it is made at the opening that advice names."""
    mends: bool = False
    """Whether making the look puts right what it finds."""


LOOKS: dict[str, Look] = {
    "soap on the joints": Look(
        act="Soap and water on the inlet rubber and its joints",
        how=(
            "Engine cold. Plug the mouth, blow a little air in by hand pump, bend the rubber while you look.",
            "Brush on soap and water: rubber, both clamps, flange, and the seat of the spark plug.",
        ),
        found="Bubbles: the leak is there.",
        not_found="None: no leak at the joints. On a two-stroke the crank seals are still to be looked at.",
        care=("soap",),
    ),
    "crankcase under pressure": Look(
        act="Put the crankcase under a little pressure and see if it holds",
        how=(
            "Close inlet and exhaust, piston at the bottom, blow in 0.4 bar through the plug hole by hand pump. It must hold 5 minutes.",
            "It falls? Soap on both crank seals, the base and the inlet: bubbles show which. Never more than 0.6 bar.",
        ),
        found="It does not hold: a seal or a joint leaks.",
        not_found="It holds: neither seals nor joints leak.",
        care=("crank seal", "soap"),
    ),
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
        care=("slide out", "spray"),
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
    "fuel level by a clear hose": Look(
        act="Hold a clear hose from the bowl drain up beside the bowl",
        how=(
            "Bike upright, tap on, drain open: the fuel stands in the hose where it stands in the bowl.",
            "Measure from the bowl joint to the fuel, against the book. Wait five minutes: it must not creep up.",
        ),
        found="More than 2 mm off, or it creeps up: it is the level, the float or its valve.",
        not_found="Within 2 mm and still: it is none of these.",
        measure="Better still, write the millimetres down, minus below the book level: floatbowl measured BIKE level -1.5.",
        care=("petrol",),
    ),
    "float held under": Look(
        act="Take the float out and hold it under warm water",
        how=(
            "Shake it first: no petrol may splash inside. Under warm water no bubble may rise from it.",
            "Then look at its sides: shiny places have rubbed against the bowl, and the float hung there.",
        ),
        found="It splashes, bubbles or has rubbed: it is this.",
        not_found="Dry, tight and free: it is not this.",
        care=("bowl off", "petrol"),
    ),
    "float valve under pressure": Look(
        act="Blow gently into the fuel hose, the bowl upside down",
        how=(
            "Emptied and on its head, so that the float shuts the valve by its own weight: nothing may pass.",
            "Valve out: a ring worn into its tip, a sprung pin that sticks, or grit on the seat lets petrol by.",
        ),
        found="Air passes: it is this.",
        not_found="It holds: it is not this.",
        care=("bowl off", "petrol"),
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
    "needle under the caliper": Look(
        act="Take the needle out, read its stamp and measure it",
        how=(
            "Stamp and grooves as the book says? A repair kit's needle often is another one. Measure at three places.",
            "A bright ring or a step is wear: 0.02 mm less than beside it is felt. Clip tight in the groove you wrote down.",
        ),
        found="Worn or another needle: it is this.",
        not_found="The right one, and whole: it is not this.",
        care=("slide out",),
    ),
    "breathe through the vents": Look(
        act="Pull both vent hoses off the bowl and breathe through them",
        how=(
            "Follow each hose to its end: mud, a kink or a wasp's nest is enough.",
            "Then ride the same stretch with the hoses off.",
        ),
        found="Blocked, or it runs better without them: it is this.",
        not_found="Free, and no change: it is not this.",
    ),
    "tank cap opened": Look(
        act="Ride until it fades, then open the tank cap at once",
        how=(
            "Stop where it is safe, engine still running or just dead: open the cap. A hiss, and it runs again within seconds?",
            "Or ride the same stretch slowly with the cap loose, the tank not full, a rag round it.",
        ),
        found="It hisses and runs again: the tank cannot breathe.",
        not_found="No change with the cap open: it breathes.",
        care=("petrol", "test ride"),
    ),
    "flow from the tap": Look(
        act="Pull the fuel hose off the carburettor and let it run into a can",
        how=(
            "Cap loose, tap on: a steady stream, 0.2 to 0.4 litres in a minute for a 125 to 250. Let it run half a minute.",
            "It drips, or begins well and dies away? Strainer, tap, hose, in this order. Reserve as well.",
        ),
        found="A trickle: it is this.",
        not_found="A steady stream: it is not this.",
        care=("petrol",),
    ),
    "choke seat": Look(
        act="See that the choke shuts",
        how=(
            "The plunger must sit right down on its rubber; a cable needs 1 to 2 mm of slack. A flap must stand fully open.",
            "Engine warm at idle: pull it on a little. If nothing changes, it was never off.",
        ),
        found="It does not shut: it is this.",
        not_found="It shuts: it is not this.",
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
    "filter in the hand": Look(
        act="Take the air filter out and look at it in the light",
        how=(
            "A tear, a hole, a rim that does not seat, dust behind it: air goes past. Black, dry or dripping with oil: it cannot breathe.",
            "Look into the airbox as well: rags, leaves, nests. And see that it is the filter this bike is ridden with.",
        ),
        found="Torn, gone, loose or clogged: it is this.",
        not_found="Whole, clean and seated: it is not this.",
    ),
    "idle stop right out": Look(
        act="Turn the idle stop right out",
        how=(
            "Engine warm, outside: with the stop out, a slide carburettor should die or nearly so.",
            "Still high? Turn the bars lock to lock, feel the cable for play, and let the slide snap shut.",
        ),
        found="It stays up: the slide hangs, or air comes in elsewhere.",
        not_found="It dies: the slide shuts, and no air comes in elsewhere.",
        care=("throttle", "running indoors"),
    ),
    "new plug": Look(
        act="Put in a new spark plug of the right kind, with the cap tight",
        how=(
            "Range and gap as the book says. Lead trimmed and screwed into the cap, no wet, no crack. A spark in open air proves little.",
            "Ride the same stretch again before anything else is touched.",
        ),
        found="It runs better: it was the spark. Leave the new plug in.",
        not_found="No change: it was not the plug. Keep the old one.",
        care=("hot pipe", "spark"),
        mends=True,
    ),
    "wires and switch shaken": Look(
        act="Shake the wires and pull the stop switch off, engine running",
        how=(
            "Outside, in neutral, at a fast idle: wiggle kill switch, plugs and earths one by one; bars from lock to lock.",
            "Then unplug the kill switch on the stand, choke ready to stall it: does it run clean now? Plug it back before you ride.",
        ),
        found="It misses or dies when you touch one, or runs without the switch: it is this.",
        not_found="Nothing makes it miss: it is not this, as far as shaking tells.",
        care=("spark", "running indoors"),
    ),
    "fresh petrol": Look(
        act="Drain tank and bowl, and fill in fresh petrol",
        how=(
            "Catch it in a clear glass: beads or a layer at the bottom are water; a smell of varnish is old age.",
            "Blow the hose through, fresh petrol from another can, in a two-stroke with its oil. Run it five minutes, ride.",
        ),
        found="Water, varnish, or it runs better: it was the fuel.",
        not_found="Clean, and no change: it was not the fuel.",
        care=("petrol",),
        mends=True,
    ),
    "exhaust joints": Look(
        act="Look for soot at the exhaust joints, and feel for puffs",
        how=(
            "Cold: black streaks at the head, the clamps and the seams. Springs and bolts tight, gasket in one piece?",
            "Started cold and outside: a wet rag near each joint, a hand's breadth off. It flutters where it leaks.",
        ),
        found="It puffs or has sooted: it is this.",
        not_found="Dry and tight: it is not this.",
        care=("running indoors", "hot pipe"),
    ),
    "valve clearance": Look(
        act="Measure the valve clearance, engine stone cold",
        how=(
            "Piston at the top of its firing stroke, both valves shut: the right blade must pass with a light drag.",
            "No play at all on the inlet is what makes it start and idle badly. Write down what you found before you set it.",
        ),
        found="Too tight: it is this.",
        not_found="As the book says: it is not this.",
    ),
    "cleaned by spray": Look(
        act="Clean the carburettor by spray, every passage",
        how=(
            "Bowl and jets out. Spray each passage from both ends and watch where it comes out: outlet, bypass holes, screw's bore.",
            "A passage that only drips is still blocked. Spray alone misses as much as it finds.",
        ),
        found="Something came out, or it runs better: it was blocked.",
        not_found="Nothing came out, and no change: likely clear, not surely.",
        care=("spray", "bowl off"),
        mends=True,
    ),
    "cleaned by hand": Look(
        act="Clean the carburettor by hand, every jet and passage",
        how=(
            "Jets out and held to the light, a strand of soft copper through each, passages blown through backwards.",
            "The holes you cannot see through are the ones: pilot passage, bypass holes, bleed holes of the needle jet.",
        ),
        found="Something came out, or it runs better: it was blocked.",
        not_found="Nothing came out, and no change: likely clear.",
        care=("bowl off", "blow through"),
        mends=True,
    ),
    "cleaned in a bath": Look(
        act="Clean the bare body and the jets in a bath",
        how=(
            "All rubber off. Ten to fifteen minutes, ultrasonic if you have it; rinse, blow backwards through every passage.",
            "See spray come out of every hole. One that stays shut goes in again: it often takes two goes.",
        ),
        found="Something came out, or it runs better: it was blocked.",
        not_found="Nothing came out, and no change: clear.",
        care=("bowl off", "blow through"),
        mends=True,
    ),
    "strip and clean": Look(
        act="Take the carburettor off, strip it, clean it, look at every part",
        how=(
            "One part after the other to the light: jets, passages, float, valve, needle, needle jet, choke, slide, vents.",
            "Write down the clip's groove and the turns of the screw before they move. Old parts into a bag with the bike's name.",
        ),
        found="Something blocked, worn or wrong: it is that. Name it when you write down that it is mended.",
        not_found="All clean and whole: it is none of what you looked at.",
        care=("bowl off", "slide out"),
        mends=True,
    ),
}
"""Every look by its key, those of ``signs.trial.SHOWS``; the key is what advice names."""
