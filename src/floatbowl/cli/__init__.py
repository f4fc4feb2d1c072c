"""The first door: the command line."""

from floatbowl.cli import asking, demo, drawing, opening, telling, timing
from floatbowl.cli.door import door as main

__all__ = ["asking", "demo", "drawing", "main", "opening", "telling", "timing"]
