"""Commands that tell the record something, or show what was told: no sums."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

import click

from floatbowl.cli.asking import working
from floatbowl.cli.door import JSON, Desk, job, put_json
from floatbowl.cli.folders import take_folder, write_folder
from floatbowl.cli.paper import BLANK, Line, Span, text_line, wrapped
from floatbowl.words import heard
from floatbowl.words.trouble import NotUnderstoodError

if TYPE_CHECKING:
    from floatbowl.jobs import Garage, StripCard


_TEXT_AT_MOST = 400_000
"""Letters of a file that are looked at for a card or for notes: as many notes as are taken at once."""


def paragraphs(texts: Iterable[str], desk: Desk) -> list[Line]:
    """Set texts one under the other within the paper's width."""
    return [text_line(line) for text in texts for line in wrapped(text, desk.paper.width)]


def pairs(rows: Sequence[tuple[str, str]], *, column: int = 0) -> list[Line]:
    """Set names and values in two columns."""
    wide = column or max((len(name) for name, _ in rows), default=0)
    return [(Span(f"  {name:<{wide}}  ", "faint"), Span(value)) for name, value in rows]


@job("add")
@click.argument("words", nargs=-1, required=True, metavar="FILE|FOLDER|TEXT")
@click.option(
    "--replace", "is_new", is_flag=True, help="Tell a bike that stands here anew; all that happened stays."
)
def add(desk: Desk, *, words: tuple[str, ...], is_new: bool) -> None:
    """Put the bike of a bike file on a stand, fit what a setup card tells, or take ride notes.

    FILE is plain text (TOML). Leave out what you have not measured: it is assumed.
    A card's text is typed as it stands, or comes from a file, or from - (pasted);
    so do the notes of a take-along, each of which is taken once. FOLDER is what
    export --all wrote: in an empty garage all comes back as it was.
    """
    from floatbowl.jobs import is_notes
    from floatbowl.words.files import notes, read_form

    text = _text_in(words)
    if text is not None:
        (_take_notes if is_notes(text) else _take_card)(desk, text)
        return
    file = Path(words[0])
    if file.is_dir():
        take_folder(desk, file, replace=is_new)
        return
    with desk.garage() as garage:
        read = garage.add_bike(file, replace=is_new)
    head = text_line(f"{read.name} stands in the garage.", "head")
    desk.answer(read_form("added", read), [head, *paragraphs(notes(read), desk)])


def _text_in(words: Sequence[str]) -> str | None:
    """Give the text of a card or of notes: written, pasted, or in the file that was named."""
    from floatbowl.jobs import is_card, is_notes

    text = " ".join(words)
    if is_card(text) or is_notes(text):
        return text
    if len(words) > 1:
        trouble = f"Name one file. A card's text begins with FLOATBOWL/1, not with {words[0]}."
        raise NotUnderstoodError(trouble)
    if text == "-":
        return sys.stdin.read()
    try:
        with Path(text).open(encoding="utf-8") as file:
            start = file.read(_TEXT_AT_MOST)
    except (OSError, UnicodeDecodeError):
        return None
    return start if is_card(start) or is_notes(start) else None


def _take_card(desk: Desk, text: str) -> None:
    from floatbowl.words import setup_card as words
    from floatbowl.words.setups import setup_changes

    with desk.garage() as garage:
        before = {name: garage.fitted(name) for name in garage.bikes()}
        bike, setup = garage.take_card(text)
    changes = setup_changes(before[bike.name], setup, bike)
    told = words.taken_words(bike.name, setup, before=before[bike.name], changes=changes)
    desk.answer(words.taken_form(bike.name, setup, words=told), paragraphs([told], desk))


def _take_notes(desk: Desk, text: str) -> None:
    from floatbowl.words import take_along as words

    with desk.garage() as garage:
        taken = garage.take_notes(text)
    desk.answer(words.taken_form(taken), paragraphs([words.taken_words(taken)], desk))


