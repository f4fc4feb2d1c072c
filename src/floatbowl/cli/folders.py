"""The whole garage into a folder of plain files, and back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from floatbowl.cli.paper import text_line, wrapped

if TYPE_CHECKING:
    from floatbowl.cli.door import Desk


def write_folder(desk: Desk, folder: Path) -> None:
    """Write the whole garage into a folder, and say what lies there."""
    from floatbowl.words import whole as words
    from floatbowl.words.logbook import entry_words

    with desk.garage() as garage:
        written = garage.export_all(folder, entry_words)
    lines = [text_line(line) for line in wrapped(words.written_words(written), desk.paper.width)]
    desk.answer(words.written_form(written), lines)


def take_folder(desk: Desk, folder: Path, *, replace: bool) -> None:
    """Take a folder in, and say whether all came back or what is new was added."""
    from floatbowl.words import whole as words

    with desk.garage() as garage:
        entries = garage.read_folder(folder, replace=replace)
        bikes = garage.bikes()
    told = words.taken_words(entries, bikes)
    lines = [text_line(line) for line in wrapped(told, desk.paper.width)]
    desk.answer(words.taken_form(entries, bikes), lines)
