"""The proven list: every check of what is fitted, done or missing, with how it is made."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.jobs import Proof, proof_of
from floatbowl.web.asked import Asked
from floatbowl.web.page import page
from floatbowl.words import on_forms
from floatbowl.words.proving import check_lines, checked_words, proof_words


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckTold:
    """One check as the page shows it: ``way`` leads to where it is made, ``entries`` passed it."""

    words: str
    is_done: bool
    entries: str
    do: str
    way: str
    act: str


WAYS: dict[str, tuple[str, str]] = {
    "ride all rungs": ("/ride", "To the ride note"),
    "full opening": ("/reading?kind=plug&at=full", "To the reading"),
    "idle": ("/reading?kind=sweep", "To the reading"),
    "right everywhere": ("/next", "To what comes next"),
    "no suspect": ("/next", "To what comes next"),
    "trust": ("/next", "To what comes next"),
}
"""Where each check is made."""


def show(asked: Asked) -> Response:
    """Show every check."""
    stand = asked.thought().stand
    proof = proof_of(stand)
    bike, setup = stand.bike.name, stand.belief.setup.number
    told = _told(proof, bike)
    missing = tuple(dict.fromkeys(check.key for check in proof.checks if not check.is_done))
    return asked.page(
        "proven.html",
        bike=bike,
        setup=setup,
        words=on_forms,
        sentence=proof_words(missing, bike=bike, setup=setup),
        is_proven=proof.is_proven,
        checks=told,
        done=sum(check.is_done for check in told),
    )


def _told(proof: Proof, bike: str) -> list[CheckTold]:
    return [
        CheckTold(
            words=checked_words(check),
            is_done=check.is_done,
            entries=", ".join(check.entries),
            do=check_lines(check.key, bike=bike, is_all_done=proof.is_all_done)[0],
            way=WAYS[check.key][0],
            act=WAYS[check.key][1],
        )
        for check in proof.checks
    ]


routes: list[Route] = [page("/bikes/{bike}/proven", show)]
