"""Lambda from what an analyser shows of the exhaust gas: carbon monoxide and dioxide, hydrocarbons, oxygen.

The atoms are counted: every carbon came from the fuel, every oxygen from air or
fuel. So it does not matter how well the fuel burnt, nor whether a catalyst stood
in between; it matters that no other air came in. Analysers dry the gas, and the
balance is that of dry gas: the water is reckoned from the fuel's hydrogen.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from floatbowl.bike.rung import Rung
from floatbowl.figures import Figure
from floatbowl.flow.fuel import Elements, hydrogen_per_carbon, oxygen_per_carbon
from floatbowl.signs.steady_lambda import IDLE_BIAS, PROBE_BIAS

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

    from floatbowl.signs.seen import Seen
    from floatbowl.signs.trial import GasReading

    Array = NDArray[np.float64]

QUESTION = "Warm, analyser zeroed, probe well up the pipe: how much CO, CO2, HC and O2 at a steady opening?"

WATER_GAS = 3.5
"""Constant of CO + H2O = CO2 + H2 as the exhaust freezes, by [brettschneider1979]."""
HC_CARBON = Figure(
    8.0,
    6.0,
    12.0,
    "brettschneider1979 counts 6, as for hexane; singer1998: infra-red misses about half of petrol's",
)
"""Atoms of carbon for each molecule of hydrocarbon that an infra-red analyser shows as hexane."""
PART = Figure(0.0, -0.05, 0.05, "oiml-r99, class I, from memory: 5 per cent of what it shows")
CO_LEAST = Figure(0.0, -0.06, 0.06, "oiml-r99, class I, from memory: per cent by volume")
CO2_LEAST = Figure(0.0, -0.5, 0.5, "oiml-r99, class I, from memory: per cent by volume")
HC_LEAST = Figure(0.0, -12.0, 12.0, "oiml-r99, class I, from memory: ppm by volume, as hexane")
O2_LEAST = Figure(0.0, -0.1, 0.1, "oiml-r99, class I, from memory: per cent by volume")
"""What an analyser may be off: a part of what it shows, or the least, whichever is more."""
SAMPLING = Figure(0.02, 0.01, 0.04, "judgement: a hose, a filter, a moment that is not quite steady")
"""Relative standard deviation that is left with a perfect analyser."""
IDLE_SAMPLING = Figure(0.06, 0.03, 0.10, "judgement: at idle air comes back up a short pipe past the probe")
ASTRAY = Figure(
    0.07, 0.03, 0.15, "judgement: a leak in the exhaust or the hose, analyser cold, probe too short"
)
"""Share of readings that say nothing about the mixture."""
_LOW, _HIGH = np.log(0.5), np.log(2.0)
"""Range over which a stray reading may lie."""
_LEAST_SIZE, _MOST_SIZE = 0.5, 2.0


def balance(  # noqa: PLR0913  (four gases, two atoms and what an analyser misses)
    *,
    co: Array | float,
    co2: Array | float,
    hc: Array | float,
    o2: Array | float,
    hydrogen: float,
    oxygen: float,
    hc_carbon: Array | float = 6.0,
) -> Array:
    """Give lambda from shares of the dry gas by volume; ``hydrogen`` and ``oxygen`` are atoms a carbon.

    ``hc`` is what shows as hexane; ``hc_carbon`` is how many atoms of carbon each of these stands for.
    Holds as long as the gas is this engine's: lean, rich, misfiring, behind a catalyst. What a two-stroke
    sends past its exhaust port unburnt counts, air and fuel, so lambda is that of the carburettor.

    Source: [brettschneider1979], the oxides of nitrogen left out: 2000 ppm of them would add 0.007.

    >>> round(float(balance(co=0.0, co2=0.13, hc=0.0, o2=0.0195, hydrogen=2.0, oxygen=0.0)), 4)
    1.1
    """
    burnt = np.asarray(co2) + co
    water = 0.25 * hydrogen * WATER_GAS / (WATER_GAS + np.asarray(co) / co2)
    there = co2 + 0.5 * np.asarray(co) + o2 + (water - 0.5 * oxygen) * burnt
    asked = (1.0 + 0.25 * hydrogen - 0.5 * oxygen) * (burnt + np.asarray(hc_carbon) * hc)
    return np.asarray(there / asked)


def lambda_and_spread(reading: GasReading, fuel: Elements) -> tuple[float, float]:
    """Give lambda and its relative standard deviation from what the analyser may be off.

    Source: own derivation, each number moved by its own spread, the effects added as squares.
    """
    shown = {
        "co": (0.01 * reading.co_pct, 0.01 * _off(reading.co_pct, CO_LEAST)),
        "co2": (0.01 * reading.co2_pct, 0.01 * _off(reading.co2_pct, CO2_LEAST)),
        "hc": (1e-6 * reading.hc_ppm, 1e-6 * _off(reading.hc_ppm, HC_LEAST)),
        "o2": (0.01 * reading.o2_pct, 0.01 * _off(reading.o2_pct, O2_LEAST)),
        "hc_carbon": (HC_CARBON.value, HC_CARBON.spread),
    }
    middle = {name: value for name, (value, _) in shown.items()}
    lam = _of_fuel(middle, fuel)
    moved = [_of_fuel({**middle, name: value + off}, fuel) for name, (value, off) in shown.items()]
    return lam, float(np.sqrt(sum(np.log(one / lam) ** 2 for one in moved)))


def _of_fuel(gases: Mapping[str, float], fuel: Elements) -> float:
    atoms = {"hydrogen": float(hydrogen_per_carbon(fuel)), "oxygen": float(oxygen_per_carbon(fuel))}
    return float(balance(**gases, **atoms))


def _off(shown: float, least: Figure) -> float:
    """Give the standard deviation of what an analyser shows."""
    return max(PART.spread * shown, least.spread)


def tells(reading: GasReading, fuel: Elements) -> bool:
    """Say whether the gas can be an engine's at all: carbon in it, and a lambda that one runs at."""
    lam, _ = lambda_and_spread(reading, fuel)
    return _LEAST_SIZE <= lam <= _MOST_SIZE