@job("check", options=(JSON,))
@click.argument("file", type=click.Path(path_type=Path))
def check(desk: Desk, *, file: Path) -> None:
    """Say what is wrong with a bike file, line by line.

    Nothing is kept.
    """
    from floatbowl.jobs import check_bike_file
    from floatbowl.words.files import good_words, notes, read_form

    read = check_bike_file(file)
    head = text_line(good_words(read), "head")
    desk.answer(read_form("checked", read), [head, *paragraphs(notes(read), desk)])


@job("export")
@click.argument("bike", required=False)
@click.option(
    "--all",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    metavar="FOLDER",
    help="Write the whole garage into this new folder, as plain text and a table.",
)
def export(desk: Desk, *, bike: str | None, folder: Path | None) -> None:
    """Write a bike out as a bike file, to mail it or keep it.

    With --all: every bike's file, the drawer and the places, and the whole logbook as
    a table, in a new folder. floatbowl add FOLDER brings it back.
    """
    from floatbowl.words.forms import form

    if folder is not None and bike is None:
        write_folder(desk, folder)
        return
    if bike is None or folder is not None:
        text = "Name a bike, or write --all and a folder: floatbowl export --all FOLDER."
        raise NotUnderstoodError(text)
    with desk.garage() as garage:
        text, name = garage.export_bike(bike), garage.bike(bike).name
    if desk.is_json:
        put_json(form("export", bike=name, bike_file=text))
    else:
        click.echo(text, nl=False)


@job("strip")
@click.argument("bike")
@click.argument("words", nargs=-1, metavar="[PART ANSWER [MEASURE...]]")
def strip(desk: Desk, *, bike: str, words: tuple[str, ...]) -> None:
    """Show what is left to inspect, or record one part: strip magpie float fine 18.

    Answers are fine, not fine and skip. What a part measures follows in the order in
    which its card asks, in its units; - leaves one out.
    """
    from floatbowl.words import strip as told

    with desk.garage() as garage:
        name, sheet = garage.bike(bike).name, garage.strip_sheet(bike)
        if not words:
            desk.answer(told.sheet_form(sheet, bike=name), _sheet(sheet, name, desk))
            return
        part, answer, measures = heard.strip(words, sheet=sheet)
        card = garage.record_strip(bike, part.key, answer, measures)
    lines = [
        text_line(f"{name}: {card.part.title}, {told.STATE[card.state]}.", "head"),
        *paragraphs([told.measured_words(card, ask) for ask in card.part.asks], desk),
        *paragraphs([told.after_words(card, bike=name)], desk),
    ]
    desk.answer(told.card_form(card, bike=name), lines)


def _sheet(sheet: Sequence[StripCard], name: str, desk: Desk) -> list[Line]:
    """Set the whole sheet: what was looked at in one line, what is left with what to look for."""
    from floatbowl.words import strip as told
    from floatbowl.words.care import care_lines

    lines = [text_line(f"{name}, strip sheet", "head"), *paragraphs([told.sheet_words(sheet)], desk)]
    for card in sheet:
        part = card.part
        lines += [BLANK, (Span(part.key, "head"), Span(f"  {part.title}: {told.STATE[card.state]}"))]
        if card.state == "open":
            lines += paragraphs([*part.look_for, *(care_lines(part.care)[:1])], desk)
        measures = [told.measured_words(card, ask) for ask in part.asks]
        limit = told.ground_words(part)
        lines += paragraphs([*([limit] if limit else ()), *(["; ".join(measures)] if measures else ())], desk)
    return lines


@job("fitted")
@click.argument("bike")
@click.argument("parts", nargs=-1, metavar="[PART=STAMP]...")
def fitted(desk: Desk, *, bike: str, parts: tuple[str, ...]) -> None:
    """Show what is fitted, or say what you fitted: main=108 clip=4.

    Parts are main, pilot, clip, screw, cutaway, float, washer and needle. The clip's
    groove counts from the blunt end, turns of the screw from lightly seated.
    """
    from floatbowl.words.forms import setup_form
    from floatbowl.words.names import setup_words

    with desk.garage() as garage:
        now_fitted = garage.fit(bike, **heard.changes(parts)) if parts else garage.fitted(bike)
        known = garage.bike(bike)
    head = text_line(f"{known.name}, setup {now_fitted.number}", "head")
    desk.answer(setup_form(now_fitted, bike=known), [head, *pairs(setup_words(now_fitted, known))])


