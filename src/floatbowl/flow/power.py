"""What the mixture does to the pull of the engine, and what the air does to its power.

The power factors compare timed runs on different days. They never enter the mixture.
"""

from __future__ import annotations

import numpy as np

from floatbowl.figures import Figure
from floatbowl.units import FREEZING, HECTOPASCAL, KILOPASCAL, Kelvin, Pascal, Ratio

SAE_PRESSURE, SAE_TEMPERATURE = 99.0 * KILOPASCAL, FREEZING + 25.0
"""The dry air for which [saej1349] and [iso1585] state power."""
DIN_PRESSURE, DIN_TEMPERATURE = 1013.0 * HECTOPASCAL, FREEZING + 20.0
"""The air for which [din70020] states power."""

TORQUE_SQUARE, TORQUE_LINE, TORQUE_REST = -1.1536, 2.6954, -0.5695
"""The fitted parabola of [stone], in fuel over fuel for complete burning."""

LAMBDA_OF_MOST_TORQUE = -2.0 * TORQUE_SQUARE / TORQUE_LINE
"""0.856: where the parabola stands highest."""

LEAN_LIMIT = Figure(1.28, 1.20, 1.35, "from memory: warm, well stirred, with 5 per cent of old gas")
RICH_LIMIT = Figure(0.58, 0.52, 0.64, "from memory: warm, well stirred, with 5 per cent of old gas")
LEAN_NARROWING = Figure(0.9, 0.4, 1.4, "judgement: reaches 1.05 to 1.15 at an idle with 20 to 40 per cent")
RICH_NARROWING = Figure(0.35, 0.1, 0.6, "judgement: reaches 0.63 to 0.70 at an idle with 20 to 40 per cent")
LEAN_SOFTNESS = Figure(0.04, 0.02, 0.06, "judgement: misfire comes on over about a tenth of lambda")
RICH_SOFTNESS = Figure(0.03, 0.02, 0.05, "judgement: as on the lean side, a little sharper")
LITTLE_OLD_GAS = 0.05
"""Share of burnt gas left in the cylinder for which the limits are stated."""


def sae_j1349(dry_pressure: Pascal, *, temperature: Kelvin) -> Ratio:
    """Give the factor that turns power measured in this air into power at 99 kPa dry and 25 C.

    The form of June 1990, which grants the engine's own friction a fixed share.

    Source: [saej1349] as quoted by two web pages.

    >>> float(sae_j1349(99000.0, temperature=298.15))
    1.0
    """
    return 1.18 * (SAE_PRESSURE / dry_pressure) * np.sqrt(temperature / SAE_TEMPERATURE) - 0.18


def din_70020(pressure: Pascal, *, temperature: Kelvin) -> Ratio:
    """Give the factor that turns power measured in this air into power at 101.3 kPa and 20 C.

    Source: [din70020] as quoted by a web page.

    >>> float(din_70020(101300.0, temperature=293.15))
    1.0
    """
    return DIN_PRESSURE / pressure * np.sqrt(temperature / DIN_TEMPERATURE)


def iso_1585(dry_pressure: Pascal, *, temperature: Kelvin) -> Ratio:
    """Give the factor that turns power measured in this air into power at 99 kPa dry and 25 C.

    For spark ignition without a blower.

    Source: [iso1585], from memory.

    >>> float(iso_1585(99000.0, temperature=298.15))
    1.0
    """
    return (SAE_PRESSURE / dry_pressure) ** 1.2 * (temperature / SAE_TEMPERATURE) ** 0.6


def torque_factor(lam: Ratio) -> Ratio:
    """Give the pull of the engine at this lambda, as a share of nearly the most, at the same air.

    To be trusted from 0.70 to 1.25. From 0.79 to 0.93 it lies within one per
    cent of its top: a timed run cannot place lambda inside that band.

    Source: [stone].

    >>> float(round(torque_factor(1.0), 4))
    0.9723
    """
    rich = 1.0 / lam
    return TORQUE_SQUARE * rich**2 + TORQUE_LINE * rich + TORQUE_REST


def share_that_fires(lam: Ratio, *, old_gas: Ratio) -> Ratio:
    """Give the share of strokes that catch fire at this lambda, 0 to 1.

    ``old_gas`` is the share of burnt gas left in the cylinder: about 0.05 wide
    open, 0.2 to 0.4 at idle, where it narrows the window from both sides.

    Source: judgement on the form; the limits and their spreads stand beside it as figures.

    >>> float(round(share_that_fires(1.28, old_gas=0.05), 3))
    0.5
    """
    more = old_gas - LITTLE_OLD_GAS
    lean = LEAN_LIMIT.value - LEAN_NARROWING.value * more
    rich = RICH_LIMIT.value + RICH_NARROWING.value * more
    return _rises((lean - lam) / LEAN_SOFTNESS.value) * _rises((lam - rich) / RICH_SOFTNESS.value)


def _rises(x: Ratio) -> Ratio:
    return 0.5 * (1.0 + np.tanh(0.5 * x))
