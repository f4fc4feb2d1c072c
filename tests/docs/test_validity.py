"""The figures of docs/validity.md are those of the model as it stands."""

import re

import pytest

from tests.docs import validity

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def rows(text: str, name: str) -> list[str]:
    """Give the lines of one table of the page."""
    found = re.search(rf"<!-- table: {name} -->\n(.*?)\n<!-- end -->", text, flags=re.DOTALL)
    assert found, name
    return found[1].splitlines()


def is_same(shown: str, made: str) -> bool:
    """Say whether two lines tell the same: equal words, numbers equal to a unit of their last digit."""
    ours, theirs = NUMBER.findall(shown), NUMBER.findall(made)
    if NUMBER.sub("#", shown) != NUMBER.sub("#", made) or len(ours) != len(theirs):
        return False
    unit = (10.0 ** -len(a.partition(".")[2]) for a in ours)
    return all(abs(float(a) - float(b)) < 1.5 * last for a, b, last in zip(ours, theirs, unit, strict=True))


@pytest.mark.parametrize("name", validity.TABLES)
def test_a_table_shows_what_the_model_gives(name: str) -> None:
    """Worked out anew the table is the one printed. If not, run tests/docs/validity.py and mend the text."""
    shown = rows(validity.PAGE.read_text(encoding="utf-8"), name)
    made = validity.TABLES[name]().splitlines()
    assert len(shown) == len(made)
    wrong = [(a, b) for a, b in zip(shown, made, strict=True) if not is_same(a, b)]
    assert not wrong


def test_a_figure_that_moved_is_seen() -> None:
    """A number two units of its last digit away, or another word, does not pass; one unit does."""
    assert is_same("| full | 0.87 |", "| full | 0.88 |")
    assert not is_same("| full | 0.87 |", "| full | 0.89 |")
    assert not is_same("| full | 0.87 |", "| shut | 0.87 |")
    assert not is_same("| full | - |", "| full | 0.87 |")
