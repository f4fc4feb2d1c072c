"""Readings that come as a file: the idle heard in a recording, and a log of lambda."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

from starlette.responses import Response
from starlette.routing import Route

from floatbowl.draw.ear import ROWS, heard_picture, highest_rpm
from floatbowl.draw.svg import Svg
from floatbowl.jobs import Listened, LogGuess, put_right, read_log, shades_of
from floatbowl.web.asked import Asked
from floatbowl.web.lines import Told, told_lines
from floatbowl.web.page import page
from floatbowl.web.uploads import laid_down
from floatbowl.words import ear, heard_log, lambda_log, on_forms
from floatbowl.words.on_forms import without_options
from floatbowl.words.trouble import NotUnderstoodError

LARGEST = 64 * 1024 * 1024
"""Bytes of a recording or a log: three minutes as a phone writes them at their largest, or a day's riding."""
Words = dict[str, Any]


def show(asked: Asked) -> Response:
    """Ask for a recording or a log."""
    return _page(asked, {})


def _page(asked: Asked, came: Words) -> Response:
    nothing: Words = {"said": None, "heard": (), "picture": "", "rows": (), "lacks": (), "columns": ""}
    return asked.page("from_file.html", bike=asked.bike, words=on_forms, **{**nothing, **came})


def _saved(asked: Asked, entry: str) -> Told:
    log = asked.garage.log(asked.bike)
    return told_lines([next(line for line in log if line.entry == entry)])[0]


# --- the ear -----------------------------------------------------------------------------------------------


def take_sound(asked: Asked) -> Response:
    """Listen to a recording; an idle is written down, of anything else it is only said what was heard."""
    with laid_down(asked, "sound", usual="recording", missing=on_forms.NO_SOUND) as path:
        heard = asked.garage.listen_to(asked.bike, path)
    entry = asked.garage.record_note(asked.bike, heard).entry if heard.is_idle else ""
    told = ear.heard_words(heard)
    came: Words = {"heard": told, "picture": _drawn(heard, asked.bike)}
    return _page(asked, {**came, "said": _saved(asked, entry) if entry else None})


def _drawn(heard: Listened, bike: str) -> Svg:
    field = shades_of(heard, highest=highest_rpm(heard.track), rows=ROWS)
    title = f"{bike}, by ear: {heard.name}"
    return heard_picture(heard.track, field, title=title, described=" ".join(ear.heard_words(heard)))


# --- a log of lambda ---------------------------------------------------------------------------------------


def take_log(asked: Asked) -> Response:
    """Show what the columns of a log are taken for; once they are agreed, write down what it came to."""
    columns = asked.read("columns", heard_log.columns)
    held = asked.read("held", lambda typed: heard_log.held(typed.split())) or ()
    with laid_down(asked, "log", usual="log", missing=on_forms.NO_LOG) as path:
        guess = asked.garage.guess_log(asked.bike, path)
        if columns is None:
            return _page(asked, _guessed(guess))
        came = read_log(_agreed(guess, columns), held=held)
    if not came.came.places:
        raise NotUnderstoodError(lambda_log.tells_nothing(came))
    reading = asked.garage.record_log(asked.bike, came)
    told = [*lambda_log.came_lines(reading), lambda_log.late_words(came), *lambda_log.aside_lines(came)]
    return _page(asked, {"heard": told, "said": _saved(asked, reading.entry)})


def _guessed(guess: LogGuess) -> Words:
    return {
        "rows": lambda_log.guess_rows(guess),
        "lacks": [without_options(lack) for lack in lambda_log.guess_lacks(guess)],
        "columns": lambda_log.as_columns(guess),
    }


def _agreed(guess: LogGuess, told: heard_log.ToldColumns) -> LogGuess:
    """Take the columns as they were named; those not named stay as guessed."""
    for role, one in told.columns.items():
        named = cast("Any", role)  # one of the roles that heard_log has let pass
        guess = put_right(guess, named, one.column, low=one.low, high=one.high, at_one=one.at_one)
    return replace(guess, rows_apart=told.step or guess.rows_apart)


routes: list[Route] = [
    page("/bikes/{bike}/from-file", show),
    page("/bikes/{bike}/from-file/sound", show, take=take_sound, body_limit=LARGEST),
    page("/bikes/{bike}/from-file/log", show, take=take_log, body_limit=LARGEST),
]
