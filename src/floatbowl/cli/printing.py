"""The commands that print: the setup card to hand over, and the wall chart to explain by."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from floatbowl.cli.asking import headed, paragraph, working
from floatbowl.cli.door import Desk, job
from floatbowl.cli.paper import BLANK, Line, Span, text_line
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.words import setup_card as words
    from floatbowl.words.chart import Plate

_PDF = click.option(
    "--pdf",
    "file",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="F.pdf",
    help="Where to put the paper; else it is told on the screen.",
)


@job("card")
@click.argument("bike")
@_PDF
def card(desk: Desk, *, bike: str, file: Path | None) -> None:
    """Give the setup card to hand over with the bike.

    With --pdf it is an A5 paper: the carburettor drawn true to size, every part and
    setting, whether it is proven, mains by height, and the setup as a code.
    """
    from floatbowl.words import setup_card as words

    refuse_odd(file)
    with desk.garage() as garage, working(f"Laying out the card of {bike}"):
        told = garage.hand_over(bike)
    card = words.setup_card(told)
    if file is not None:
        from floatbowl.paper.setup_card import setup_card_pdf

        file.write_bytes(setup_card_pdf(told))
    form = words.card_form(card, file=None if file is None else str(file))
    head = headed(card.bike, card.what, desk)
    done = paragraph(words.printed_words(str(file)), desk) if file is not None else []
    desk.answer(form, [*head, *done, *_card(card, desk)])


def _card(card: words.SetupCard, desk: Desk) -> list[Line]:
    from floatbowl.words import setup_card as words

    wide = max(len(item.name) for item in card.items)
    lines: list[Line] = [
        *paragraph(f"{card.status}. {card.where}, {card.air}.", desk),
        BLANK,
        *(
            (Span(f"  {item.name:<{wide}}  ", "faint"), Span(item.value), Span(_guess(item), "faint"))
            for item in card.items
        ),
        BLANK,
        text_line(words.MAINS, "head"),
        *paragraph(card.described, desk),
        text_line(words.BEFORE_YOU_RIDE, "head"),
        *(line for told in card.care for line in paragraph(told, desk)),
        text_line(words.CODE, "head"),
        *paragraph(card.text, desk),
    ]
    return lines


def _guess(item: words.Item) -> str:
    from floatbowl.words import setup_card as words

    return f"  {words.ASSUMED}" if item.is_assumed and item.value != words.NOT_KNOWN else ""


@job("chart")
@click.argument("bike")
@_PDF
@click.option(
    "--paper", type=click.Choice(["a4", "a3"]), default="a4", show_default=True, help="The paper's size."
)
def chart(desk: Desk, *, bike: str, file: Path | None, paper: Literal["a4", "a3"]) -> None:
    """Explain a carburettor by six plates made from this very bike.

    Each plate asks first. With --pdf it is a paper, one plate a side, the answer on its
    head at the foot.
    """
    from floatbowl.draw.plates import wall_chart
    from floatbowl.words import chart as words

    refuse_odd(file)
    with desk.garage() as garage, working(f"Drawing the plates of {bike}"):
        told = garage.wall_chart(bike)
    plates = [shown.plate for shown in wall_chart(told)]
    if file is not None:
        from floatbowl.paper.wall_chart import wall_chart_pdf

        file.write_bytes(wall_chart_pdf(told, paper=paper))
    done = paragraph(words.printed_words(str(file), paper=paper), desk, "head") if file is not None else []
    form = words.chart_form(told, plates, file=None if file is None else str(file))
    desk.answer(form, [*done, *(line for plate in plates for line in _plate(plate, desk))])


def _plate(plate: Plate, desk: Desk) -> list[Line]:
    from floatbowl.words import chart as words

    return [
        text_line(f"{plate.number}  {plate.title}", "head"),
        *(line for told in plate.seen for line in paragraph(told, desk)),
        *paragraph(f"{words.QUESTION}: {plate.question}", desk, "head"),
        *paragraph(f"{words.ANSWER}: {' '.join(plate.answer)}", desk),
        BLANK,
    ]


def refuse_odd(file: Path | None) -> None:
    """Refuse a file whose name says that it is something else."""
    if file is not None and file.suffix.casefold() != ".pdf":
        name = file.with_suffix(".pdf").name
        text = f'"{file}" does not end in .pdf. The paper is a PDF: write --pdf {name}.'
        raise NotUnderstoodError(text)
