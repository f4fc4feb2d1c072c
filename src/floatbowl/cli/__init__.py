"""The first door: the command line."""

from floatbowl.cli import (
    asking,
    carrying,
    demo,
    doctoring,
    drawing,
    guiding,
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
    "guiding",
    "listening",
    "main",
    "measuring",
    "opening",
    "printing",
    "taking",
    "telling",
    "timing",
]
