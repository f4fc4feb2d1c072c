# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What the doctor says: how the record and this installation are, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence

from floatbowl.record.health import Finding
from floatbowl.record.rescue import Saved
from floatbowl.words.forms import Form, form
from floatbowl.words.names import plural

FINDINGS: dict[str, str] = {
    "no record": "There is no garage at {file} yet. One is made when the first bike comes in: floatbowl add FILE.",
    "whole": "The record {file} is whole; every page of it was looked at. Entries: {entries}; bikes: {bikes}.",
    "damaged": "The record {file} is damaged: {why}.",
    "can be saved": (
        "{entries} entries can be read out of it, of {of} or more. With what its copies hold they go into a new "
        "file, and the old one stays as it is: floatbowl doctor --garage {file} --repair NEW"
    ),
    "not ours to read": "{why}",
    "garbled": (
        "{count} entries make no sense ({numbers}). What else is there goes into a new file, and those from a "
        "copy where one holds them: floatbowl doctor --garage {file} --repair NEW"
    ),
    "gaps": (
        "The numbers {numbers} are missing in the logbook: they were lost in a damage before this. "
        "Nothing is to be done."
    ),
    "changed": (
        "{count} entries read otherwise than when they were copied ({numbers}). An entry is never changed, so one "
        "of the two files is damaged. Compare: floatbowl log --garage {copy}"
    ),
    "older": "It is from an older floatbowl. It is brought up to date when it is next opened, a copy made first.",
    "copies": "Whole copies: {count}. The last is of {day}: {copy}.",
    "old copies": (
        "Whole copies: {count}, but the last is of {day}: {copy}. One is made by itself on every day on which "
        "something is written; make one now: floatbowl backup."
    ),
    "no copy": (
        "There is no copy of it yet. One is made by itself in {folder} after the first job of a day; for one "
        "elsewhere, on a stick say: floatbowl backup FOLDER."
    ),
    "no leave to write": "{file} may not be written by you, so nothing can be recorded. See whose it is.",
    "little room": "Only {free} MB are free on that disk; there should be {needed}. Make room.",
    "old sqlite": (
        "SQLite {version} on this machine has a rare fault that may harm the file when two programs empty its log "
        "in the same moment. Copies are made by themselves; a newer Python brings SQLite 3.51.3, where it is mended."
    ),
    "missing package": "{name} is not installed, and floatbowl needs it. Set floatbowl up again.",
}
"""A sentence for each thing that can be found."""


def finding_words(finding: Finding) -> str:
    """Say what was found, and what to do."""
    facts = {name: f"{fact:,}" if isinstance(fact, int) else fact for name, fact in finding.facts.items()}
    return FINDINGS[finding.key].format_map(facts)


def head_words(findings: Sequence[Finding]) -> str:
    """Say how it all is, in a line."""
    bad = sum(finding.weight == "bad" for finding in findings)
    return f"{plural(bad, 'thing')} wrong" if bad else "Nothing wrong"


def doctor_form(findings: Sequence[Finding]) -> Form:
    """Give what was found."""
    return form(
        "doctor",
        is_well=not any(finding.weight == "bad" for finding in findings),
        findings=[
            {
                "what": finding.key,
                "weight": finding.weight,
                "words": finding_words(finding),
                "facts": dict(finding.facts),
            }
            for finding in findings
        ],
    )


def saved_words(saved: Saved) -> tuple[str, ...]:
    """Say what was saved, what was lost, and what is not as it was."""
    told = [
        f"{plural(saved.entries, 'entry', 'entries')} saved into {saved.place}. The old file is as it was."
    ]
    if saved.from_copies:
        told.append(f"Out of an earlier copy: {_numbered(saved.from_copies)}.")
    if saved.stood_in:
        told.append(
            f"Made anew, because others lean on it: {_numbered(saved.stood_in)}. Look at what is told of the bike "
            "there, and tell it anew with add --replace."
        )
    if saved.leaning:
        told.append(
            "Told under a setup or in air that is lost, and now under the one before: "
            f"{_numbered(saved.leaning)}."
        )
    told.append(f"Lost: {_numbered(saved.lost)}." if saved.lost else "No entry is known to be lost.")
    told.append("What was written last may be missing without a trace. Look at the end of the logbook.")
    return tuple(told)


_SHOWN = 12


def _numbered(numbers: Sequence[int]) -> str:
    """Name entries by their numbers: a row of them by its ends."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    shown = [str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs[:_SHOWN]]
    more = " and more" if len(runs) > _SHOWN else ""
    return f"{plural(len(numbers), 'entry', 'entries')} ({', '.join(shown)}{more})"


def saved_form(saved: Saved) -> Form:
    """Give what came of a repair."""
    return form(
        "repair",
        file=str(saved.place),
        entries=saved.entries,
        from_copies=list(saved.from_copies),
        made_anew=list(saved.stood_in),
        moved=list(saved.leaning),
        lost=list(saved.lost),
        words=" ".join(saved_words(saved)),
    )