@job("drawer")
@click.argument("words", nargs=-1, metavar="[add|take KIND STAMP... | from FILE]")
def drawer(desk: Desk, *, words: tuple[str, ...]) -> None:
    """Show the parts at hand, put some in, or take some out.

    For example: drawer add main 105 108. Kinds are main, pilot and cutaway. Needles
    come with their shape in a garage file, with other parts and places: drawer from FILE.
    """
    from floatbowl.words.forms import drawer_form
    from floatbowl.words.names import drawer_words

    with desk.garage() as garage:
        if words:
            _move_parts(garage, words)
        parts = garage.drawer()
    desk.answer(drawer_form(parts), [text_line("In the drawer", "head"), *pairs(drawer_words(parts))])


def _move_parts(garage: Garage, words: tuple[str, ...]) -> None:
    file = heard.drawer_file(words)
    if file is not None:
        garage.take_in(Path(file))
        return
    move, kind, stamps = heard.drawer_move(words)
    (garage.put_in_drawer if move == "add" else garage.take_from_drawer)(kind, stamps)


@job("air")
@click.argument("words", nargs=-1, metavar="[19C 851hPa 46%]")
@click.option("--at", "place", metavar="PLACE", help="Where you are; the place is remembered.")
@click.option("--height", metavar="HEIGHT", help="How high the place lies: 1450m or 4760ft.")
def air(desk: Desk, *, words: tuple[str, ...], place: str | None, height: str | None) -> None:
    """Show the air here and now, or say what it is.

    The pressure is what a barometer at the door reads, not the forecast's. What you
    leave out is assumed from the height and a mild day.
    """
    from floatbowl.words.air import air_words
    from floatbowl.words.forms import air_fields, form

    typed = heard.air(words)
    metres = None if height is None else heard.height(height)
    with desk.garage() as garage:
        is_news = bool(typed or place or height)
        day = garage.note_air(place=place, height=metres, **typed) if is_news else garage.air()
    desk.answer(form("air", **air_fields(day)), [text_line("The air", "head"), *pairs(air_words(day))])


@job("said")
@click.argument("bike", required=False)
@click.argument("words", nargs=-1, metavar="[AT] DID")
@click.option("--snap", "how", flag_value="snap", help="When you snap the throttle open.")
@click.option("--steady", "how", flag_value="steady", help="At a steady hand.")
@click.option("--pull", "how", flag_value="pull", help="On a long pull.")
@click.option("--hot", "engine", flag_value="hot", help="Engine hot (as taken if you do not say).")
@click.option("--cold", "engine", flag_value="cold", help="Engine cold.")
@click.option("--once", "often", flag_value="once", help="It did so once.")
@click.option("--every-time", "often", flag_value="every time", help="Every time (taken if you do not say).")
@click.option("--list", "is_list", is_flag=True, help="Show every behaviour we know, and end.")
def said(  # noqa: PLR0913  (one for each thing a rider can say)
    desk: Desk,
    *,
    bike: str | None,
    words: tuple[str, ...],
    how: str | None,
    engine: str | None,
    often: str | None,
    is_list: bool,
) -> None:
    """Write down what it did: said magpie 1/4 bogs --snap.

    AT is shut, 1/8, 1/4, 1/2, 3/4 or full; leave it out when you do not know.
    """
    from floatbowl.words.asked_back import ask_after
    from floatbowl.words.forms import behaviours_form, remark_form
    from floatbowl.words.names import BEHAVIOURS, remark_words

    if is_list:
        head = text_line("What a bike can do", "head")
        desk.answer(behaviours_form(), [head, *pairs(tuple(BEHAVIOURS.items()))])
        return
    if bike is None or not words:
        text = "Say which bike, where on the throttle, and what it did: floatbowl said magpie 1/4 bogs."
        raise NotUnderstoodError(text)
    at, did = heard.said(words)
    with desk.garage() as garage:
        remark = garage.record_remark(
            bike, did, at=at, how=how, engine=engine or "hot", often=often or "every time"
        )
        name = garage.bike(bike).name
    desk.answer(
        remark_form(remark, bike=name),
        [
            text_line(f"{name}: {remark_words(remark)}.", "head"),
            saved(remark.entry),
            *paragraphs(ask_after(remark, bike=name), desk),
        ],
    )


