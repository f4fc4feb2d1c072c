"""Data of two engines on a test bed, which is passed on under its own licence and not with floatbowl.

``FLOATBOWL_BED_DATA`` names the folder that holds it, all columns standardised (CC BY-SA 4.0, see
[engine-datasets]): ``si_engine_transient/log_a.csv`` and ``si_engine_steady/engine_a.csv``.
"""

import os
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from floatbowl.record.log_columns import column
from floatbowl.record.log_file import pieces
from floatbowl.record.log_text import open_log
from floatbowl.signs.lambda_log import delay
from floatbowl.signs.lambda_log.delay import Stretch
from floatbowl.signs.lambda_log.sort import _span

Array = NDArray[np.float64]

pytestmark = pytest.mark.reference


@pytest.fixture
def bed() -> Path:
    """Give the folder of the data, or skip."""
    folder = os.environ.get("FLOATBOWL_BED_DATA", "")
    if not folder or not Path(folder).is_dir():
        pytest.skip("The data of the test bed is not here: set FLOATBOWL_BED_DATA to its folder.")
    return Path(folder)


def table(path: Path) -> dict[str, Array]:
    """Read a table by our own reader: every column under its name."""
    text = open_log(path)
    columns = {}
    for place, name in enumerate(text.names, 1):
        one = column(text, "lambda", place)
        read = [piece.lam for piece in pieces(text, {"lambda": one}, air_per_fuel=1.0, rows_apart=0.1)]
        columns[name] = np.concatenate([np.asarray(lam) for lam in read])
    return columns


def test_the_analysers_delay_is_found(bed: Path) -> None:
    """Carbon monoxide falls 0.9 s after lambda rises: the correlation of changes finds it, to a row of 0.1 s.

    The gas analyser is slow: its dead time by the first-order model lies within 0.4 to 1.1 s.
    """
    log = table(bed / "si_engine_transient" / "log_a.csv")
    stretch = Stretch(log["t_s"], log["co_z"], log["lambda_z"][:, None])
    late, how = delay.by_correlation([stretch])
    assert late == pytest.approx(0.9, abs=0.11)
    assert how < -0.25
    found = delay.estimate([stretch])
    assert found.is_found
    assert 0.4 < found.dead < 1.1


def test_steady_windows_are_found(bed: Path) -> None:
    """Of 400 s, 50 to 120 windows of 5 s hold speed within 0.1 and load within 0.3 standard deviations.

    The data's own description counts about 79 without overlap, by a simple scan.
    """
    log = table(bed / "si_engine_transient" / "log_a.csv")
    still = (_span(log["speed_z"], 49) <= 0.2) & (_span(log["load_z"], 49) <= 0.6)
    found, next_free = 0, 49
    for row in np.flatnonzero(still).tolist():
        if row >= next_free:
            found += 1
            next_free = row + 50
    assert 50 <= found <= 120


def _slope(data: dict[str, Array], name: str) -> tuple[float, float]:
    """Give how a column moves with the air to fuel ratio, at fixed speed, load and valves, and how surely."""
    held = [data[key] for key in ("speed_z", "load_z", "intake_valve_opening_z")]
    square = [a * b for k, a in enumerate(held) for b in held[k:]]
    x = np.stack([data["air_fuel_ratio_z"], np.ones(len(held[0])), *held, *square], axis=1)
    slope, rest, _, _ = np.linalg.lstsq(x, data[name], rcond=None)
    cover = np.linalg.inv(x.T @ x) * float(rest[0]) / (len(x) - x.shape[1])
    return float(slope[0]), float(np.sqrt(cover[0, 0]))


@pytest.mark.parametrize(
    ("name", "sign"),
    [("specific_fuel_consumption_z", -1), ("roughness_std_z", 1), ("hc_z", -1), ("nox_z", 1)],
)
def test_leaner_is_thriftier_rougher_and_cleaner(bed: Path, name: str, sign: int) -> None:
    """Within a normal range leaner burns less fuel and runs rougher, with less HC and more nitric oxide.

    Each slope stands clear of nothing by three of its standard errors.
    """
    slope, spread = _slope(table(bed / "si_engine_steady" / "engine_a.csv"), name)
    assert sign * slope > 3.0 * spread


def test_exhaust_warmth_is_a_poor_witness(bed: Path) -> None:
    """Exhaust temperature hardly moves with the mixture there: that is why no sign is made of it."""
    data = table(bed / "si_engine_steady" / "engine_a.csv")
    assert abs(_slope(data, "exhaust_manifold_temperature_z")[0]) < 0.03


def test_consumption_bends_as_an_engines_does(bed: Path) -> None:
    """Consumption against the mixture is bent upwards: the gain of going leaner shrinks."""
    data = table(bed / "si_engine_steady" / "engine_a.csv")
    lean = data["air_fuel_ratio_z"]
    held = [data[key] for key in ("speed_z", "load_z", "intake_valve_opening_z")]
    square = [a * b for k, a in enumerate(held) for b in held[k:]]
    x = np.stack([lean**2, lean, np.ones(len(lean)), *held, *square], axis=1)
    slope = np.linalg.lstsq(x, data["specific_fuel_consumption_z"], rcond=None)[0]
    assert slope[0] > 0.0
