# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What can hurt the person or the engine, said where the hand is.

At most two sentences each; advice names them by key.
"""

from __future__ import annotations

CARE: dict[str, str] = {
    "bowl off": "Engine cold, fuel tap off, no flame or spark near. Petrol will drip: work outside or with the doors open.",
    "slide out": "With it back together: twist, let go, the slide must snap shut by itself, bars at both locks.",
    "two-stroke short": "A two-stroke short of fuel can seize in seconds: go richer first, no long pulls, a hand on the clutch.",
    "far short": "This can leave it far short of fuel at full opening. No long pulls until the plug says it is right.",
    "test ride": "Closed course or empty lane, helmet, and try the kill switch before you go.",
    "plug chop": "Closed course, helmet, kill switch tried. The plug and the pipe are hot: gloves.",
    "soap": "Soap and water only, engine cold. Never spray anything that burns at a running or hot engine.",
    "running indoors": "Run it outside, never in the shed, not even with the door open.",
    "hot pipe": "The pipe burns: let it cool, or keep your sleeve away from it.",
    "throttle": "A slide that sticks does not let go when you do. Do not ride it; switch, clutch and brake if it runs away.",
    "petrol": "Petrol vapour creeps along the floor and a spark far off lights it: outside, no flame, no heater, an extinguisher near.",
    "float valve": "Do not run it while petrol drips. Tap off whenever it stands: a bowl that runs over can fill the engine or set fire to the shed.",
    "spray": "Goggles and gloves on when you spray into a passage. Never near a hot pipe, a flame or a running engine: cleaner burns.",
    "spark": "Keep your fingers off lead and cap while it turns over: it hits hard. No open petrol near when you try a spark.",
    "crank seal": "Do not run a two-stroke with a leaking crank seal, not even home: it seizes without warning.",
    "leak": "An air leak gets worse by itself and a two-stroke seizes of it: no long pulls, no high speed until it is mended.",
    "main blocked": "Short of fuel at full opening an engine overheats, and a two-stroke seizes: stay below half until it is clear.",
    "hand in the intake": "Nothing loose on the hand, and never your fingers inside: the engine pulls.",
    "blow through": "Goggles on when you blow through a passage. No steel wire, no drill: they spoil the hole.",
}
"""Care lines by key."""

MOST_CARE = 3
"""More lines than this on one card are not read (judgement)."""


def care_lines(keys: tuple[str, ...]) -> tuple[str, ...]:
    """Give the care lines, each once, in the order asked: what can hurt most is asked first, and few are read."""
    return tuple(CARE[key] for key in dict.fromkeys(keys))[:MOST_CARE]


USE: dict[str, str] = {
    "ride": "Safe to ride as it is.",
    "gently": "Safe to ride home, gently. Do not run it hard.",
    "not": "Do not run it until this is done.",
}
"""How every answer closes: may it be used as it stands."""
