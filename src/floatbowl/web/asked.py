"""What a page is given when it is asked for, and how it answers."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from floatbowl import jobs
from floatbowl.bike.setup import Setup
from floatbowl.draw.style import pattern_defs
from floatbowl.jobs import BareStand, Garage, TooLittleKnownError
from floatbowl.web.addresses import bike_address, bike_of
from floatbowl.web.device import Device, device_of
from floatbowl.web.guard import is_at_the_machine
from floatbowl.web.shop import Shop
from floatbowl.web.thinking import PATIENCE, Thought
from floatbowl.words.away import AWAY
from floatbowl.words.door import ONLY_READ
from floatbowl.words.trouble import NotUnderstoodError
from floatbowl.words.waiting import stale_words

if TYPE_CHECKING:
    from floatbowl.jobs import DryFit

Given = TypeVar("Given")


class StillThinkingError(Exception):
    """Nothing is known to show yet; the page comes by itself when the first thought is there."""

    def __init__(self, bike: str) -> None:
        """Take the name of the bike that is thought about."""
        super().__init__(bike)
        self.bike = bike


@dataclass(slots=True)
class Asked:
    """One request: an open garage, what was typed, and the ways to answer."""

    request: Request
    shop: Shop
    garage: Garage
    form: FormData
    trouble: str = ""
    """What was wrong with the entry just sent; the page shows it above itself."""
    wrong: str = ""
    """The field in which it was wrong, where it is one: the page sets the cursor into it."""
    _bike: str = ""
    _stale: list[float] = field(default_factory=list)

    # --- what was asked ------------------------------------------------------------------------------------

    @property
    def bike(self) -> str:
        """Give the bike in the address, by the name on its stand. Raises ``UnknownBike``."""
        if not self._bike:
            self._bike = self.garage.bike(bike_of(self.request.path_params["bike"])).name
        return self._bike

    @property
    def is_at_the_machine(self) -> bool:
        """Say whether who asks sits at the machine that keeps the garage."""
        client = self.request.client
        return client is not None and is_at_the_machine(client.host, self.request.headers.get("host", ""))

    @property
    def device(self) -> Device:
        """Give what was chosen for this screen."""
        return device_of(self.request.cookies)

    def field(self, name: str) -> str:
        """Give what was typed or chosen in a field of the form; empty when nothing was."""
        typed = self.form.get(name, "")
        return typed.strip() if isinstance(typed, str) else ""

    def fields(self, name: str) -> list[str]:
        """Give every choice of a field that may have several."""
        return [typed.strip() for typed in self.form.getlist(name) if isinstance(typed, str)]

    def read(self, name: str, reader: Callable[[str], Given]) -> Given | None:
        """Read a field with one of the readers of ``words.heard``; None when it is empty.

        What it refuses is raised on, with the field noted as the one that was wrong.
        """
        typed = self.field(name)
        if not typed:
            return None
        try:
            return reader(typed)
        except NotUnderstoodError:
            self.wrong = name
            raise

    def file(self, name: str) -> bytes:
        """Give what was in a file that was sent along; empty when none was."""
        sent = self.form.get(name)
        return sent.file.read() if isinstance(sent, UploadFile) else b""

    def query(self, name: str) -> str:
        """Give what stands in the address behind the question mark; empty when nothing does."""
        return self.request.query_params.get(name, "").strip()

    def queries(self, name: str) -> list[str]:
        """Give all that stands in the address under one name: ``?try=clip:4&try=main:108``."""
        return [said.strip() for said in self.request.query_params.getlist(name)]

    # --- thinking ------------------------------------------------------------------------------------------

    def thought(self, bike: str = "", *, patience: float = PATIENCE) -> Thought:
        """Give what we think of the bike in the address, or of another one, fresh or from before.

        Raises ``StillThinkingError`` when there is no thought of it at all yet, and
        ``TooLittleKnownError`` when there can be none; both have a page of their own.
        """
        name = bike or self.bike
        known = self.shop.thinking.about(self.garage.facts(name), self.garage.drawer(), patience=patience)
        if known is None:
            raise StillThinkingError(name)
        if not known.is_fresh:
            self._stale.append(known.age)
        return known

    def look_at(self, bike: str, *, patience: float = PATIENCE) -> Thought | BareStand | None:
        """Give what stands there: the thought, a bare stand, or None while there is no thought."""
        try:
            return self.thought(bike, patience=patience)
        except TooLittleKnownError as trouble:
            return BareStand(bike=self.garage.bike(bike), missing=trouble.missing)
        except StillThinkingError:
            self._stale.append(0.0)
            return None

    def think(self, key: object, work: Callable[[], Given]) -> Given | None:
        """Let the thinking thread do something quick, such as a dry fit; None when it takes too long."""
        return self.shop.thinking.do(key, work)

    def try_on_paper(self, known: Thought, setup: Setup) -> DryFit | None:
        """Try a setup on paper; None when it takes too long, then the page asks again by itself."""
        belief = known.stand.belief
        tried = self.think(("dry fit", belief.bike.name, setup), lambda: jobs.try_on_paper(belief, setup))
        if tried is None:
            self._stale.append(0.0)
        return tried

    # --- answering -----------------------------------------------------------------------------------------

    def page(self, template: str, /, *, status: int = 200, **words: Any) -> Response:  # noqa: ANN401  (whatever the template asks for)
        """Answer with a page; ``words`` are what its template says."""
        told = self.shop.templates.get_template(template).render(
            asked=self,
            device=self.device,
            once=f"{self.garage.mark}.{secrets.token_hex(16)}",
            trouble=self.trouble,
            pattern_defs=pattern_defs,
            away=AWAY,
            only_read_because=self.garage.only_read_because,
            only_read=ONLY_READ,
            is_thinking=bool(self._stale) and not self.trouble,  # a refusal stays to be read
            stale=stale_words(max(self._stale)) if any(self._stale) else "",
            **words,
        )
        return HTMLResponse(told, status_code=422 if self.trouble else status)

    def go(self, address: str) -> Response:
        """Answer an entry: the browser goes on to a page, so that going back sends nothing twice."""
        return RedirectResponse(address, status_code=303)

    def go_to_bike(self, rest: str = "") -> Response:
        """Go on to a page of the bike in the address: ``go_to_bike("/next")``."""
        return self.go(bike_address(self.bike) + rest)
