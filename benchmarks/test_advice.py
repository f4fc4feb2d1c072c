"""How long a person waits for advice: one more remark in a running program, and the command line from cold.

``python3 go.py test benchmarks/test_advice.py --benchmark-enable -s``. Bars: 1 s and 2.5 s on two cores.
"""

import subprocess
import sys
import time
from pathlib import Path

import pytest

from floatbowl.bike.rung import Rung
from floatbowl.jobs import open_demo

BIKES = ("Magpie", "Thistle", "Otter")


def _seconds(since: float) -> float:
    return time.perf_counter() - since


@pytest.mark.parametrize("name", BIKES)
def test_one_more_remark(name: str) -> None:
    """Advice after one more remark, in a program that advised on the bike before, takes under a second."""
    with open_demo() as garage:
        garage.advise_next(name)
        garage.record_remark(name, "bogs", at=Rung.QUARTER)
        began = time.perf_counter()
        garage.advise_next(name)
        took = _seconds(began)
    print(f"\n  {name}: {took:.2f} s")
    assert took < 1.0


@pytest.mark.parametrize("name", BIKES)
def test_a_cold_command(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The command that tells what to do next, started anew, takes under two and a half seconds."""
    kept = tmp_path / "demo.garage"
    with open_demo(kept):
        pass
    monkeypatch.setenv("FLOATBOWL_GARAGE", str(kept))
    began = time.perf_counter()
    command = [sys.executable, "-m", "floatbowl", "next", name]
    subprocess.run(command, check=True, capture_output=True)  # noqa: S603  (our own command)
    took = _seconds(began)
    print(f"\n  {name}: {took:.2f} s")
    assert took < 2.5
