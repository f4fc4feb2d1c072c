"""What all pages share: the way into the garage, the thinking thread, the shelf, the templates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import jinja2

from floatbowl.jobs import Garage
from floatbowl.web.addresses import bike_address
from floatbowl.web.shelf import Shelf
from floatbowl.web.thinking import Thinking


class OpenGarage(Protocol):
    """Opens the garage for one visit."""

    def __call__(self, *, once: str = "") -> Garage:
        """Open it; what is written in a visit of the same name again stands once."""


@dataclass(frozen=True, slots=True)
class Shop:
    """What all pages share."""

    open_garage: OpenGarage
    thinking: Thinking
    shelf: Shelf
    templates: jinja2.Environment


def fit_out(open_garage: OpenGarage, shelf: Shelf, thinking: Thinking) -> Shop:
    """Put together what all pages share."""
    templates = jinja2.Environment(
        loader=jinja2.PackageLoader("floatbowl.web"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    templates.globals.update(static=shelf.address, bike_address=bike_address)
    return Shop(open_garage, thinking, shelf, templates)
