"""The command that draws: the cut-away as a file, for a wall, a mail or a printer."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from floatbowl.cli.asking import paragraph, working
from floatbowl.cli.door import Desk, job
from floatbowl.words import heard
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.belief.belief import Belief
    from floatbowl.bike.bike import Bike
    from floatbowl.bike.rung import Rung
    from floatbowl.bike.setup import Setup
    from floatbowl.draw.moving import Travel
    from floatbowl.draw.section import Section
    from floatbowl.jobs import Garage


@job("draw")
@click.argument("bike")
@click.option(
    "--lift", "lift_mm", type=float, metavar="MM", help="The slide's lift over the floor of the bore."
)
@click.option("--at", "place", metavar="AT", help="Or an opening: shut, 1/8, 1/4, 1/2, 3/4 or full.")
@click.option(
    "--out",
    "file",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="F.svg",
    help="Where to put it; else it goes to the screen.",
)
@click.option("--labels/--no-labels", "has_labels", default=True, help="With names and values, or without.")
@click.option(
    "--film",
    "film_file",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="F.svg|F.mp4|F.webm",
    help="A film instead: the slide opens and closes, with fuel and say.",
)
@click.option("--with", "other", type=int, metavar="SETUP", help="In a film, this setup stands beside it.")
def draw(  # noqa: PLR0913  (an option each)
    desk: Desk,
    *,
    bike: str,
    lift_mm: float | None,
    place: str | None,
    file: Path | None,
    has_labels: bool,
    film_file: Path | None,
    other: int | None,
) -> None:
    """Draw the carburettor in section, to scale, as an SVG picture or as a film.

    Measured parts are inked, assumed ones pencilled and dashed.
    """
    if film_file is not None:
        from floatbowl.cli.filming import film

        if lift_mm is not None or place is not None or file is not None:
            text = "A film goes through every opening: write --film without --lift, --at and --out."
            raise NotUnderstoodError(text)
        film(desk, bike, film_file, other=other)
        return
    if other is not None:
        text = "--with stands beside --film: floatbowl draw magpie --film magpie.mp4 --with 3."
        raise NotUnderstoodError(text)
    _draw(desk, bike, lift_mm=lift_mm, place=place, file=file, has_labels=has_labels)


def _draw(  # noqa: PLR0913  (an option each)
    desk: Desk, bike: str, *, lift_mm: float | None, place: str | None, file: Path | None, has_labels: bool
) -> None:
    from floatbowl.draw.alone import alone
    from floatbowl.draw.cutaway import cutaway
    from floatbowl.words.drawing import drawn_words

    _refuse_odd(file, lift_mm=lift_mm, place=place)
    at = None if place is None else heard.rung(place)
    with desk.garage() as garage, working(f"Drawing {bike}"):
        shown = _fetch(garage, bike, lift_mm=lift_mm, at=at)
    drawing = alone(
        cutaway(
            shown.bike, shown.setup, lift_mm=shown.travel.lift, belief=shown.belief, has_labels=has_labels
        )
    )
    if file is not None:
        file.write_text(drawing, encoding="utf-8")
    elif not desk.is_json:
        click.echo(drawing)
        return
    form = _form(shown, file=file, svg=drawing)
    head = paragraph(drawn_words(str(file), bike=shown.bike.name), desk, "head")
    desk.answer(form, [*head, *paragraph(form["words"], desk)])


@dataclass(frozen=True, slots=True)
class _Shown:
    """What is drawn, and at which lift."""

    bike: Bike
    setup: Setup
    belief: Belief | None
    section: Section
    travel: Travel


def _fetch(garage: Garage, name: str, *, lift_mm: float | None, at: Rung | None) -> _Shown:
    """Fetch what is drawn; a bike of which too little is known is drawn without its fuel."""
    from floatbowl.draw.stops import set_out
    from floatbowl.jobs import TooLittleKnownError

    bike, setup, belief = garage.bike(name), garage.fitted(name), None
    with suppress(TooLittleKnownError):
        belief = garage.look_at_bench(name)
    section, travel = set_out(bike, setup, lift_mm=lift_mm, belief=belief)
    if at is not None:
        travel = replace(travel, lift=travel.at(at.opening))
    return _Shown(bike, setup, belief, section, travel)


def _form(shown: _Shown, *, file: Path | None, svg: str) -> dict[str, Any]:
    from floatbowl.draw.cutaway import cutaway_told
    from floatbowl.draw.insets import open_mm2, ring_mm2
    from floatbowl.words.drawing import drawing_form, trouble_lines

    lift = shown.travel.lift
    return drawing_form(
        bike=shown.bike.name,
        setup=shown.setup.number,
        lift_mm=lift,
        share=shown.travel.share,
        open_mm2=open_mm2(shown.bike, lift),
        ring_mm2=ring_mm2(shown.bike, shown.setup, lift),
        told=cutaway_told(shown.bike, shown.setup, lift_mm=lift, belief=shown.belief),
        troubles=trouble_lines(shown.section.troubles),
        file=None if file is None else str(file),
        svg=svg if file is None else None,
    )


def _refuse_odd(file: Path | None, *, lift_mm: float | None, place: str | None) -> None:
    """Refuse two lifts at once, and a file whose name says that it is something else."""
    if lift_mm is not None and place is not None:
        text = "Write --lift or --at, not both."
        raise NotUnderstoodError(text)
    if file is not None and file.suffix.casefold() != ".svg":
        name = file.with_suffix(".svg").name
        text = f'"{file}" does not end in .svg. A drawing is an SVG picture: write --out {name}.'
        raise NotUnderstoodError(text)
