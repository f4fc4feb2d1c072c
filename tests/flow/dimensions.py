"""A machine that resizes the metre, the kilogram, the second, the kelvin and the mole under a formula.

It reads the units in a function's signature, draws arguments, resizes every
argument and every constant that has a dimension, and looks whether the answer
resizes with its own unit. A density on the wrong side of a root does not pass.
"""
# ruff: noqa: ANN401  (it takes whatever a formula takes: numbers, and dataclasses of them)

import inspect
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from types import ModuleType
from typing import Any, get_args, get_type_hints

import numpy as np
from hypothesis import strategies as st

from floatbowl.figures import Figure
from floatbowl.flow import (
    air,
    bowl,
    choke,
    elementary,
    fuel,
    holes,
    main_jet,
    needle,
    pilot,
    power,
    slide,
    stamps,
)
from floatbowl.units import Unit

MODULES = (air, bowl, choke, elementary, fuel, holes, main_jet, needle, pilot, power, slide, stamps)

_PASCAL = Unit("Pa", kilogram=1, metre=-1, second=-2)
_PER_PASCAL = Unit("1/Pa", kilogram=-1, metre=1, second=2)
_KELVIN_PER_PASCAL = Unit("K/Pa", kelvin=1, kilogram=-1, metre=1, second=2)
_KELVIN = Unit("K", kelvin=1)
_PER_KELVIN_2 = Unit("1/K2", kelvin=-2)
_METRE = Unit("m", metre=1)
_SQUARE = Unit("K2/Pa2", kelvin=2, kilogram=-2, metre=2, second=4)
_MOLAR_MASS = Unit("kg/mol", kilogram=1, mole=-1)
_DENSITY = Unit("kg/m3", kilogram=1, metre=-3)
_VISCOSITY = Unit("Pa s", kilogram=1, metre=-1, second=-1)

CONSTANTS = {
    "CIPM_A": _PER_KELVIN_2,
    "CIPM_B": Unit("1/K", kelvin=-1),
    "CIPM_D": _KELVIN,
    "CIPM_PRESSURE": _PASCAL,
    "CIPM_BETA": _PER_PASCAL,
    "CIPM_GAMMA": _PER_KELVIN_2,
    "CIPM_A0": _KELVIN_PER_PASCAL,
    "CIPM_A1": _PER_PASCAL,
    "CIPM_A2": Unit("1/(K Pa)", kelvin=-1, kilogram=-1, metre=1, second=2),
    "CIPM_B0": _KELVIN_PER_PASCAL,
    "CIPM_B1": _PER_PASCAL,
    "CIPM_C0": _KELVIN_PER_PASCAL,
    "CIPM_C1": _PER_PASCAL,
    "CIPM_D1": _SQUARE,
    "CIPM_E": _SQUARE,
    "CIPM_DRY_MASS": _MOLAR_MASS,
    "CIPM_VAPOUR_MASS": _MOLAR_MASS,
    "CIPM_R": Unit("J/(mol K)", kilogram=1, metre=2, second=-2, kelvin=-1, mole=-1),
    "ISA_TEMPERATURE": _KELVIN,
    "ISA_PRESSURE": _PASCAL,
    "ISA_DENSITY": _DENSITY,
    "ISA_LAPSE": Unit("K/m", kelvin=1, metre=-1),
    "ISA_GAS_CONSTANT": Unit("J/(kg K)", metre=2, second=-2, kelvin=-1),
    "EARTH_RADIUS": _METRE,
    "SUTHERLAND_FACTOR": Unit("kg/(m s K0.5)", kilogram=1, metre=-1, second=-1, kelvin=-0.5),
    "SUTHERLAND_TEMPERATURE": _KELVIN,
    "FREEZING": _KELVIN,
    "GRAVITY": Unit("m/s2", metre=1, second=-2),
    "DENSITY_AT": _KELVIN,
    "VISCOSITY_AT": _KELVIN,
    "VAPOUR_TEMPERATURES": _KELVIN,
    "SAE_PRESSURE": _PASCAL,
    "SAE_TEMPERATURE": _KELVIN,
    "DIN_PRESSURE": _PASCAL,
    "DIN_TEMPERATURE": _KELVIN,
    "MILLIMETRE": _METRE,
    "CUBIC_CENTIMETRE": Unit("m3", metre=3),
    "MINUTE": Unit("s", second=1),
    "TEST_HEAD": _METRE,
}
"""Constants with a dimension, by name, in whichever module they are seen."""

LIQUID_UNITS = {
    "density": _DENSITY,
    "expansion": Unit("1/K", kelvin=-1),
    "viscosity": _VISCOSITY,
    "thinning": _KELVIN,
    "heating_value": Unit("J/kg", metre=2, second=-2),
    "surface_tension": Unit("N/m", kilogram=1, second=-2),
}
LIQUIDS = ("PETROL", "ETHANOL", "OIL")

HELD = tuple(
    (module, name, value)
    for module in MODULES
    for name, value in vars(module).items()
    if name in CONSTANTS or name in LIQUIDS
)
"""Where each constant with a dimension is held, and its value in SI."""

BY_UNIT = {
    "1": (0.2, 0.9),
    "m": (1e-3, 1e-2),
    "m2": (1e-7, 1e-5),
    "m3/s": (1e-6, 5e-6),
    "m/s": (5.0, 100.0),
    "kg/s": (1e-4, 1e-2),
    "kg/m3": (700.0, 800.0),
    "Pa": (6e4, 1.1e5),
    "Pa s": (3e-4, 3e-3),
    "J/(kg K)": (280.0, 300.0),
    "J/kg": (2e7, 5e7),
    "K": (258.0, 315.0),
    "1/K": (5e-4, 2e-3),
    "N/m": (0.018, 0.030),
}
"""Where arguments are drawn from, unless their name says better."""

