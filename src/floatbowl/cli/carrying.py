"""Commands for another day and another height: these load the sums."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from floatbowl.cli.asking import headed, paragraph, working
from floatbowl.cli.door import Desk, job
from floatbowl.cli.paper import BLANK, Line, Span, cells, text_line, wrapped
from floatbowl.words import heard
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from floatbowl.jobs import Carried, DaySheet


@job("carry", has_signed_numbers=True)
@click.argument("bike")
@click.argument("words", nargs=-1, metavar="[AIR...]")
@click.option("--to", "place", metavar="PLACE", help="Where to; else it stays where we are now.")
@click.option("--height", metavar="HEIGHT", help="How high it lies, 1450m or 4760ft: then it is remembered.")
@click.option(
    "--air", "first", metavar="AIR...", help="The air there: 19C 851hPa 46%. Left out, it is a mild day."
)
@click.option(
    "--sea",
    metavar="PRESSURE",
    help="The forecast's pressure, at sea level, where none was read at the door.",
)
def carry(  # noqa: PLR0913  (an option each)
    desk: Desk,
    *,
    bike: str,
    words: tuple[str, ...],
    place: str | None,
    height: str | None,
    first: str | None,
    sea: str | None,
) -> None:
    """Carry a bike to another height or day: carry otter --to "Low Meadow" --air 14C 964hPa.

    Says what it would do there, what to fit, and the swap lines: the air beyond which
    another part is the better bet. The pressure is the one at the door.
    """
    from floatbowl.words import carry as told
    from floatbowl.words.heard_ahead import sea_level

    read = heard.air((first, *words) if first else words)
    if sea is not None:
        if "pressure" in read:
            text = "Write the pressure at the door, or --sea with the one at sea level; not both."
            raise NotUnderstoodError(text)
        read["sea_level_pressure"] = sea_level(sea)
    metres = None if height is None else heard.height(height)
    with desk.garage() as garage, working(f"Carrying {bike}"):
        if place is not None and metres is not None:
            garage.keep_place(place, metres)
        day = garage.day_at(place, height=metres, **read)
        carried, tag = garage.carry(bike, day), garage.tag_on(bike)
    desk.answer(told.carry_form(carried, tag=tag), _carried(carried, tag, desk))


def _carried(carried: Carried, tag: str | None, desk: Desk) -> list[Line]:
    from floatbowl.cli import pictures
    from floatbowl.words import carry as told
    from floatbowl.words.air import air_line

    tagged, bought = told.tag_words(tag), told.buy_words(carried, tag=tag)
    return [
        *headed(carried.here.bike.name, told.head_words(carried), desk),
        *paragraph(f"There: {air_line(carried.there.day)}.", desk, "faint"),
        *(paragraph(tagged, desk, "care") if tagged else []),
        *paragraph(told.thickness_words(carried), desk),
        *paragraph(told.as_fitted_words(carried), desk),
        *(line for words in told.care_words(carried) for line in paragraph(words, desk, "care")),
        BLANK,
        *pictures.ladder(told.rows_there(carried), desk.paper),
        BLANK,
        *(line for words in told.fit_words(carried, tag=tag) for line in paragraph(words, desk)),
        *(paragraph(bought, desk) if bought else []),
        *([] if tag else _swap_lines(carried, desk)),
    ]


def _swap_lines(carried: Carried, desk: Desk) -> list[Line]:
    """Set the swap lines; while a stop tag hangs there is nothing to swap."""
    from floatbowl.words import carry as told

    return [
        BLANK,
        text_line("Swap lines", "head"),
        *_table(_swap_rows(carried), desk, no_lines=told.NO_LINES),
        *paragraph(told.RANGES, desk, "faint"),
        *paragraph(told.bands_words(carried.mains), desk),
        *paragraph(told.rule_words(carried), desk, "faint"),
    ]


def _swap_rows(carried: Carried) -> list[Sequence[str]]:
    from floatbowl.words import carry as told

    rows = [
        (row.part, row.thin, row.thick, row.air, row.height or "-", row.warmth or "-", row.by_rule)
        for row in told.swap_rows(carried)
    ]
    return [told.SWAP_HEADS, *rows] if rows else []


def _table(rows: Sequence[Sequence[str]], desk: Desk, *, no_lines: str) -> list[Line]:
    """Set rows in columns; where the paper is too narrow for them, each row under the other."""
    if not rows:
        return paragraph(no_lines, desk)
    widths = [max(cells(row[k]) for row in rows) for k in range(len(rows[0]))]
    if sum(widths) + 2 * len(widths) <= desk.paper.width:
        return [_row(row, widths, ink="faint" if k == 0 else "") for k, row in enumerate(rows)]
    head, *rest = rows
    return [line for row in rest for line in _stacked(head, row, desk)]


def _row(row: Sequence[str], widths: Sequence[int], *, ink: str) -> Line:
    return tuple(
        Span(f"  {word}{' ' * (width - cells(word))}", ink) for word, width in zip(row, widths, strict=True)
    )


def _stacked(head: Sequence[str], row: Sequence[str], desk: Desk) -> list[Line]:
    told = "; ".join(f"{name}: {value}" for name, value in zip(head[3:], row[3:], strict=True) if value)
    lines = wrapped(told, desk.paper.width - 4)
    over = f"  {row[0]} {row[1]} in thin air, {row[2]} in thick"
    return [text_line(over), *(text_line(f"    {line}", "faint") for line in lines)]


@job("day")
@click.argument("bike")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--to", "place", metavar="PLACE", help="Where, if the file does not say.")
def day(desk: Desk, *, bike: str, file: Path, place: str | None) -> None:
    """Lay a day out: the air hour by hour, and the rules for it.

    FILE is plain text (TOML) with a few hours in it: time, temperature, pressure at the
    door or at sea level, damp.
    """
    from floatbowl.jobs import load_day_file
    from floatbowl.words import day as told

    read = load_day_file(file)
    with desk.garage() as garage, working(f"Laying the day out for {bike}"):
        hours = garage.hours_at(read.place or place, read.hours, height=read.height, date=read.date)
        sheet, tag = garage.day_sheet(bike, hours), garage.tag_on(bike)
    form = {**told.day_form(sheet, tag=tag), "notes": list(told.notes(read))}
    notes = [line for words in form["notes"] for line in paragraph(words, desk, "faint")]
    desk.answer(form, [*_day(sheet, desk, tag=tag), *notes])


def _day(sheet: DaySheet, desk: Desk, *, tag: str | None) -> list[Line]:
    from floatbowl.words import day as told
    from floatbowl.words.carry import tag_words

    hours = [(told.hour_head(ahead), told.air_words(ahead)) for ahead in sheet.hours]
    wide = max(cells(name) for name, _ in hours)
    air = [
        *headed(sheet.here.bike.name, told.head_words(sheet), desk),
        *((Span(f"  {name:<{wide}}  ", "faint"), Span(words)) for name, words in hours),
        BLANK,
    ]
    if tag is not None:
        return [*air, *paragraph(tag_words(tag), desk, "care")]
    return [
        *air,
        *(line for rule in told.rules(sheet) for line in paragraph(rule, desk)),
        *paragraph(told.pack_words(sheet), desk),
        BLANK,
        text_line(told.lines_head(sheet), "head"),
        *(line for one in sheet.lines for line in paragraph(told.line_words(sheet, one), desk, "faint")),
        *paragraph(f"{told.TWENTY} {told.MAIN_FIRST}", desk, "faint"),
    ]
