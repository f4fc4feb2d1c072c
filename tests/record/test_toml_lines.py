"""The line of every key, for troubles that say where to look."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.record.toml_lines import Path, find_lines

TRICKY = '''\
# [not.a.table]
name = "x # no comment" # y
"quo ted"."a\\u0041" = 1
a.b.c = [1, 2,
  # ] not the end
  3]
[carb]
needle = { top = 2.5, tip = { x = 1 }, l = [ {a=1}, {b=2} ] }
text = """
[x]
y = 3 \\""" still
"""
raw = \'\'\'
it''s\'\'\'
n = 5 # [h]
day = 2026-11-12 10:00:00
[[trial]]
said = [ { at = "1/4" },
 { at = "]" } ]
[trial.air]
t = 1
[[trial]]
[[trial.sub]]
z = 1
'''


def test_lines_are_found_in_a_tricky_text() -> None:
    """Comments, quoted keys, texts over many lines, lists of tables and tables within a line."""
    lines = find_lines(TRICKY)
    wanted: dict[Path, int] = {
        ("name",): 2,
        ("quo ted", "aA"): 3,
        ("a", "b", "c", 2): 6,
        ("carb",): 7,
        ("carb", "needle", "tip", "x"): 8,
        ("carb", "needle", "l", 1, "b"): 8,
        ("carb", "n"): 15,
        ("trial", 0, "said", 1, "at"): 19,
        ("trial", 0, "air", "t"): 21,
        ("trial", 1, "sub", 0, "z"): 24,
    }
    assert {path: lines[path] for path in wanted} == wanted


def test_no_key_of_the_tricky_text_is_missed() -> None:
    """Every key and item that the standard reader finds has a line, and no other has."""
    assert set(find_lines(TRICKY)) == set(paths(tomllib.loads(TRICKY)))


def paths(data: Any, at: Path = ()) -> list[Path]:  # noqa: ANN401  (whatever TOML can hold)
    """Give the place of every key and item in plain data."""
    inside: list[tuple[str | int, Any]] = []
    if isinstance(data, dict):
        inside = list(data.items())
    elif isinstance(data, list):
        inside = list(enumerate(data))
    return [path for key, value in inside for path in ((*at, key), *paths(value, (*at, key)))]


VALUES = st.recursive(
    st.one_of(st.integers(-5, 5), st.booleans(), st.text(max_size=6), st.dates()),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(min_size=1, max_size=4), inner, max_size=3)
    ),
    max_leaves=12,
)


@pytest.mark.property
@given(st.dictionaries(st.text(min_size=1, max_size=5), VALUES, max_size=5))
def test_every_key_of_any_good_text_has_its_line(data: dict[str, Any]) -> None:
    """Whatever a TOML writer writes, the lines cover exactly what the standard reader reads."""
    text = tomlkit.dumps(data)
    assert set(find_lines(text)) == set(paths(tomllib.loads(text)))
