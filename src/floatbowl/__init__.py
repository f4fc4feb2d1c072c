"""Find what is wrong with a small carburetted bike, and what to do next."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from floatbowl.jobs import Garage

__version__ = "0.1.0"

__all__ = ["__version__", "open_garage"]


def open_garage(path: str | Path) -> Garage:
    """Open the garage kept in the file ``path``, making it if it is not there."""
    from floatbowl.jobs import open_garage as open_  # noqa: PLC0415  (numpy stays out of the way of --help)

    return open_(path)
