# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""The guide: what to do with your hands, one job a page, with what is usual and what to mind.

Limits are common practice or from memory, as each says; what the book of the
very machine says goes before them. A page names the cards of the strip sheet on
which its findings are written down.
"""

from __future__ import annotations

from dataclasses import dataclass

from floatbowl.guide.strip import Ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A measure with what is usual or still good, and the ground on which that stands."""

    name: str
    usual: str
    ground: Ground = "common practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One thing to do. ``drawn`` names its drawing, ``care`` what to mind before the hand moves."""

    text: str
    drawn: str = ""
    care: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page of the guide. ``cards`` are those of the strip sheet where what was found is written down."""

    key: str
    title: str
    when: str
    tools: str
    acts: tuple[Act, ...]
    limits: tuple[Limit, ...] = ()
    tells: tuple[str, ...] = ()
    cards: tuple[str, ...] = ()


PAGES: tuple[Page, ...] = (
    Page(
        key="strip",
        title="Strip the carburettor",
        when="Before it is cleaned, when a part is to be changed inside, or when nobody knows what is fitted.",
        tools="A driver that fits each jet, a tray with a rim, a bag for small parts, a pencil, light.",
        acts=(
            Act(
                text="Fuel tap off. Drain the bowl into a can, not onto the floor.",
                drawn="fuel glass",
                care=("bowl off", "petrol"),
            ),
            Act(
                text="Draw or photograph every hose before you pull it: which end sat where. Read each stamp aloud and write it down."
            ),
            Act(
                text="Unscrew the cap and lift the slide out with its needle. Count the clip's groove from the blunt end before you move it.",
                drawn="needle",
                care=("slide out",),
            ),
            Act(
                text="Count the mixture screw in to lightly seated, to the quarter turn, and write it down; then take it out with spring, washer and O-ring in this order.",
                drawn="screw",
            ),
            Act(
                text="Bowl off. Push the float's pin out towards its thicker end. Never with pliers on the pin's posts: they break off.",
            ),
            Act(
                text="Main jet, needle jet, pilot jet: the driver fills the slot, the hand presses before it turns. One part at a time onto the tray, in order.",
                drawn="jet",
            ),
            Act(
                text="Put together in the reverse order: the needle enters its jet, the slide's cut faces the air, no part is left on the tray.",
                drawn="throttle",
                care=("slide out",),
            ),
        ),
        cards=("outside", "needle", "air screw", "fuel screw"),
    ),
    Page(
        key="clean",
        title="Clean it",
        when="It stood for months, it idles badly whatever the screw does, or a passage shows no light.",
        tools="Carburettor cleaner or a bath, compressed air or a hand pump, nylon or one strand of soft copper, goggles, gloves.",
        acts=(
            Act(text="Take off all rubber first: cleaner swells it."),
            Act(
                text="Dip or spray, and give it time. In an ultrasonic bath ten to fifteen minutes; a passage that stays shut often needs a second go.",
                drawn="spray",
                care=("spray",),
            ),
            Act(
                text="Blow every passage backwards, against the way the fuel goes: what sits in it came from the other side.",
                drawn="passage",
                care=("blow through",),
            ),
            Act(
                text="Poke with nylon or a single strand of soft copper only. Steel, drills and broaches make a jet lie about its number for good.",
                drawn="jet",
            ),
            Act(
                text="Spray in at the screw's bore: a jet must stand out of the idle outlet and of every bypass hole. The bypass hole is what is missed most.",
                drawn="passage",
                care=("spray",),
            ),
            Act(text="Rinse, blow dry, and hold each jet to the light once more.", drawn="jet"),
        ),
        limits=(
            Limit(
                name="Pilot jet, across",
                usual="0.35 to 0.6 mm: the smallest hole of all, and the first to block",
            ),
            Limit(name="Bath", usual="10 to 15 minutes, again if a passage stays shut"),
        ),
        cards=("pilot jet", "pilot air jet", "pilot passages", "main jet", "main air jet"),
    ),
    Page(
        key="inspect",
        title="Inspect each part",
        when="It is in pieces anyway; or a jet that should have helped did not.",
        tools="Caliper, pin gauges if you have them, a sheet of glass, a straightedge, a bright light.",
        acts=(
            Act(
                text="Roll the needle on glass: straight, no bright ring, no step. Measure it at three places.",
                drawn="needle",
            ),
            Act(
                text="Hold the needle jet against the light: the hole is round, not drawn out to one side.",
                drawn="needle jet",
            ),
            Act(
                text="Let the slide fall through the bore by its own weight, and rattle it at both ends of its way.",
                drawn="throttle",
            ),
            Act(
                text="Shake the float and hold it under warm water: nothing splashes, no bubble rises.",
                drawn="float",
            ),
            Act(
                text="Look at the valve's tip: no ring worn into it, the sprung pin moves. Never polish a seat.",
            ),
            Act(
                text="Bend the inlet rubber until the folds open: no crack. Lay the flange on the straightedge.",
                drawn="joint",
            ),
            Act(
                text="Breathe through both vent hoses to their ends: mud, a kink or a nest is enough.",
                drawn="vents",
            ),
        ),
        limits=(
            Limit(name="Needle", usual="0.02 mm thinner than beside it is felt", ground="from memory"),
            Limit(
                name="Needle jet",
                usual="oval by 0.02 to 0.03 mm is too much fuel from 1/8 to 1/2",
                ground="from memory",
            ),
            Limit(
                name="Slide in its bore",
                usual="0.05 to 0.10 mm of play when new; over 0.2 mm it is worn and may catch",
                ground="from memory",
            ),
            Limit(
                name="Flange", usual="no gap wider than 0.05 mm under the straightedge", ground="from memory"
            ),
            Limit(name="Choke cable", usual="1 to 2 mm of slack"),
            Limit(
                name="Bore",
                usual="as stamped; replacement carburettors often 0.5 to 1 mm off",
                ground="from memory",
            ),
        ),
        tells=(
            "Jets, needles and valves of repair kits often differ from their stamp or leak: keep the old ones in a bag with the bike's name.",
        ),
        cards=("needle", "needle jet", "slide", "float", "float valve", "joints", "vents", "choke"),
    ),
    Page(
        key="float",
        title="Set the float",
        when="The level is off by a clear hose, the float or its valve is new, or it runs over.",
        tools="Caliper or a float gauge, a clear hose, a rag, a can.",
        acts=(
            Act(
                text="Bowl off, carburettor tilted until the float's tang just touches the valve and its sprung pin is not pressed.",
                drawn="float height",
                care=("bowl off", "petrol"),
            ),
            Act(
                text="Measure from the joint's face, without its gasket, to the float's far edge, on both sides of a double float.",
                drawn="float height",
            ),
            Act(
                text="Bend the tang only, a little, with flat pliers; never lean on the valve's tip while you bend."
            ),
            Act(
                text="A smaller height is a higher level: the float shuts the valve later, and all rungs get more fuel."
            ),
            Act(
                text="See it filled: a clear hose from the drain, held up beside the bowl, shows where the fuel stands.",
                drawn="hose",
                care=("petrol",),
            ),
        ),
        limits=(
            Limit(
                name="Float height",
                usual="as the book says; usually 14 to 22 mm, and 0.5 to 1 mm either way; half a millimetre is felt",
            ),
            Limit(
                name="Float valve",
                usual="holds a gentle breath, 0.2 to 0.3 bar, for a minute",
                ground="from memory",
            ),
        ),
        tells=(
            "It runs over although the height is right: look at the overflow tube for a crack, at the vents, and at the valve, in this order.",
        ),
        cards=("float", "float valve"),
    ),
    Page(
        key="plug",
        title="Read the plug",
        when="To see whether the main is near at full opening, or whether one opening is far off.",
        tools="A new or clean plug of the right range, plug spanner, gloves, a glass.",
        acts=(
            Act(
                text="Ride it fully warm. Hold one opening under load for 300 to 500 m, better uphill.",
                drawn="throttle",
                care=("plug chop", "two-stroke short"),
            ),
            Act(
                text="Clutch in and kill switch at the same moment, and coast. Idling back first spoils it.",
                drawn="plug",
            ),
            Act(
                text="Plug out, gloves on. Read the ring at the foot of the insulator and the rim of the shell, not the tip.",
                drawn="plug",
                care=("hot pipe",),
            ),
        ),
        limits=(
            Limit(
                name="At full opening",
                usual="light tan to brown on the ring: near; white: short of fuel; sooty or wet: too much",
            ),
        ),
        tells=(
            "It is coarse: one main jet up or down is not seen in it. New fuels colour it little, and thick oil much.",
            "At 1/4 and 1/2 it says less than at full.",
        ),
    ),
    Page(
        key="roll-on",
        title="Time a roll-on",
        when="Whether a change made it faster: the only proof that needs no instrument but a watch.",
        tools="A watch or a friend with one, two marks by the way, tape and a pencil at the grip.",
        acts=(
            Act(text="Mark the grip with tape: shut, 1/4, 1/2, 3/4, full.", drawn="throttle"),
            Act(
                text="The same gear and the same stretch, from one steady speed. At the first mark open to the tape mark, and stop the watch at the second.",
                drawn="watch",
                care=("test ride", "two-stroke short"),
            ),
            Act(text="Three runs there and three back: wind and slope help one way and hinder the other."),
            Act(
                text="Change one thing, and ride the same again. At the end repeat the first setting: the day has changed as well."
            ),
        ),
        limits=(
            Limit(
                name="Difference",
                usual="only what is more than the scatter of the runs counts; floatbowl says how sure it is",
            ),
        ),
        tells=("Write each run down, with the way it went, and not the mean.",),
    ),
    Page(
        key="idle",
        title="Set the mixture screw and the idle",
        when="After the pilot was cleaned or changed, and whenever the air has changed much.",
        tools="A driver that fits the screw, an ear, a pencil; a rev counter or a phone's recording if you have one.",
        acts=(
            Act(
                text="Engine fully warm, outside. Turn the screw in to lightly seated, counting, then out to 1.5 turns.",
                drawn="screw",
                care=("running indoors",),
            ),
            Act(
                text="Idle stop to a steady idle. A quarter turn at a time, wait ten seconds, listen: go on while it rises, back when it falls.",
                drawn="idle stop",
            ),
            Act(
                text="At the best place bring the idle back down with the stop, and look for the best place once more."
            ),
            Act(
                text="Then a touch to the richer side. An air screw is richer in, a fuel screw richer out.",
                drawn="screw",
            ),
            Act(
                text="Snap and shut: it settles at once. If it hangs it is short of fuel or leaks; if it sinks under the idle and comes back it has too much.",
                drawn="throttle",
            ),
        ),
        limits=(
            Limit(
                name="Air screw",
                usual="1 to 2.5 turns out; best beyond 2.5: pilot too big, below 1: too small",
            ),
            Limit(
                name="Fuel screw",
                usual="0.75 to 3 turns out; best beyond 2.5: pilot too small, below 1: too big",
            ),
        ),
        tells=(
            "An air screw sits on the filter's side of the slide, a fuel screw on the engine's side.",
            "Never seat it hard: a snapped tip ruins the body.",
        ),
        cards=("air screw", "fuel screw", "pilot jet"),
    ),
    Page(
        key="leak",
        title="Test for leaks",
        when="Revs hang, the idle is high or wanders, or no jet changes anything.",
        tools="Soap and water in a spray bottle, a brush; for the crankcase bungs, a hand pump with a gauge.",
        acts=(
            Act(
                text="Idle stop right out: a slide carburettor must die, or nearly. Still high: look at the cable, then for air.",
                drawn="idle stop",
                care=("running indoors",),
            ),
            Act(
                text="Engine cold. Plug the mouth, blow a little air in by hand pump, brush soap on rubber, clamps, flange and the seat of the plug: bubbles show it.",
                drawn="joint",
                care=("soap",),
            ),
            Act(
                text="Two-stroke: inlet and exhaust closed, 0.4 bar by hand pump. It must hold.",
                drawn="crankcase",
                care=("crank seal",),
            ),
            Act(
                text="It falls? Soap on both crank seals, the base and the inlet shows where.",
                drawn="crankcase",
                care=("soap",),
            ),
        ),
        limits=(
            Limit(name="Crankcase", usual="0.4 bar, no loss in 5 minutes; never more than 0.6 bar"),
            Limit(
                name="Throttle grip",
                usual="2 to 3 mm of free play, at both ends of the bars",
                ground="from memory",
            ),
        ),
        tells=("Richer jets hide a leak and do not mend it.",),
        cards=("joints", "crank seals"),
    ),
)
"""The pages in the order of a strip-down."""
