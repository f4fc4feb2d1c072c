"""What a number is measured in, and the way in and out of SI.

Inside the program every number is in SI units and its unit stands in the
signature: ``depth: Metre``. The type checker sees a plain number; the tests and
the documents read the ``Unit``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Real = float | NDArray[np.float64]
else:
    Real = float


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as powers of the base units, so that a test can resize it."""

    symbol: str
    metre: float = 0.0
    kilogram: float = 0.0
    second: float = 0.0
    kelvin: float = 0.0
    mole: float = 0.0


Ratio = Annotated[Real, Unit("1")]
Radian = Annotated[Real, Unit("rad")]
Metre = Annotated[Real, Unit("m", metre=1)]
SquareMetre = Annotated[Real, Unit("m2", metre=2)]
CubicMetre = Annotated[Real, Unit("m3", metre=3)]
PerMetre = Annotated[Real, Unit("1/m", metre=-1)]
PerKilogramMetre = Annotated[Real, Unit("1/(kg m)", kilogram=-1, metre=-1)]
Second = Annotated[Real, Unit("s", second=1)]
PerSecond = Annotated[Real, Unit("1/s", second=-1)]
MetrePerSecond = Annotated[Real, Unit("m/s", metre=1, second=-1)]
Kilogram = Annotated[Real, Unit("kg", kilogram=1)]
KgPerSecond = Annotated[Real, Unit("kg/s", kilogram=1, second=-1)]
KgPerCubicMetre = Annotated[Real, Unit("kg/m3", kilogram=1, metre=-3)]
CubicMetrePerSecond = Annotated[Real, Unit("m3/s", metre=3, second=-1)]
CubicMetrePerKg = Annotated[Real, Unit("m3/kg", kilogram=-1, metre=3)]
Pascal = Annotated[Real, Unit("Pa", kilogram=1, metre=-1, second=-2)]
PascalSecond = Annotated[Real, Unit("Pa s", kilogram=1, metre=-1, second=-1)]
NewtonPerMetre = Annotated[Real, Unit("N/m", kilogram=1, second=-2)]
Kelvin = Annotated[Real, Unit("K", kelvin=1)]
PerKelvin = Annotated[Real, Unit("1/K", kelvin=-1)]
JoulePerKg = Annotated[Real, Unit("J/kg", metre=2, second=-2)]
JoulePerKgKelvin = Annotated[Real, Unit("J/(kg K)", metre=2, second=-2, kelvin=-1)]

MILLIMETRE = 1e-3
SQUARE_MILLIMETRE = 1e-6
CUBIC_CENTIMETRE = 1e-6
LITRE = 1e-3
HECTOPASCAL = 100.0
KILOPASCAL = 1000.0
BAR = 1e5
MILLIPASCAL_SECOND = 1e-3
GRAM = 1e-3
MEGAJOULE = 1e6
MINUTE = 60.0
FOOT = 0.3048
FREEZING = 273.15
"""Zero on the Celsius scale, in kelvin."""
GRAVITY = 9.80665
"""Standard acceleration of free fall, m/s2 (the agreed value, exact)."""
