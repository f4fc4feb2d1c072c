"""Every number of check_values.csv against our own code."""

from collections import Counter

import pytest

from tests.reference.check_values.answers import answer_for
from tests.reference.check_values.rows import ROWS, Row

NOT_TESTED_HERE = {
    "CP-": "a sense, not a number: the tests of common practice hold it for many bikes",
    "DOE-HV-": "heat of evaporation: the air is not cooled by the fuel in our model",
    "LHV-iso-octane": "a part of petrol: test_fuel.py makes petrol's own figure out of it",
    "LHV-n-heptane": "a part of petrol: test_fuel.py lays petrol's own figure beside it",
    "LHV-toluene": "a part of petrol: test_fuel.py makes petrol's own figure out of it",
    "LHV-methanol": "methanol is in no tank we know",
}
"""Head of the id -> why no number of ours stands against such a row."""


def _is_left_out(row: Row) -> bool:
    return any(row.id.startswith(head) for head in NOT_TESTED_HERE)


TESTED = [row for row in ROWS if not _is_left_out(row)]


@pytest.mark.reference
@pytest.mark.parametrize("row", TESTED, ids=lambda row: row.id)
def test_we_give_the_outside_number(row: Row) -> None:
    """Our code gives the number of this row, to the tolerance that the row states."""
    answer = answer_for(row)
    assert answer is not None, f"no code of ours answers {row.id}"
    ours = [float(number) for number in answer(row)]
    assert row.agrees(ours), f"{row.quantity}: ours {ours}, theirs {row.value} within {row.tolerance}"


def test_no_row_is_forgotten_or_told_twice() -> None:
    """Each row is tested or left out with a reason, each reason is needed, and no two rows share a name."""
    assert all(answer_for(row) for row in TESTED)
    assert all(any(row.id.startswith(head) for row in ROWS) for head in NOT_TESTED_HERE)
    assert not [name for name, times in Counter(row.id for row in ROWS).items() if times > 1]
    assert len(TESTED) > 200


@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_the_tolerance_bites(way: float) -> None:
    """Control: a number a little inside what a row allows agrees, one a little outside does not."""
    for row in TESTED:
        if row.tolerance != "range":
            pairs = list(zip(row.numbers, row.allowed, strict=True))
            assert row.agrees([number + way * 0.99 * allowed for number, allowed in pairs]), row.id
            assert not row.agrees([number + way * (1.01 * allowed + 1e-12) for number, allowed in pairs]), (
                row.id
            )
