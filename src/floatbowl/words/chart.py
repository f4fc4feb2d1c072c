# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""The wall chart in words: six plates made from this very bike; each asks first, then uncovers.

Every number in a sentence is this bike's own. A plate says what is seen, asks
which part one would change, and answers with the reason.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

from floatbowl.belief.belief import PARTS, Belief
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.jobs import WallChart
from floatbowl.words.bench import percent, say_percents
from floatbowl.words.carry import HILL_STEP, rounded
from floatbowl.words.forms import Form, form
from floatbowl.words.names import SAYER, mixture_screw

if TYPE_CHECKING:
    from floatbowl.bike.bike import Bike

TITLE = "Wall chart"
QUESTION = "First answer this"
ANSWER = "The answer"
UNCOVER = "Uncover the answer"
UPSIDE_DOWN = "The answer stands on its head at the foot."
FROM_THIS = "Drawn from this very bike, as it is fitted now."


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """One plate: its picture by ``key``, what is seen, what is asked, and the answer."""

    number: int
    key: str
    title: str
    seen: tuple[str, ...]
    question: str
    answer: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rings:
    """The ring round the needle by rung, mm2: now, and with the clip one groove lower; and the main's hole."""

    now: tuple[float, ...]
    raised: tuple[float, ...]
    hole: float

    def narrower(self, at: Rung) -> bool:
        """Say whether the ring is narrower than the main jet's hole at a rung."""
        return self.now[RUNGS.index(at)] < self.hole


def plates_of(chart: WallChart, rings: Rings) -> tuple[Plate, ...]:
    """Tell all six."""
    return (
        _lifting(chart),
        _saying(chart.card.stand.belief, rings),
        _ringing(chart.card.stand.belief, rings),
        _idling(chart.card.stand.belief),
        _climbing(chart),
        _breaking(chart),
    )


# --- 1: how air lifts fuel ---------------------------------------------------------------------------------


def _lifting(chart: WallChart) -> Plate:
    pulls, lip = chart.plates.pull_mm, chart.plates.lip_mm
    strong = [at for at, pull in zip(RUNGS, pulls, strict=True) if pull > lip]
    first = strong[0] if strong else Rung.FULL
    return Plate(
        number=1,
        key="lift",
        title="How air lifts fuel",
        seen=(
            "Air presses on the fuel in the bowl. Under the slide the way is narrow, the air hurries, and where it hurries it presses less. The difference pushes fuel up through the jets. No pump, no spring.",
            f"To leave the needle jet the fuel must climb {lip:.0f} mm. The bars show how high this bike's air would lift it at each opening.",
        ),
        question="Slide shut, engine idling: which jet can give no fuel at all, and what feeds the engine then?",
        answer=(
            f"The needle jet. With the slide shut the pull there would lift fuel {pulls[0]:.0f} mm, and it must climb {lip:.0f} mm. It joins in from {_opening(first)}, where the pull is enough for {pulls[RUNGS.index(first)]:.0f} mm.",
            "Until then the pilot feeds the engine, through its own small hole behind the slide, where the engine itself sucks. So a bigger main jet never mends an idle.",
        ),
    )


# --- 2: who has the say ------------------------------------------------------------------------------------


def _saying(belief: Belief, rings: Rings) -> Plate:
    here, full = _say(belief, Rung.QUARTER), _say(belief, Rung.FULL)
    most, second = sorted(PARTS[:3], key=lambda part: -here[part])[:2]
    main = here["main"]
    return Plate(
        number=2,
        key="say",
        title="Who has the say",
        seen=(
            "Each bar is one opening of the slide. Its fields show how much one step of a part, the next jet, one groove, half a turn, would move the mixture there. Wide field: turn to this part. No field: leave it alone.",
            "P pilot, C cutaway of the slide, N needle, M main jet.",
        ),
        question=(
            "It bogs at 1/4, a little choke makes it better, and from 1/2 up it pulls cleanly. Which part would you change, and why not the main jet?"
        ),
        answer=(
            f"{_upper(SAYER[most])}: at 1/4 it has {here[most]} % of the say on this bike, {SAYER[second]} comes next with {here[second]} %. It is short of fuel, so {richer(most, belief.bike)}.",
            f"The main jet has {main} % of the say there. {_why_not_the_main(rings)} A bigger one would be felt at full, where it has {full['main']} %, and there nothing is wrong.",
        ),
    )


def _say(belief: Belief, at: Rung) -> dict[str, int]:
    return dict(zip(PARTS, say_percents(belief.say[RUNGS.index(at)]), strict=True))


