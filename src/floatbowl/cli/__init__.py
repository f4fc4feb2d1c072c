"""The first door: the command line."""

from floatbowl.cli import (
    asking,
    carrying,
    demo,
    doctoring,
    drawing,
    listening,
    measuring,
    opening,
    printing,
    taking,
    telling,
    timing,
)
from floatbowl.cli.door import door as main

__all__ = [
    "asking",
    "carrying",
    "demo",
    "doctoring",
    "drawing",
    "listening",
    "main",
    "measuring",
    "opening",
    "printing",
    "taking",
    "telling",
    "timing",
]
