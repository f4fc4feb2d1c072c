"""The first door: the command line."""

from floatbowl.cli import asking, carrying, demo, drawing, listening, opening, printing, telling, timing
from floatbowl.cli.door import door as main

__all__ = [
    "asking",
    "carrying",
    "demo",
    "drawing",
    "listening",
    "main",
    "opening",
    "printing",
    "telling",
    "timing",
]
