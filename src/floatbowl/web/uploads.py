"""A file that was sent along, laid into a folder of its own while it is read, and gone afterwards."""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from starlette.datastructures import UploadFile

from floatbowl.web.asked import Asked
from floatbowl.words.trouble import NotUnderstoodError

LONGEST_NAME = 60


@contextmanager
def laid_down(asked: Asked, name: str, *, usual: str, missing: str) -> Iterator[Path]:
    """Give the file of a field on disk, under what is harmless of its own name, else ``usual``.

    ``missing`` is the sentence where none was chosen.
    """
    sent = asked.form.get(name)
    if not isinstance(sent, UploadFile) or not sent.size:
        asked.wrong = name
        raise NotUnderstoodError(missing)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / harmless(sent.filename or "", usual)
        with path.open("wb") as file:
            shutil.copyfileobj(sent.file, file)
        yield path


def harmless(name: str, usual: str) -> str:
    """Give a file's name without folders and odd signs.

    >>> harmless("rides/idle 1.wav", "sound"), harmless("../../.profile", "sound"), harmless("", "sound")
    ('idle 1.wav', 'profile', 'sound')
    """
    last = re.split(r"[/\\]", name)[-1]
    plain = re.sub(r"[^\w .()+-]", "", last).strip(" .")
    return plain[-LONGEST_NAME:] or usual