def _why_not_the_main(rings: Rings) -> str:
    ring = rings.now[RUNGS.index(Rung.QUARTER)]
    if rings.narrower(Rung.QUARTER):
        return f"What passes its hole of {rings.hole:.2f} mm\N{SUPERSCRIPT TWO} must still squeeze through the ring round the needle, {ring:.2f} mm\N{SUPERSCRIPT TWO} at 1/4: the narrowest place on the way decides."
    return "Most of the fuel comes another way there."


def richer(part: str, bike: Bike) -> str:
    """Say what to do with a part for more fuel, in a sentence."""
    screw = "in" if bike.carb.screw == "air" else "out"
    return {
        "pilot": f"fit a bigger pilot, or try the {mixture_screw(bike)} half a turn {screw} first",
        "cutaway": "fit a slide with a smaller cutaway",
        "needle": "raise the needle: clip one groove down",
        "main": "fit a bigger main",
    }[part]


# --- 3: needle and ring ------------------------------------------------------------------------------------


def _ringing(belief: Belief, rings: Rings) -> Plate:
    quarter, half, full = (RUNGS.index(at) for at in (Rung.QUARTER, Rung.HALF, Rung.FULL))
    narrow = [at for at in RUNGS if rings.narrower(at)]
    last = narrow[-1] if narrow else Rung.SHUT
    gain = 100.0 * (rings.raised[quarter] / rings.now[quarter] - 1.0)
    groove = f"from {rings.now[quarter]:.2f} to {rings.raised[quarter]:.2f} mm\N{SUPERSCRIPT TWO}"
    at_quarter = (
        f"At 1/4 the ring grows {groove}, {gain:.0f} % more room: more fuel."
        if gain >= 1.0
        else f"At 1/4 nothing: the needle's straight part still fills the jet there, and one groove does not bring its taper up to the mouth. At 1/2 the ring grows from {rings.now[half]:.2f} to {rings.raised[half]:.2f} mm\N{SUPERSCRIPT TWO}: more fuel."
    )
    return Plate(
        number=3,
        key="ring",
        title="Needle and ring",
        seen=(
            "The needle hangs from the slide. As it rises its taper leaves more of the needle jet open: a ring that grows. The discs show it from above, the bars its area; the dark line is the hole of the main jet.",
            f"Fuel passes the main jet first, then the ring. The narrower of the two decides. Bars below the line: the needle rules, here up to {_opening(last)}. Above it: the main jet.",
        ),
        question=(
            "You lower the clip by one groove, so the needle hangs higher. What changes at 1/4, what at full? And what would a bigger main jet change at 1/4?"
        ),
        answer=(
            f"{at_quarter} At full the ring was wider than the main jet's hole already ({rings.now[full]:.2f} against {rings.hole:.2f} mm\N{SUPERSCRIPT TWO}), so hardly anything.",
            f"A bigger main jet changes next to nothing at 1/4: the ring is the narrower place and lets no more through. {_at_quarter_instead(belief, gain)}",
        ),
    )


def _at_quarter_instead(belief: Belief, gain: float) -> str:
    here = _say(belief, Rung.QUARTER)
    most = max(PARTS[:3], key=here.__getitem__)
    if most != "needle":
        return f"For a bog at 1/4 go to {SAYER[most]}: it has more say there than the needle ({here[most]} % against {here['needle']} %, plate 2)."
    return (
        "For a bog at 1/4 go to the needle."
        if gain >= 1.0
        else "For a bog at 1/4 it takes a needle with a thinner straight part."
    )


# --- 4: idle and the two ports -----------------------------------------------------------------------------


_COUNTED = {2: "two", 3: "three", 4: "four"}


def _idling(belief: Belief) -> Plate:
    bike, holes = belief.bike, len(belief.bike.carb.bypass)
    air = bike.carb.screw == "air"
    what = "air into the pilot's fuel" if air else "the ready mixture"
    turn = "outwards gives more air, less fuel" if air else "outwards gives more mixture, more fuel"
    bypass = "the bypass hole" if holes == 1 else f"the {_COUNTED.get(holes, holes)} bypass holes"
    return Plate(
        number=4,
        key="idle",
        title="Idle and the two ports",
        seen=(
            f"Left: the slide on its stop. Only the outlet, behind the slide, feels the engine and gives mixture; {bypass} under the slide let{'s' if holes == 1 else ''} air in to it. Right: the slide at 1/8. Its edge has passed the bypass, which now gives mixture too.",
            f"The {mixture_screw(bike)} rules {what}: {turn}.",
        ),
        question=(
            "It idles well, but dies away when you open it the very first little bit. Did the pilot jet shrink, or what else sits on that way?"
        ),
        answer=(
            "The idle proves that jet and outlet give fuel. What comes in next is the bypass: a plugged bypass hole gives a good idle and a hole just above it.",
            f"So look through the bypass before you buy a jet: spray into the pilot's passage and see it come out of every hole. If all are open, it is short of fuel there: {richer('pilot', bike)}.",
        ),
    )