def _middle_and_spread(reading: GasReading, seen: Seen, fuel: Elements) -> tuple[Array, float]:
    _, shown = lambda_and_spread(reading, fuel)
    is_shut = reading.at is Rung.SHUT
    own = (IDLE_SAMPLING if is_shut else SAMPLING).value
    bias = PROBE_BIAS.log_spread * seen.habit("probe bias") + (IDLE_BIAS.value if is_shut else 0.0)
    return np.log(np.clip(seen.held_lam_at(reading.at), 0.3, 4.0)) + bias, float(np.hypot(own, shown))


def log_likelihood(reading: GasReading, seen: Seen, *, fuel: Elements) -> Array:
    """Give the logarithm of the density, in ln lambda, of the balance's lambda for each draw, (draw,).

    One shed, one instrument: its habit of reading a little off is the probe's.
    """
    lam, _ = lambda_and_spread(reading, fuel)
    middle, spread = _middle_and_spread(reading, seen, fuel)
    off = (np.log(lam) - middle) / spread
    bell = np.exp(-0.5 * off**2) / (spread * np.sqrt(2.0 * np.pi))
    return np.asarray(np.log((1.0 - ASTRAY.value) * bell + ASTRAY.value / (_HIGH - _LOW)))


def draw(reading: GasReading, seen: Seen, rng: Generator, *, fuel: Elements) -> Array:
    """Draw the lambda that the balance would come to for each draw, (draw,).

    How sure the analyser is, is taken from the reading.
    """
    middle, spread = _middle_and_spread(reading, seen, fuel)
    told = middle + spread * rng.standard_normal(middle.shape)
    stray = rng.uniform(_LOW, _HIGH, middle.shape)
    return np.asarray(np.exp(np.where(rng.random(middle.shape) < ASTRAY.value, stray, told)))
