"""The whole garage as plain files, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from floatbowl.words.forms import Form, form
from floatbowl.words.names import in_line, plural

if TYPE_CHECKING:
    from floatbowl.record.whole import Written


def written_words(written: Written) -> str:
    """Say what was written, and how it comes back."""
    bikes, entries = plural(len(written.bikes), "bike file"), plural(written.entries, "entry", "entries")
    return (
        f"Written into {written.folder}: {bikes}, garage.toml with the drawer and the places, and "
        f"logbook.csv with {entries}. Into an empty garage all comes back as it was: floatbowl add FOLDER."
    )


def written_form(written: Written) -> Form:
    """Give what was written."""
    return form(
        "exported",
        folder=str(written.folder),
        bike_files=list(written.bikes),
        entries=written.entries,
        words=written_words(written),
    )


def taken_words(entries: int | None, bikes: Sequence[str]) -> str:
    """Say whether all came back, or what is new was added."""
    stand = f"In the garage now: {in_line(tuple(bikes)) or 'no bike'}."
    if entries is not None:
        return f"All is back as it was: {plural(entries, 'entry', 'entries')}. {stand}"
    return f"What is new in its bike files and its garage file was added. {stand}"


def taken_form(entries: int | None, bikes: Sequence[str]) -> Form:
    """Give what came of a folder."""
    return form("folder", entries=entries, bikes=list(bikes), words=taken_words(entries, bikes))
