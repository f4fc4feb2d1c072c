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
    "blow through": "Goggles on when you blow through a passage. No steel wire, no drill: they spoil the hole.",
}
"""Care lines by key."""


def care_lines(keys: tuple[str, ...]) -> tuple[str, ...]:
    """Give the care lines, each once, in the order asked; at most two stand on a card."""
    return tuple(CARE[key] for key in dict.fromkeys(keys) if key in CARE)


USE: dict[str, str] = {
    "ride": "Safe to ride as it is.",
    "gently": "Safe to ride home, gently. Do not run it hard.",
    "not": "Do not run it until this is done.",
}
"""How every answer closes: may it be used as it stands."""