# --- 5: height and weather ---------------------------------------------------------------------------------


def _climbing(chart: WallChart) -> Plate:
    belief, hill = chart.card.stand.belief, chart.plates.hill
    home = belief.day.height
    per_km = percent((hill[-1][1] - hill[0][1]) / (hill[-1][0] - hill[0][0]) * 1000.0)
    mains = chart.card.mains
    fitted = next((band for band in mains if band.stamp == belief.setup.main), None)
    where = (
        f"Main {fitted.stamp} is the better bet between {rounded(float(fitted.there[1]), HILL_STEP):,.0f} and {rounded(float(fitted.there[0]), HILL_STEP):,.0f} m."
        if fitted is not None
        else ""
    )
    return Plate(
        number=5,
        key="hill",
        title="Height and weather",
        seen=(
            f"Up a hill the air gets thinner: less of it in every breath. The jets do not know; they give nearly as much fuel as before. So it gets too much: here some {per_km:.0f} % more at full for each 1,000 m.",
            "Warm, damp or low pressure is as if higher; cold and dry is as if lower. 10 \N{DEGREE SIGN}C colder counts as some 300 m down.",
        ),
        question=(
            f"Suppose it is right here, {home:,.0f} m up. You race at the sea on a cold morning. Is it short of fuel there, or has it too much? Which part first, and what could it cost to be wrong?"
        ),
        answer=(
            f"Short: the air down there is thicker, and colder air thicker still. A bigger main first, since at full most of the fuel passes it. {where}".rstrip(),
            "Wrong this way hurts: an engine short of fuel at full runs hot, and a two-stroke seizes. Coming up the hill you lose only power and foul a plug. When in doubt, richer first.",
        ),
    )


# --- 6: fault or jetting -----------------------------------------------------------------------------------

CASES: tuple[tuple[str, str, str, str], ...] = (
    (
        "hangs",
        "The revs hang when you shut it, and two other pilots changed nothing.",
        "Fault",
        "Air comes in past the carburettor: soap on the inlet rubber. A jet cannot mend a leak.",
    ),
    (
        "bogs",
        "It bogs at one opening, every time, since another filter was fitted.",
        "Jetting",
        "It came with a change, it stays at its opening, and it answers to the choke: it is set wrong.",
    ),
    (
        "fades",
        "It fades on a long pull and runs again after a minute's rest.",
        "Fault",
        "The bowl runs dry: tap, tank vent, float valve. The jets are not asked.",
    ),
    (
        "thick",
        "It is thick and rough everywhere, and worse when warm.",
        "Fault",
        "Everywhere at once is no single jet: choke not seated, fuel level too high, float valve.",
    ),
)
"""Behaviour that is drawn, what happens, whether it is a fault or jetting, and why."""


def _breaking(chart: WallChart) -> Plate:
    belief = chart.card.stand.belief
    sound = belief.sound_count
    return Plate(
        number=6,
        key="fault",
        title="Fault or jetting",
        seen=(
            "Wrong jetting keeps to its opening, is there every time, and answers to the part that has the say there. A fault comes and goes, is there everywhere, or does not care which jet is in.",
            "So look before you jet: soap, spray, a clear hose cost minutes. Every jet tried on a broken bike is one more thing set wrong.",
        ),
        question="Four bikes are drawn here. For each: fault, or jetting? Where would you look first?",
        answer=(
            *(f"{i}. {verdict}. {why}" for i, (_, _, verdict, why) in enumerate(CASES, start=1)),
            f"And this bike? {sound} in 20 with nothing broken.",
        ),
    )


# --- small words -------------------------------------------------------------------------------------------


def hole_mm2(across_mm: float) -> float:
    """Give the area of a round hole, mm2."""
    return pi / 4.0 * across_mm**2


def _opening(at: Rung) -> str:
    return {Rung.SHUT: "shut", Rung.FULL: "full"}.get(at, at.value)


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def chart_form(chart: WallChart, told: Sequence[Plate], *, file: str | None) -> Form:
    """Give the wall chart as data."""
    return form(
        "chart",
        bike=chart.card.stand.bike.name,
        plates=[
            {"title": one.title, "seen": list(one.seen), "question": one.question, "answer": list(one.answer)}
            for one in told
        ],
        file=file,
    )


def printed_words(file: str, *, paper: str) -> str:
    """Say where the chart is."""
    return f"The wall chart is in {file}: six plates, {paper.upper()}."
