"""No formula adds apples to pears: answers resize with their units."""
# ruff: noqa: ANN401  (a formula is any function of numbers with units)

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floatbowl.units import KgPerCubicMetre, KgPerSecond, Metre, MetrePerSecond, Pascal, Ratio, SquareMetre
from tests.flow.dimensions import (
    CONSTANTS,
    LIQUIDS,
    MODULES,
    SIZES,
    Sizes,
    arguments_of,
    public_functions,
    resizes,
)

NO_UNITS = {
    "needle.needle_diameter": "takes tables of stations, whose numbers carry no unit in the signature",
    "stamps.jet_number": "reads text",
    "stamps.unreadable": "reads text",
    "stamps.cutaway_height": "reads text",
    "stamps.needle_jet_bore": "reads text",
    "stamps.flow_family_spread": "takes nothing",
}
"""Function -> why it cannot be resized."""

FORMULAS = {
    f"{module.__name__.rsplit('.', 1)[-1]}.{function.__name__}": function
    for module in MODULES
    for function in public_functions(module)
}
RESIZED = sorted(FORMULAS.keys() - NO_UNITS.keys())


@pytest.mark.property
@pytest.mark.parametrize("name", RESIZED)
@settings(max_examples=25)
@given(data=st.data(), sizes=SIZES)
def test_the_answer_resizes_with_its_unit(name: str, data: st.DataObject, sizes: Sizes) -> None:
    """With other sizes of metre, kilogram, second, kelvin and mole the formula gives the same quantity."""
    arguments = data.draw(arguments_of(FORMULAS[name]))
    assert resizes(FORMULAS[name], arguments, sizes)


def test_what_is_left_out_exists() -> None:
    """Each function left out of the resizing, and each constant resized, is really there."""
    assert NO_UNITS.keys() <= FORMULAS.keys()
    names = {name for module in MODULES for name in vars(module)}
    assert set(CONSTANTS) | set(LIQUIDS) <= names


def _wrong_root(area: SquareMetre, drop: Pascal, density: KgPerCubicMetre, discharge: Ratio) -> KgPerSecond:
    return discharge * area * np.sqrt(2.0 * drop / density)


def _forgot_gravity(
    lip: Metre, air_density: KgPerCubicMetre, fuel_density: KgPerCubicMetre
) -> MetrePerSecond:
    return np.sqrt(2.0 * lip * fuel_density / air_density)


def _naked_number(pressure: Pascal) -> Pascal:
    return pressure + 100.0


def _right(area: SquareMetre, drop: Pascal, density: KgPerCubicMetre, discharge: Ratio) -> KgPerSecond:
    return discharge * area * np.sqrt(2.0 * drop * density)


def _passes(formula: Any) -> bool:
    @settings(max_examples=5)
    @given(arguments=arguments_of(formula))
    def try_it(arguments: dict[str, Any]) -> None:
        assert resizes(formula, arguments, Sizes(metre=2.0, kilogram=3.0, second=5.0, kelvin=7.0, mole=11.0))

    try:
        try_it()
    except AssertionError:
        return False
    return True


@pytest.mark.parametrize("formula", [_wrong_root, _forgot_gravity, _naked_number])
def test_a_wrong_formula_is_caught(formula: Any) -> None:
    """Control: a density on the wrong side of the root, a missing g and a number without unit do not pass."""
    assert not _passes(formula)


def test_the_right_formula_passes() -> None:
    """Control: the same formula, put right, passes."""
    assert _passes(_right)
