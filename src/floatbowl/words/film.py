# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""The film in words: its title, what stands in it, and what it tells those who do not see it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from floatbowl.bike.rung import RUNGS
from floatbowl.words.bench import say_percents
from floatbowl.words.forms import Form, form
from floatbowl.words.names import ALOUD, SAYER, in_line

if TYPE_CHECKING:
    from floatbowl.belief.belief import Belief
    from floatbowl.bike.setup import Setup

TITLE = "The slide opens and closes"
SAY = "who has the say"
SAYERS = {"pilot": "pilot", "cutaway": "cutaway", "needle": "needle", "main": "main"}


def film_told(scenes: Sequence[tuple[Belief, Setup]]) -> str:
    """Tell the film to those who do not see it: what moves, and who has the say on the way."""
    names = in_line(tuple(f"{belief.bike.name} with setup {setup.number}" for belief, setup in scenes))
    said = " ".join(_said(belief, setup) for belief, setup in scenes[:1])
    return f"Cut-away of {names}. In eight seconds the slide rises from its stop to fully open, rests, sinks, and rests. Air squeezes under it, the spray grows, the level in the bowl sinks a little as fuel is drawn; how far it sinks is a picture and no sum. {said}"


def _said(belief: Belief, setup: Setup) -> str:
    rungs = []
    for place, at in enumerate(RUNGS):
        most = max(zip(say_percents(belief.say[place]), SAYER.values(), strict=True))
        main = 100.0 * float(belief.fuel_share[place][1])
        rungs.append(
            f"{ALOUD[at]}, {most[1]} has most say ({most[0]} %), and {main:.0f} % of the fuel comes past the needle"
        )
    return f"With setup {setup.number}: {'; '.join(rungs)}."


def film_words(file: str, *, seconds: float) -> str:
    """Say that the film was written."""
    return f"The film is in {file}: {seconds:g} seconds, to be shown over and over."


def film_form(file: str, *, bike: str, setups: Sequence[int], frames: int, told: str) -> Form:
    """Give what was written."""
    return form("film", bike=bike, file=file, setups=list(setups), frames=frames, told=told)
