"""Every trouble as a sentence and an exit code.

2 for words we do not understand, 3 for trouble with a file or the record, 4 when
too little is known to answer.
"""

from __future__ import annotations

import click

from floatbowl.jobs import (
    NothingAskedError,
    NotOnAStandError,
    NotThereError,
    RecordTrouble,
    TooLittleKnownError,
    UnknownBike,
)
from floatbowl.words.door import CannotOpenError
from floatbowl.words.setup_card import not_on_a_stand_words
from floatbowl.words.trouble import NotUnderstoodError, missing_words, not_there_words, nothing_asked_words

WRONG_WORDS, NOT_KEPT, TOO_LITTLE_KNOWN = 2, 3, 4

TRACE_NAME = "FLOATBOWL_TRACE"
"""Set it in the environment to see the inside of a trouble that is our own fault."""


def told(trouble: Exception) -> tuple[str, int, tuple[str, ...]]:
    """Give the sentence, the exit code, and what is missing where too little is known."""
    missing: tuple[str, ...] = ()
    match trouble:
        case NotUnderstoodError() | UnknownBike():
            sentence, code = str(trouble), WRONG_WORDS
        case click.ClickException():
            sentence, code = _wrong_command(trouble), WRONG_WORDS
        case NotOnAStandError():
            sentence, code = not_on_a_stand_words(trouble.bike, trouble.alike), TOO_LITTLE_KNOWN
            missing = trouble.missing
        case TooLittleKnownError():
            sentence, code, missing = (
                missing_words(trouble.bike, trouble.missing),
                TOO_LITTLE_KNOWN,
                trouble.missing,
            )
        case NothingAskedError():
            sentence, code = nothing_asked_words(trouble.bike, trouble.what), WRONG_WORDS
        case NotThereError():
            told = not_there_words(trouble.bike, trouble.what, asked=trouble.asked, known=trouble.known)
            sentence, code = told, WRONG_WORDS
        case RecordTrouble() | CannotOpenError():
            sentence, code = str(trouble), NOT_KEPT
        case OSError():
            sentence, code = _file_trouble(trouble), NOT_KEPT
        case _:
            sentence, code = _our_own(trouble), NOT_KEPT
    return sentence, code, missing


def _wrong_command(trouble: click.ClickException) -> str:
    context = trouble.ctx if isinstance(trouble, click.UsageError) else None
    if context is None:
        return trouble.format_message()
    usage = context.get_usage().removeprefix("Usage: ")
    return f"{trouble.format_message()}\nWrite it like: {usage}\nMore: {context.command_path} --help"


def _file_trouble(trouble: OSError) -> str:
    where = f"{trouble.filename}: " if trouble.filename else ""
    return f"{where}{(trouble.strerror or str(trouble)).lower()}. Nothing was changed."


def _our_own(trouble: Exception) -> str:
    kind = type(trouble).__name__
    return (
        f"Something in floatbowl itself went wrong ({kind}). Your entries are saved.\n"
        f"To report it, run the same again with {TRACE_NAME}=1 and send what it prints."
    )
