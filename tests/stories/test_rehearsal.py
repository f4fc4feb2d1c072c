"""The small share of the rehearsal: two bikes of another physics, from the complaint to the end.

How many bikes come right is the business of ``python -m benchmarks.rehearsal``, on hundreds of them; two
bikes and few draws tell only that the rehearsal itself is sound.
"""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from benchmarks import rehearsal
from benchmarks.rehearsal.oracle import by_the_oracle
from benchmarks.rehearsal.report import Row, report
from benchmarks.rehearsal.run import evenings
from benchmarks.rehearsal.setting import RIGHT, invent_case

pytestmark = pytest.mark.slow

SEED = 11
BIKES = (0, 2)
"""A four-stroke and a two-stroke, each with one fault."""
DRAWS = 300
ENDS = {"done", "ten changes", "too many acts"}
TRUTH = ("kinds", "oracle", "outcome", "report", "rider", "setting", "shed", "textbook", "world")
"""The modules that make the truth, ride it, and judge; only our mechanic may ask belief and advice."""
MINDS = ("floatbowl.belief", "floatbowl.advice")


@pytest.fixture(scope="module")
def rows() -> list[Row]:
    """Give how the evenings of two bikes ended."""
    return [evenings(number, seed=SEED, has_probe=False, draws=DRAWS) for number in BIKES]


def test_every_evening_ends(rows: list[Row]) -> None:
    """Ours ends by advice or by a limit and never by breaking down; all who worked spent minutes."""
    for row in rows:
        assert row.ours.ended in ENDS
        assert row.ours.acts == len(row.ours.log) > 0
        assert min(end.minutes for end in (row.ours, row.textbook, row.oracle)) > 0.0


@pytest.mark.long
def test_the_same_seed_gives_the_same_evening(rows: list[Row]) -> None:
    """Bike, acts, remarks, readings and end are the same again; with another seed it is another bike."""
    again = evenings(BIKES[0], seed=SEED, has_probe=False, draws=DRAWS)
    assert replace(again, seconds=0.0) == replace(rows[0], seconds=0.0)
    other, _ = invent_case(BIKES[0], SEED + 1)
    mine, _ = invent_case(BIKES[0], SEED)
    assert other.bike.known != mine.bike.known


def test_the_oracle_is_always_right() -> None:
    """Every bike let in can be set right from its drawer, and whoever sees the truth does it."""
    for number in range(8):
        case, _ = invent_case(number, SEED)
        end = by_the_oracle(case)
        assert end.is_right()
        assert end.changes <= 6
        best = case.table.worst.min()
        assert best <= RIGHT


def test_the_report_holds_the_figures(rows: list[Row]) -> None:
    """Shares, medians, limits and dangers of ours, the textbook's and the oracle's are all told."""
    told = _report(rows)
    assert told.startswith(f"rehearsal: {len(BIKES)} bikes, seed {SEED}, no probe, {DRAWS} draws")
    for who in ("ours", "textbook", "oracle"):
        ends = [getattr(row, who) for row in rows]
        (line,) = (one.split() for one in told.splitlines() if one.startswith(who))
        assert line[1] == f"{np.mean([end.is_right() for end in ends]):.1%}"
        assert line[2] == f"{np.mean([end.is_well for end in ends]):.1%}"
        assert line[5] == f"{np.median([end.changes for end in ends]):.0f}"
        assert line[8] == f"{np.median([end.minutes for end in ends]):.0f}"
    share = np.median([row.ours.minutes for row in rows]) / np.median([row.textbook.minutes for row in rows])
    assert f"our median minutes over the textbook's: {share:.2f}" in told
    assert f"dangerous steps: {sum(row.ours.danger for row in rows)}," in told


def test_the_report_hides_no_failure(rows: list[Row]) -> None:
    """One rung off by twice what is right, or one fault left, and the bike is counted and named as failed."""
    sound = replace(rows[0].ours, error=(0.0,) * 6, faults_left=())
    off = replace(sound, error=(0.0, 0.0, 0.0, 0.0, 0.0, -2.0 * RIGHT))
    leaking = replace(sound, faults_left=("air leak",))
    ends = (sound, off, leaking)
    told = _report([replace(rows[0], number=900 + k, ours=end) for k, end in enumerate(ends)])
    (line,) = (one.split() for one in told.splitlines() if one.startswith("ours"))
    assert line[1] == "33.3%"
    assert line[-1] == "33.3%"
    assert "where ours fails: 2 bikes" in told
    failed = [one.split()[0] for one in told.splitlines() if one.strip().startswith("90")]
    assert failed == ["901", "902"]


def _report(rows: list[Row]) -> str:
    return report(rows, seed=SEED, has_probe=False, draws=DRAWS)


def test_the_truth_never_asks_the_belief() -> None:
    """No module that makes, rides or judges the truth imports belief or advice; our mechanic's does."""
    for name in TRUTH:
        assert not [one for one in _imported(name) if one.startswith(MINDS)], name
    assert {"floatbowl.belief.believe", "floatbowl.advice.advise"} <= _imported("evening")


def _imported(name: str) -> set[str]:
    """Name all that a module of the rehearsal imports, wherever in its source."""
    source = (Path(rehearsal.__file__).parent / f"{name}.py").read_text(encoding="utf-8")
    nodes = list(ast.walk(ast.parse(source)))
    plain = {alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names}
    froms = [node for node in nodes if isinstance(node, ast.ImportFrom) and node.module]
    return (
        plain
        | {f"{node.module}" for node in froms}
        | {f"{node.module}.{alias.name}" for node in froms for alias in node.names}
    )