def saved(entry: str) -> Line:
    """Say under which name an entry was saved."""
    return text_line(f"Saved as {entry}.", "faint")


@job("looked")
@click.argument("bike")
@click.argument("words", nargs=-1, required=True, metavar="[LOOK] found|clear")
@click.option("--at", "look_words", metavar="LOOK", help="Which look, if not the one that next asks for.")
def looked(desk: Desk, *, bike: str, words: tuple[str, ...], look_words: str | None) -> None:
    """Write down what a look brought: looked thistle found, or clear.

    It is the look that next asks for now. Another one is named by a word or two of
    it: looked thistle soap found.
    """
    from floatbowl.words.forms import reading_form
    from floatbowl.words.mending import after_look
    from floatbowl.words.names import reading_words

    look, outcome = heard.looked((*look_words.split(), *words) if look_words else words)
    with desk.garage() as garage, _asking_the_card(bike, is_open=look is None):
        reading = garage.record_look(bike, outcome, look=look)
        known = garage.bike(bike)
    lines = [text_line(f"{known.name}: {reading_words(reading)}.", "head"), saved(reading.entry)]
    lines += paragraphs(after_look(reading, bike=known), desk)
    desk.answer(reading_form(reading, bike=known.name), lines)


def _asking_the_card(bike: str, *, is_open: bool) -> AbstractContextManager[None]:
    """Say that we are thinking, where the card has to tell what is meant."""
    return working(f"Thinking about {bike}") if is_open else nullcontext()


@job("mended")
@click.argument("bike")
@click.argument("words", nargs=-1, metavar="[FAULT]")
def mended(desk: Desk, *, bike: str, words: tuple[str, ...]) -> None:
    """Write down what you mended: mended thistle.

    It is the fault on the tag. Another one is named: mended thistle air leak. What
    was said before then counts as said of a broken bike.
    """
    from floatbowl.words.forms import mended_form
    from floatbowl.words.mending import after_mend
    from floatbowl.words.names import mended_words

    asked = heard.fault(words) if words else None
    with desk.garage() as garage, _asking_the_card(bike, is_open=asked is None):
        fault = garage.mend(bike, asked)
        name = garage.bike(bike).name
    lines = [text_line(f"{name}, {mended_words(fault)}.", "head"), *paragraphs(after_mend(bike=name), desk)]
    desk.answer(mended_form(fault, bike=name), lines)


@job("backup")
@click.argument("folder", required=False, type=click.Path(file_okay=False, path_type=Path))
def backup(desk: Desk, *, folder: Path | None) -> None:
    """Copy the whole garage into a dated file, while it is in use.

    Without FOLDER it goes where the settings say, else beside the garage itself.
    """
    from floatbowl.words.settings import backup_form, backup_words

    with desk.garage() as garage:
        place = garage.backup(folder)
    desk.answer(backup_form(place), paragraphs([backup_words(place)], desk))


@job("undo")
@click.argument("bike", required=False)
def undo(desk: Desk, *, bike: str | None) -> None:
    """Strike out the last entry; it stays in the logbook, struck."""
    from floatbowl.words.logbook import struck_form, struck_words

    with desk.garage() as garage:
        struck = garage.undo(bike)
    desk.answer(struck_form(struck), [text_line(struck_words(struck))])
