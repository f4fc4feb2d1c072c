"""The rows of check_values.csv, and when a number of ours agrees with one."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

TABLE = Path(__file__).with_name("check_values.csv")
_NUMBER = r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row, as text."""

    id: str
    quantity: str
    inputs: str
    value: str
    unit: str
    tolerance: str
    source: str
    kind: str

    def given(self, name: str) -> float:
        """Give an input by its name: ``p`` out of ``p=101325 Pa; T=15 degC``."""
        found = re.search(rf"(?:^|[\s;]){re.escape(name)}=({_NUMBER})", self.inputs)
        assert found, f"{self.id} has no input {name}"
        return float(found[1])

    def agrees(self, ours: Sequence[float]) -> bool:
        """Say whether our numbers lie as close as the row allows."""
        if self.tolerance == "range":
            low, high = (float(end) for end in self.value.split("-"))
            return all(low <= number <= high for number in ours)
        theirs = self.numbers
        if len(theirs) != len(ours):
            return False
        pairs = zip(ours, theirs, self.allowed, strict=True)
        return all(abs(number - other) <= allowed for number, other, allowed in pairs)

    @property
    def numbers(self) -> list[float]:
        """Give the row's own numbers."""
        return [_leading(part) for part in self.value.split(" / ")]

    @property
    def allowed(self) -> list[float]:
        """Give how far we may be off each of the row's numbers."""
        parts = self.tolerance.split(" / ")
        every = parts if len(parts) > 1 else parts * len(self.numbers)
        return [_allowed(text, number) for text, number in zip(every, self.numbers, strict=True)]


def _leading(text: str) -> float:
    found = re.match(_NUMBER, text)
    assert found, f"no number at the head of {text!r}"
    return float(found[0])


def _allowed(tolerance: str, number: float) -> float:
    size, how = tolerance.split()
    return float(size) * {"rel": abs(number), "abs": 1.0}[how]


def _read() -> tuple[Row, ...]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return tuple(Row(**row) for row in csv.DictReader(file))


ROWS = _read()
