"""The fuel level in the bowl and the pressure over it."""

from __future__ import annotations

import numpy as np

from floatbowl.units import KgPerSecond, Metre, Pascal, Ratio


def level_drop(float_height: Metre, book_float_height: Metre) -> Metre:
    """Give how far the fuel stands below its book level.

    A smaller float height is a higher fuel level: the float shuts the valve
    later. The lever is taken as one to one.

    Source: common practice for the sense, own derivation for the form.

    >>> round(float(level_drop(0.017, 0.018)), 3)
    -0.001
    """
    return np.asarray(float_height) - book_float_height


def bowl_surplus(filter_drop: Pascal, offset: Pascal, vent_in_airbox: Ratio) -> Pascal:
    """Give the pressure over the fuel above that at the mouth of the carburettor.

    ``vent_in_airbox`` is 1 for a bowl that breathes behind the filter and 0
    for one that breathes outside. ``offset`` is the bowl's own shortfall, below
    zero with a blocked vent.

    Source: [mathur-sharma] ch. 11, effect of an air cleaner.

    >>> float(bowl_surplus(500.0, 0.0, 1.0))
    0.0
    """
    return np.asarray(filter_drop) * (1.0 - np.asarray(vent_in_airbox)) + offset


def starved(fuel: KgPerSecond, supply: KgPerSecond) -> Ratio:
    """Give how much less fuel is drawn once the bowl has run down, as a logarithm: 0, or below.

    ``fuel`` is what the engine draws at the book level, ``supply`` the most that
    flows in. The level sinks until no more is drawn than comes.

    Source: own derivation, what flows out of a bowl that stands still flowed in.

    >>> float(round(starved(2.0e-3, 1.0e-3), 4))
    -0.6931
    """
    return np.log(np.minimum(1.0, np.asarray(supply) / np.maximum(fuel, 1e-12)))
