"""The doctor: how the record and this installation are, and saving what can be saved."""

from __future__ import annotations

from pathlib import Path

import click

from floatbowl.cli.door import Desk, job
from floatbowl.cli.paper import BLANK, Line, Span, text_line, wrapped
from floatbowl.cli.telling import paragraphs


@job("doctor")
@click.option(
    "--repair",
    "new",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="NEW",
    help="Save all that can be read into this new file; the old one is only read.",
)
def doctor(desk: Desk, *, new: Path | None) -> None:
    """Say what is wrong with the record and with this installation, and what to do.

    Every page and every entry is looked at, and held against the copies there are.
    Nothing is written, except into the new file of --repair.
    """
    from floatbowl import jobs
    from floatbowl.words import doctor as words

    if new is not None:
        saved = jobs.repair(desk.place, new)
        desk.answer(words.saved_form(saved), paragraphs(words.saved_words(saved), desk))
        return
    findings = jobs.examine(desk.place)
    lines = [text_line(words.head_words(findings), "head")]
    for finding in findings:
        lines += [BLANK, *_finding(words.finding_words(finding), desk, is_bad=finding.weight == "bad")]
    desk.answer(words.doctor_form(findings), lines)


def _finding(told: str, desk: Desk, *, is_bad: bool) -> list[Line]:
    """Set a finding; what is wrong is marked, and a command at its end stands on a line of its own."""
    mark = f"{desk.paper.marks.no if is_bad else ' '} "
    said, command = _apart(told)
    first, *rest = wrapped(said, desk.paper.width - len(mark))
    ink = "care" if is_bad else ""
    lines: list[Line] = [(Span(mark, ink), Span(first, ink)), *(text_line(f"  {line}", ink) for line in rest)]
    return [*lines, text_line(f"    {command}")] if command else lines


def _apart(told: str) -> tuple[str, str]:
    """Take the command off the end of a sentence; it must not be wrapped, or it cannot be copied."""
    said, colon, command = told.partition(": floatbowl ")
    return (f"{said}:", f"floatbowl {command.removesuffix('.')}") if colon else (told, "")
