"""The first door: the command line."""

from floatbowl.cli import asking, demo, opening, telling
from floatbowl.cli.door import door as main

__all__ = ["asking", "demo", "main", "opening", "telling"]
