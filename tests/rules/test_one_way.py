"""The one-way rule holds, and each of its contracts can fail."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

LINT = Path(sys.executable).with_name("lint-imports")


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Hold the copy of the house in ``folder`` against the contracts."""
    place = {**os.environ, "PYTHONPATH": str(folder / "src"), "COLUMNS": "200"}
    return subprocess.run(
        [LINT, "--no-cache"], cwd=folder, env=place, check=False, capture_output=True, text=True
    )


@pytest.fixture
def copy(root: Path, tmp_path: Path) -> Path:
    """Give a copy of the house that may be spoilt."""
    shutil.copytree(root / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(root / "pyproject.toml", tmp_path)
    return tmp_path


def test_imports_look_one_way(copy: Path) -> None:
    """The house as it stands keeps every contract."""
    seen = lint(copy)
    assert seen.returncode == 0, seen.stdout


@pytest.mark.parametrize(
    ("contract", "file", "offence"),
    [
        ("Each room knows only the rooms below it", "bike/bike.py", "import floatbowl.belief.belief"),
        ("Each room knows only the rooms below it", "attic.py", "import floatbowl.units"),
        ("The thinking rooms touch no disk", "bike/day.py", "import pathlib"),
        ("The thinking rooms touch no disk", "belief/belief.py", "import time"),
        ("The record keeps facts, not opinions", "record/opinion.py", "import floatbowl.belief.belief"),
        ("The doors know the jobs", "web/shortcut.py", "import floatbowl.flow.air"),
        ("The doors know the jobs", "cli/shortcut.py", "import floatbowl.record"),
        ("Only the sums know the compiler", "words/hasty.py", "import numba"),
        ("No two files of a room lean on each other", "bike/engine.py", "import floatbowl.bike.bike"),
    ],
)
def test_an_offence_is_caught(copy: Path, contract: str, file: str, offence: str) -> None:
    """Each contract breaks, and is named, when one import goes against it."""
    with (copy / "src" / "floatbowl" / file).open("a", encoding="utf-8") as spoilt:
        spoilt.write(f"\n{offence}\n")
    seen = lint(copy)
    assert seen.returncode != 0
    broken = [line for line in seen.stdout.splitlines() if " BROKEN" in line]
    assert any(line.startswith(contract) for line in broken), seen.stdout