BY_NAME = {
    "air_density": (0.75, 1.15),
    "drop": (50.0, 5000.0),
    "depression": (500.0, 5000.0),
    "loss": (50.0, 2000.0),
    "pull": (20.0, 200.0),
    "height": (100.0, 4000.0),
    "thinning": (900.0, 2000.0),
    "length_over_bore": (0.5, 12.0),
    "reynolds": (20.0, 3e4),
    "gamma": (1.2, 1.6),
    "lam": (0.7, 1.2),
    "air_to_fuel": (4.0, 14.0),
    "oil_ratio": (20.0, 60.0),
    "number": (30.0, 200.0),
    "turns": (0.5, 3.0),
    "lip": (1e-3, 5e-3),
}


@dataclass(frozen=True)
class Sizes:
    """How many times larger each base unit's number becomes."""

    metre: float
    kilogram: float
    second: float
    kelvin: float
    mole: float

    def of(self, unit: Unit) -> float:
        """Give how many times larger the number of this unit becomes."""
        return float(
            np.prod([getattr(self, field.name) ** getattr(unit, field.name) for field in fields(self)])
        )


def _size() -> st.SearchStrategy[float]:
    return st.floats(-1.0, 1.0).map(lambda power_of_ten: 10.0**power_of_ten)


SIZES = st.builds(Sizes, metre=_size(), kilogram=_size(), second=_size(), kelvin=_size(), mole=_size())


def public_functions(module: ModuleType) -> Iterator[Callable[..., Any]]:
    """Give the public functions that the module itself defines."""
    for name, thing in vars(module).items():
        if inspect.isfunction(thing) and thing.__module__ == module.__name__ and not name.startswith("_"):
            yield thing


@cache
def hints_of(thing: Any) -> dict[str, Any]:
    """Give a function's or a dataclass's annotations with their units, the answer's under ``return``."""
    names = {**vars(fuel), **vars(inspect.getmodule(thing) or fuel)}
    return get_type_hints(thing, globalns=names, include_extras=True)


def unit_of(hint: Any) -> Unit | None:
    """Give the unit in an annotation, or None where it has none."""
    return next((arg for arg in get_args(hint) if isinstance(arg, Unit)), None)


def draw_argument(name: str, hint: Any) -> st.SearchStrategy[Any]:
    """Give values for an argument by its name and unit; a dataclass field by field."""
    if is_dataclass(hint) and isinstance(hint, type):
        return st.builds(hint, **{part: draw_argument(part, inner) for part, inner in hints_of(hint).items()})
    unit = unit_of(hint)
    assert unit, f"{name} has no unit"
    return st.floats(*BY_NAME.get(name, BY_UNIT[unit.symbol]))


def resized(value: Any, hint: Any, sizes: Sizes) -> Any:
    """Give the same quantity as a number of the resized units."""
    if is_dataclass(hint) and isinstance(hint, type):
        parts = hints_of(hint)
        return replace(value, **{name: resized(getattr(value, name), parts[name], sizes) for name in parts})
    unit = unit_of(hint)
    assert unit
    return value * sizes.of(unit)


def _resized_constant(value: Any, size: float) -> Any:
    if isinstance(value, Figure):
        return Figure(value.value * size, value.low * size, value.high * size, value.source)
    if isinstance(value, tuple):
        return tuple(item * size for item in value)
    return value * size


def _resized_liquid(liquid: fuel.Liquid, sizes: Sizes) -> fuel.Liquid:
    return replace(
        liquid,
        **{
            name: _resized_constant(getattr(liquid, name), sizes.of(unit))
            for name, unit in LIQUID_UNITS.items()
        },
    )


@contextmanager
def resized_constants(sizes: Sizes) -> Iterator[None]:
    """Resize every constant that has a dimension, in every module, and put it back afterwards."""
    try:
        for module, name, value in HELD:
            setattr(module, name, _now(name, value, sizes))
        yield
    finally:
        for module, name, value in HELD:
            setattr(module, name, value)


def _now(name: str, value: Any, sizes: Sizes) -> Any:
    if name in LIQUIDS:
        return _resized_liquid(value, sizes)
    return _resized_constant(value, sizes.of(CONSTANTS[name]))


def arguments_of(function: Callable[..., Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Give arguments for every parameter of a function, those with a default too."""
    hints = hints_of(function)
    return st.fixed_dictionaries(
        {name: draw_argument(name, hints[name]) for name in hints if name != "return"}
    )


def resizes(function: Callable[..., Any], arguments: dict[str, Any], sizes: Sizes) -> bool:
    """Say whether the function's answer resizes with its unit."""
    hints = hints_of(function)
    expected = resized(function(**arguments), hints["return"], sizes)
    with resized_constants(sizes):
        others = {name: resized(value, hints[name], sizes) for name, value in arguments.items()}
        found = function(**others)
    return _same(expected, found)


def _same(expected: Any, found: Any) -> bool:
    if is_dataclass(expected) and not isinstance(expected, type):
        return all(_same(getattr(expected, f.name), getattr(found, f.name)) for f in fields(expected))
    return bool(np.isclose(found, expected, rtol=1e-7, atol=0.0, equal_nan=True))
