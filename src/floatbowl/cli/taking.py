"""The command that makes a take-along: a bike as one file for the phone at the track."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from floatbowl.cli.asking import paragraph, working
from floatbowl.cli.door import Desk, job
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.bike.hour import Hour
    from floatbowl.jobs import Garage


@job("takealong")
@click.argument("bike")
@click.option(
    "--out",
    "file",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="F.html",
    help="Where to put it; else beside you, under the bike's name.",
)
@click.option(
    "--day",
    "day_file",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="DAY.toml",
    help="Lay this day out in it: a day file, as for floatbowl day.",
)
def takealong(desk: Desk, *, bike: str, file: Path | None, day_file: Path | None) -> None:
    """Write a bike as one file for the phone at the track: no network, no garage.

    The drawing with its slide, the ladder, the next step, dry fits worked out
    beforehand, the setup card, and a notebook whose notes floatbowl add takes.
    """
    from floatbowl.web.take_along import file_stem, take_along_page
    from floatbowl.words import take_along as words

    if file is not None and file.suffix.casefold() not in {".html", ".htm"}:
        text = f'"{file}" does not end in .html. Write --out {file.with_suffix(".html").name}.'
        raise NotUnderstoodError(text)
    with desk.garage() as garage, working(f"Packing {bike}"):
        told = garage.take_along(bike, _hours(garage, day_file))
        page = take_along_page(told, mark=garage.mark).encode()
    name = told.card.stand.bike.name
    place = file or Path(f"{file_stem(name)}.html")
    place.write_bytes(page)
    sentence = words.written_words(name, str(place), round(len(page) / 1000))
    form = words.written_form(name, file=str(place), size=len(page), fits=len(told.fits))
    desk.answer(form, paragraph(sentence, desk))


def _hours(garage: Garage, day_file: Path | None) -> tuple[Hour, ...]:
    if day_file is None:
        return ()
    from floatbowl.jobs import load_day_file

    day = load_day_file(day_file)
    return garage.hours_at(day.place or None, day.hours, height=day.height, date=day.date)
