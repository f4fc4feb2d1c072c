"""Somebody who rides a bike whose truth we know, and follows what the pages say to the letter.

The rider is careful, owns a lambda probe, and writes everything down through the pages; what comes of a
ride or a test is taken from the hidden truth of the bike in the setup that is fitted at that moment.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.random import Generator
from playwright.sync_api import Page

from floatbowl.bike.drawer import Drawer
from floatbowl.bike.rung import Rung
from floatbowl.bike.setup import Setup
from floatbowl.jobs import open_garage
from floatbowl.signs.trial import (
    ChokeReading,
    IdleSweepReading,
    LambdaReading,
    LevelReading,
    PlugReading,
    Reading,
    Remark,
    RollOnReading,
    Trial,
)
from floatbowl.words.looks import LOOKS
from floatbowl.words.measuring import TESTS, WRITTEN, how_taken
from floatbowl.words.names import CHOKE_DID, DID
from floatbowl.words.on_page import outcome_button
from tests.belief.simulated import Ground, Hidden, demo_bike, right_bike
from tests.browser.hands import Hands

HOW = {"snap": "Snapped open", "steady": "Steady hand", "pull": "Long pull"}
LABELS = {Rung.SHUT: "Shut", Rung.FULL: "Full"}
_KINDS: dict[type[Reading], str] = {
    LambdaReading: "lambda",
    ChokeReading: "choke",
    RollOnReading: "rollon",
    PlugReading: "plug",
    IdleSweepReading: "sweep",
    LevelReading: "level",
}


def label_of(at: Rung) -> str:
    """Give what stands on the box of a rung."""
    return LABELS.get(at, at.value)


@dataclass
class Rider:
    """One evening with one bike of the demo, by pages."""

    name: str
    hands: Hands
    rng: Generator = field(default_factory=lambda: np.random.default_rng(3))
    changes: int = 0
    named: set[str] = field(default_factory=set)
    """Every entry that a card named as its evidence."""
    parts: set[tuple[str, str]] = field(default_factory=set)
    """Every main jet, pilot jet and slide that a card spoke of."""

    @property
    def page(self) -> Page:
        """Give the page that stands there now."""
        return self.hands.visit.page

    @cached_property
    def truth(self) -> Hidden:
        """Give the bike as it really is."""
        return right_bike(self.name.casefold())

    @cached_property
    def ground(self) -> Ground:
        """Give the bike as it is written down, and its day."""
        return demo_bike(self.name.casefold())

    def fitted(self) -> Setup:
        """Give what is on the bike now."""
        with open_garage(self.hands.visit.shed.garage) as garage:
            return garage.fitted(self.name)

    def at_hand(self) -> Drawer:
        """Give the drawer."""
        with open_garage(self.hands.visit.shed.garage) as garage:
            return garage.drawer()

    # --- following the cards -------------------------------------------------------------------------------

    def do_as_told(self) -> None:
        """Do what the card on the page says, write down what came of it, and come back to the next card."""
        self._read_card()
        if self._there("button", "I did it"):
            self._change()
        elif self._there("link", "Write the ride note"):
            self.hands.follow("Write the ride note")
            self.ride()
        elif self._there("link", "Write down what it shows"):
            self.hands.follow("Write down what it shows")
            self.measure()
        else:
            self._look()
        self.hands.follow("Next job")

    def _there(self, role: str, name: str) -> bool:
        return self.page.get_by_role(role, name=name, exact=True).count() > 0  # type: ignore[arg-type]

    def _read_card(self) -> None:
        told = self.page.locator("main").inner_text()
        self.named |= set(re.findall(r"\b(?:ride|reading)-\d+\b", told))
        self.parts |= set(re.findall(r"\b(main|pilot|cutaway) (?:jet )?(\d+(?:\.\d+)?)\b", told.lower()))

    def _change(self) -> None:
        if self.page.get_by_role("checkbox").count():
            self.hands.tick(self.page.get_by_role("checkbox").locator("xpath=..").inner_text().strip())
        self.hands.press("I did it")
        self.changes += 1
        self.hands.follow("Ride note")
        self.ride()

    def _look(self) -> None:
        """Look, and find nothing: this bike is whole."""
        head = self.page.get_by_role("heading", level=2).first.inner_text()
        look = next((one for one in LOOKS.values() if one.act == head), None)
        assert look is not None, f"the page asks for nothing that can be done: {head}"
        self.hands.press(outcome_button(look.not_found)[0])

    # --- riding and measuring ------------------------------------------------------------------------------

    def ride(self) -> None:
        """Ride it at every rung; say what it did there, and what the probe showed."""
        ridden: Trial = self.truth.typical(self.fitted(), self.ground.day)
        for remark in ridden.remarks:
            self.say(remark)
        self.hands.follow("Reading")
        self.hands.follow(how_taken("lambda").act)
        for reading in ridden.readings:
            self.write_down(reading)

    def say(self, remark: Remark) -> None:
        """Write a remark down, on the page of the ride note."""
        assert remark.at is not None
        self.hands.choose("Where on the throttle?", label_of(remark.at))
        self.hands.choose("What did it do?", DID[remark.did].capitalize())
        self.hands.choose("How?", HOW[remark.how or "steady"])
        self.hands.press("Add")

    def measure(self) -> None:
        """Make the test whose form stands on the page."""
        head = self.page.locator(".sheet-card h2").inner_text()
        key = next(key for key, look in {**TESTS, **LOOKS}.items() if look.act == head)
        chosen = self.page.get_by_role("group", name="At which opening?").locator("input:checked")
        at = Rung(chosen.get_attribute("value")) if chosen.count() else Rung.FULL
        for reading in self.truth.measure(key, at, setup=self.fitted(), day=self.ground.day, rng=self.rng):
            self.write_down(reading)

    def write_down(self, reading: Reading) -> None:
        """Fill in the form of a reading's kind."""
        at = getattr(reading, "at", None)
        if at is not None:
            self.hands.choose("At which opening?", label_of(at))
        self._fill(reading)
        self.hands.press("Write it down")

    def _fill(self, reading: Reading) -> None:
        match reading:
            case LambdaReading():
                self.hands.write("Lambda", f"{reading.value:.3f}")
            case RollOnReading():
                self.hands.write("1 s", f"{reading.seconds[0]:.1f}")
                self.hands.choose("Choke", reading.choke.capitalize())
            case ChokeReading():
                words = CHOKE_DID[reading.outcome].partition(" with")[0].capitalize()
                self.hands.choose("With a little choke it was", words)
            case PlugReading():
                self.hands.choose("Colour", reading.colour.capitalize())
            case LevelReading():
                self.hands.write("Fuel above the book level, mm", f"{reading.above_mm:.1f}")
            case IdleSweepReading():
                for place, (turns, rpm) in enumerate(zip(reading.turns, reading.rpm, strict=True), 1):
                    self.hands.write(f"Turns out, place {place}", f"{turns:g}")
                    self.hands.write(f"Idle speed, place {place}", f"{rpm:.0f}")
            case _:
                kind = _KINDS.get(type(reading), "")
                text = f"no form is known for {kind or type(reading).__name__}; known: {sorted(WRITTEN)}"
                raise AssertionError(text)
