"""Plain data into a text a person likes to read, or into one that person wrote: only what changed."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, MutableMapping, MutableSequence, Sequence
from difflib import SequenceMatcher
from typing import Any, TypeGuard

import tomlkit
from tomlkit.items import AoT, InlineTable, Item, Table

Make = Callable[[Any], Item]


def write_fresh(target: Mapping[str, Any]) -> str:
    """Write data as a new text: sections one under the other, small things in one line.

    >>> print(write_fresh({"name": "Magpie", "carb": {"bore_mm": 26.0, "needle": {"grooves": 5}}}), end="")
    name = "Magpie"
    <BLANKLINE>
    [carb]
    bore_mm = 26.0
    needle = {grooves = 5}
    """
    document = tomlkit.document()
    for key, value in target.items():
        document.add(key, _section(value))
    return tomlkit.dumps(document)


def write_into(text: str, *, base: Mapping[str, Any], target: Mapping[str, Any]) -> str:
    r"""Carry the change from ``base`` to ``target`` into a text that told ``base``.

    Comments, layout and keys that are in neither stay as they are.

    >>> write_into("a = 1  # one\nb = 2  # two\n", base={"a": 1, "b": 2}, target={"a": 1, "b": 3})
    'a = 1  # one\nb = 3  # two\n'
    """
    document = tomlkit.parse(text)
    _change_table(document, base, target, make=_section)
    return tomlkit.dumps(document)


# --- making ------------------------------------------------------------------------------------------------


def _section(value: Any) -> Item:  # noqa: ANN401  (whatever TOML can hold)
    """Make a section of a table, one for each of a list of tables, and a line of anything else."""
    if isinstance(value, Mapping):
        return _filled(tomlkit.table(), value)
    if value and _is_list_of_tables(value):
        sections = tomlkit.aot()
        for item in value:
            sections.append(_filled(tomlkit.table(), item))
        return sections
    return _line(value)


def _line(value: Any) -> Item:  # noqa: ANN401  (whatever TOML can hold)
    """Make what fits on a line; in a list of tables each gets its own."""
    if isinstance(value, Mapping):
        return _filled(tomlkit.inline_table(), value)
    if isinstance(value, list):
        array = tomlkit.array()
        for item in value:
            array.append(_line(item))
        array.multiline(bool(value) and _is_list_of_tables(value))
        return array
    plain: Item = tomlkit.item(_short(value))
    return plain


def _short(value: Any) -> Any:  # noqa: ANN401  (whatever TOML can hold)
    """Write 5000 rather than 5000.0; small measures keep their point, as a ruler would be read."""
    is_long = isinstance(value, float) and value.is_integer() and 100.0 <= abs(value) < 1e9  # noqa: PLR2004
    return int(value) if is_long else value


def _filled(table: Table | InlineTable, value: Mapping[str, Any]) -> Item:
    for key, item in value.items():
        table.add(key, _line(item))
    return table


def _is_list_of_tables(value: object) -> TypeGuard[list[Mapping[str, Any]]]:
    return isinstance(value, list) and all(isinstance(item, Mapping) for item in value)


# --- changing ----------------------------------------------------------------------------------------------


def _change_table(
    table: MutableMapping[str, Any], base: Mapping[str, Any], target: Mapping[str, Any], *, make: Make
) -> None:
    for key in base.keys() - target.keys():
        table.pop(key, None)
    for key, value in target.items():
        if key not in base or base[key] != value:
            there = table.get(key)
            if not _change_within(there, base.get(key), value):
                table[key] = make(value)


def _change_within(there: object, base: object, target: object) -> bool:
    """Change a table or a list of tables in its place; False when it has to be written anew."""
    if isinstance(there, MutableMapping) and isinstance(base, Mapping) and isinstance(target, Mapping):
        _change_table(there, base, target, make=_line)
        return True
    if isinstance(there, MutableSequence) and _is_list_of_tables(base) and _is_list_of_tables(target):
        _change_list(there, base, target)
        return True
    return False


def _change_list(
    there: MutableSequence[Any], base: Sequence[Mapping[str, Any]], target: Sequence[Mapping[str, Any]]
) -> None:
    """Change a list from its end to its front, so that places still to come stay where they are."""
    matcher = SequenceMatcher(
        a=[_mark(item) for item in base], b=[_mark(item) for item in target], autojunk=False
    )
    for what, start, end, from_, to in reversed(matcher.get_opcodes()):
        if what != "equal":
            _replace(there, base[start:end], target[from_:to], at=start)


def _replace(
    there: MutableSequence[Any],
    base: Sequence[Mapping[str, Any]],
    target: Sequence[Mapping[str, Any]],
    *,
    at: int,
) -> None:
    """Change as many tables as were and are to be; take out or put in the rest."""
    both = min(len(base), len(target))
    for place in range(at + len(base) - 1, at + both - 1, -1):
        del there[place]
    for place in range(both):
        _change_table(there[at + place], base[place], target[place], make=_line)
    for place in range(both, len(target)):
        there.insert(at + place, _apart(target[place]) if isinstance(there, AoT) else _line(target[place]))


def _apart(value: Mapping[str, Any]) -> Item:
    """Make a section that stands a line apart from the one before it."""
    section = _section(value)
    section.trivia.indent = "\n"
    return section


def _mark(item: Mapping[str, Any]) -> str:
    return json.dumps(item, sort_keys=True, default=str)
