"""The ear at the command line: a recording listened to, and what it says written down."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from floatbowl.cli.asking import working
from floatbowl.cli.door import Desk, job
from floatbowl.cli.paper import Line, text_line
from floatbowl.cli.telling import paragraphs
from floatbowl.words import heard, heard_log
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.jobs import Garage, Listened
    from floatbowl.signs.trial import IdleSweepReading


@job("ear")
@click.argument("bike")
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--sweep",
    "is_sweep",
    is_flag=True,
    help="One idle for each place of the screw: 1.0=a.wav 1.5=b.wav 2.5=died.",
)
@click.option(
    "--rollon", "opening", metavar="AT", help="Runs in one gear from this opening; say --between as well."
)
@click.option(
    "--between", metavar="LOW-HIGH", help="The engine speeds that the runs are timed between, as 4000-6500."
)
@click.option("--try", "is_only_tried", is_flag=True, help="Only listen; nothing is written down.")
@click.option(
    "--picture",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="F.svg",
    help="Draw the sound and the line of speed into this file.",
)
def ear(  # noqa: PLR0913  (an option each)
    desk: Desk,
    *,
    bike: str,
    files: tuple[str, ...],
    is_sweep: bool,
    opening: str | None,
    between: str | None,
    is_only_tried: bool,
    picture: Path | None,
) -> None:
    """Hear the engine speed in a recording: ear magpie idle.wav.

    Ten seconds of idle, warm, with a blip in it if you like. Any WAV; what phones
    record too, where the sound part is installed.
    """
    if is_sweep:
        _sweep(desk, bike, files)
    elif opening is not None:
        _roll_ons(desk, bike, files, at=opening, between=between)
    else:
        _note(desk, bike, files, is_only_tried=is_only_tried, picture=picture)


def _note(desk: Desk, bike: str, files: Sequence[str], *, is_only_tried: bool, picture: Path | None) -> None:
    """Listen to one recording, say what is in it, and write an idle down."""
    from floatbowl.words import ear as words

    file = _the_only(files)
    with desk.garage() as garage:
        name = garage.bike(bike).name
        with working(f"Listening to {file.name}"):
            listened = garage.listen_to(bike, file)
        reading = garage.record_note(bike, listened) if listened.is_idle and not is_only_tried else None
    if picture is not None:
        picture.write_text(_drawn(listened, name), encoding="utf-8")
    saved = "Nothing was written down." if reading is None else f"Saved as {reading.entry}."
    lines = [
        text_line(f"{name}, by ear: {file.name}", "head"),
        *paragraphs(words.heard_words(listened), desk),
        *_picture_line(picture),
        text_line(saved, "faint"),
    ]
    desk.answer(words.heard_form(listened, bike=name, entry=reading.entry if reading else None), lines)


def _the_only(files: Sequence[str]) -> Path:
    if len(files) > 1:
        text = "One recording at a time; more go with --sweep, as 1.0=a.wav 1.5=b.wav, or with --rollon 1/4."
        raise NotUnderstoodError(text)
    return Path(files[0])


def _picture_line(picture: Path | None) -> list[Line]:
    return [] if picture is None else [text_line(f"Drawn into {picture}.", "faint")]


def _drawn(listened: Listened, bike: str) -> str:
    from floatbowl.draw.alone import alone
    from floatbowl.draw.ear import ROWS, heard_picture, highest_rpm
    from floatbowl.jobs import shades_of
    from floatbowl.words.ear import heard_words

    field = shades_of(listened, highest=highest_rpm(listened.track), rows=ROWS)
    title = f"{bike}, by ear: {listened.name}"
    return alone(heard_picture(listened.track, field, title=title, described=" ".join(heard_words(listened))))


def _sweep(desk: Desk, bike: str, places: Sequence[str]) -> None:
    """Listen to an idle for each place of the screw, and write the sweep down."""
    from floatbowl.words.ear import best_fields, best_idle_words
    from floatbowl.words.forms import reading_form
    from floatbowl.words.names import reading_words

    told = [heard.place_and_file(place) for place in places]
    with desk.garage() as garage:
        known = garage.bike(bike)
        speeds = [0.0 if file is None else _idle_of(garage, bike, Path(file)) for _, file in told]
        turns = [turn for turn, _ in told]
        reading = garage.record_reading(bike, kind="sweep", turns=turns, rpm=speeds)
        best = garage.best_idle(bike, cast("IdleSweepReading", reading))
    lines = [
        text_line(f"{known.name}: {reading_words(reading)}.", "head"),
        *paragraphs([best_idle_words(best, bike=known)], desk),
        text_line(f"Saved as {reading.entry}.", "faint"),
    ]
    desk.answer({**reading_form(reading, bike=known.name), **best_fields(best)}, lines)


def _idle_of(garage: Garage, bike: str, file: Path) -> float:
    from floatbowl.words.ear import cannot_words

    with working(f"Listening to {file.name}"):
        listened = garage.listen_to(bike, file)
    if listened.idle is None or not listened.is_idle:
        why = listened.track.why_not
        said = (
            cannot_words(why)
            if why
            else "That is no idle: it goes up and down as with a hand on the throttle."
        )
        text = f"{file.name}: {said} Nothing was written down."
        raise NotUnderstoodError(text)
    return round(listened.idle.rpm, 1)


def _roll_ons(desk: Desk, bike: str, files: Sequence[str], *, at: str, between: str | None) -> None:
    """Time runs in one gear by ear, and write the times down."""
    from floatbowl.words.forms import reading_form
    from floatbowl.words.names import reading_words

    opening = heard.rung(at)
    low, high = heard_log.speeds(between)
    with desk.garage() as garage:
        name = garage.bike(bike).name
        seconds = [_timed(garage, bike, Path(file), low=low, high=high) for file in files]
        fields = {"kind": "rollon", "from": opening.value, "seconds": seconds, "rpm": low, "by": "trace"}
        reading = garage.record_reading(bike, **fields)
    lines = [
        text_line(f"{name}: {reading_words(reading)}.", "head"),
        text_line(f"Saved as {reading.entry}.", "faint"),
    ]
    desk.answer(reading_form(reading, bike=name), lines)


def _timed(garage: Garage, bike: str, file: Path, *, low: float, high: float) -> float:
    """Listen to one run and time it; a run that cannot be timed refuses them all."""
    from floatbowl.jobs import time_by_ear
    from floatbowl.words.ear import cannot_words

    with working(f"Listening to {file.name}"):
        listened = garage.listen_to(bike, file)
    why = listened.track.why_not
    took = None if why else time_by_ear(listened, low=low, high=high)
    if took is None:
        said = cannot_words(why) if why else f"It does not go from {low:.0f} to {high:.0f} rpm."
        text = f"{file.name}: {said} Nothing was written down."
        raise NotUnderstoodError(text)
    return round(took, 3)
