"""What our own code gives for each row of the table, by the head of the row's id."""

import math
from collections.abc import Callable
from typing import TypeVar

from floatbowl.flow import air, elementary, fuel, holes, idle, needle, power, slide
from floatbowl.units import (
    BAR,
    FREEZING,
    GRAVITY,
    HECTOPASCAL,
    MEGAJOULE,
    MILLIMETRE,
    MILLIPASCAL_SECOND,
    MINUTE,
    SQUARE_MILLIMETRE,
    Real,
)
from tests.reference.check_values.rows import ROWS, Row

Answer = Callable[[Row], tuple[Real, ...]]
Giver = TypeVar("Giver", bound=Answer)

ANSWERS: dict[str, Answer] = {}
"""Head of the id -> our numbers for such a row."""

SIXTY_FAHRENHEIT = (60.0 - 32.0) / 1.8 + FREEZING
WATER_AT_SIXTY = 999.016
"""Density of water at 60 F, kg/m3: what specific gravity is counted in."""
HOUR = 3600.0
MERCURY = BAR / 750.0
"""One millimetre of mercury as the textbooks take it: 750 to the bar."""
BOOK_AIR_CONSTANT = 287.0
BOOK_RATIO = 1.2, 750.0
"""Densities of air and petrol that the worked examples share."""


def gives(*heads: str) -> Callable[[Giver], Giver]:
    """Enter a function under the heads of the ids that it answers."""

    def enter(function: Giver) -> Giver:
        for head in heads:
            assert head not in ANSWERS, f"{head} is answered twice"
            ANSWERS[head] = function
        return function

    return enter


def answer_for(row: Row) -> Answer | None:
    """Give the function whose head fits the row's id best, or None."""
    fitting = [head for head in ANSWERS if row.id.startswith(head)]
    return ANSWERS[max(fitting, key=len)] if fitting else None


def _tail(row: Row, head: str) -> float:
    return float(row.id.removeprefix(head))


def _kelvin(row: Row) -> float:
    return row.given("T") + FREEZING


def _value_of(name: str) -> float:
    """Give the value of another row, by its id."""
    return next(float(row.value) for row in ROWS if row.id == name)


# --- air ---------------------------------------------------------------------------------------------------


@gives("AIR-M")
def _moist(row: Row) -> tuple[Real, ...]:
    return (air.density(row.given("p"), temperature=_kelvin(row), humidity=row.given("RH")),)


@gives("AIR-D")
def _dry(row: Row) -> tuple[Real, ...]:
    return (air.dry_density(row.given("p"), temperature=_kelvin(row), humidity=row.given("RH")),)


@gives("CIPM-")
def _constant(row: Row) -> tuple[Real, ...]:
    other = {"Ma": "DRY_MASS", "Mv": "VAPOUR_MASS", "d": "D1"}
    name = row.id.removeprefix("CIPM-")
    return (getattr(air, "CIPM_" + other.get(name, name.upper())),)


@gives("CIPM-X1")
def _simplified(row: Row) -> tuple[Real, ...]:
    pressure = row.given("p") * HECTOPASCAL
    return (air.density(pressure, temperature=row.given("t") + FREEZING, humidity=row.given("h") / 100.0),)


@gives("PSV-")
def _saturation(row: Row) -> tuple[Real, ...]:
    return (air.saturation_pressure(_kelvin(row)),)


@gives("ISA-P")
def _isa_pressure(row: Row) -> tuple[Real, ...]:
    return (air.isa_pressure(row.given("H")),)


@gives("ISA-G")
def _isa_pressure_at_geometric(row: Row) -> tuple[Real, ...]:
    return (air.isa_pressure(air.geopotential_height(row.given("h"))),)


@gives("ISA-R")
def _isa_density_at_geometric(row: Row) -> tuple[Real, ...]:
    return (air.isa_density(air.geopotential_height(row.given("h"))),)


@gives("QNH-")
def _at_the_door(row: Row) -> tuple[Real, ...]:
    return (air.station_pressure(row.given("QNH"), height=row.given("elevation")),)


@gives("SIG-")
def _thin_air(row: Row) -> tuple[Real, ...]:
    ratio = air.isa_density(row.given("H")) / air.ISA_DENSITY
    return ratio, elementary.lambda_factor(ratio), elementary.jet_size_factor(ratio)


# --- power -------------------------------------------------------------------------------------------------


def _dry_pressure(row: Row) -> float:
    return float(air.dry_pressure(row.given("p"), temperature=_kelvin(row), humidity=row.given("RH")))


@gives("J1349-1")
def _j1349_at_home(row: Row) -> tuple[Real, ...]:
    return (power.sae_j1349(row.given("pd") * HECTOPASCAL, temperature=_kelvin(row)),)


@gives("J1349-101325", "J1349-80000", "J1349-99000")
def _j1349(row: Row) -> tuple[Real, ...]:
    return (power.sae_j1349(_dry_pressure(row), temperature=_kelvin(row)),)


@gives("ISO1585-")
def _iso1585(row: Row) -> tuple[Real, ...]:
    return (power.iso_1585(_dry_pressure(row), temperature=_kelvin(row)),)


@gives("DIN70020-")
def _din70020(row: Row) -> tuple[Real, ...]:
    return (power.din_70020(row.given("p"), temperature=_kelvin(row)),)


@gives("PWR-ALT")
def _power_lost(_: Row) -> tuple[Real, ...]:
    low, high = (
        power.sae_j1349(air.isa_pressure(height), temperature=air.isa_temperature(height))
        for height in (0.0, 300.0)
    )
    return (100.0 * (1.0 - low / high),)


@gives("TRQ-")
def _torque(row: Row) -> tuple[Real, ...]:
    return (power.torque_factor(row.given("lambda")),)


@gives("TRQ-MAX")
def _most_torque(_: Row) -> tuple[Real, ...]:
    return (power.LAMBDA_OF_MOST_TORQUE,)


@gives("FMEP-BM")
def _friction(row: Row) -> tuple[Real, ...]:
    return (float(idle.friction(row.given("N"), strokes=4)) / BAR,)


# --- fuel --------------------------------------------------------------------------------------------------

PURE = {
    "iso-octane": fuel.elements_of(carbon=8, hydrogen=18),
    "ethanol": fuel.ETHANOL.elements,
    "methanol": fuel.elements_of(carbon=1, hydrogen=4, oxygen=1),
    "toluene": fuel.elements_of(carbon=7, hydrogen=8),
    "petrol": fuel.PETROL.elements,
}


@gives("AFR-")
def _air_per_fuel(row: Row) -> tuple[Real, ...]:
    return (fuel.air_per_fuel(PURE[row.id.removeprefix("AFR-")]),)


@gives("DOE-")
def _us_table(row: Row) -> tuple[Real, ...]:
    quantity, which = row.id.removeprefix("DOE-").split("-")
    liquid = {"E": fuel.ETHANOL, "G": fuel.PETROL}[which]
    density = fuel.warm_density(
        liquid.density.value, expansion=liquid.expansion.value, temperature=SIXTY_FAHRENHEIT
    )
    viscosity = fuel.warm_viscosity(
        liquid.viscosity.value, thinning=liquid.thinning.value, temperature=SIXTY_FAHRENHEIT
    )
    ours = {
        "AFR": fuel.air_per_fuel(liquid.elements),
        "C": 100.0 * liquid.elements.carbon,
        "H": 100.0 * liquid.elements.hydrogen,
        "O": 100.0 * liquid.elements.oxygen,
        "SG": density / WATER_AT_SIXTY,
        "MU": viscosity / MILLIPASCAL_SECOND,
        "LHV": liquid.heating_value.value / MEGAJOULE,
    }
    return (float(ours[quantity]),)


@gives("RHO-")
def _warm_density(row: Row) -> tuple[Real, ...]:
    """Start at 15 C; what is not in our tank takes its expansion from its own row at 40 C."""
    name = row.id.removeprefix("RHO-").rsplit("-", 1)[0]
    at_15, at_40 = _value_of(f"RHO-{name}-15"), _value_of(f"RHO-{name}-40")
    fitted = (1.0 - at_40 / at_15) / 25.0
    ours = {"ethanol": fuel.ETHANOL.expansion.value, "n-heptane": fuel.PETROL.expansion.value}
    return (fuel.warm_density(at_15, expansion=ours.get(name, fitted), temperature=_kelvin(row)),)


@gives("RHO-ethanol-15")
def _ethanol_density(_: Row) -> tuple[Real, ...]:
    return (fuel.ETHANOL.density.value,)


@gives("MU-")
def _warm_viscosity(row: Row) -> tuple[Real, ...]:
    """Start at 20 C; hydrocarbons thin as petrol does, methanol as its own row at 0 C says."""
    name = row.id.removeprefix("MU-").rsplit("-", 1)[0]
    at_20 = _value_of(f"MU-{name}-20")
    fitted = math.log(_value_of(f"MU-{name}-0") / at_20) / (1.0 / FREEZING - 1.0 / (FREEZING + 20.0))
    ours = {"ethanol": fuel.ETHANOL.thinning.value, "methanol": fitted}
    thinning = ours.get(name, fuel.PETROL.thinning.value)
    return (fuel.warm_viscosity(at_20, thinning=thinning, temperature=_kelvin(row)),)


@gives("MU-ethanol-20")
def _ethanol_viscosity(_: Row) -> tuple[Real, ...]:
    return (fuel.ETHANOL.viscosity.value / MILLIPASCAL_SECOND,)


@gives("LHV-ethanol")
def _ethanol_heat(_: Row) -> tuple[Real, ...]:
    return (fuel.ETHANOL.heating_value.value / MEGAJOULE,)


def _blend(row: Row, head: str) -> fuel.FuelState:
    return fuel.fuel_state(_tail(row, head) / 100.0, temperature=fuel.DENSITY_AT)


@gives("BLEND-AFR-E")
def _blend_air(row: Row) -> tuple[Real, ...]:
    return (float(_blend(row, "BLEND-AFR-E").air_per_fuel),)


@gives("BLEND-RHO-E")
def _blend_density(row: Row) -> tuple[Real, ...]:
    return (float(_blend(row, "BLEND-RHO-E").density),)


@gives("BLEND-LAM-E")
def _blend_shift(row: Row) -> tuple[Real, ...]:
    neat = fuel.fuel_state(0.0, temperature=fuel.DENSITY_AT)
    return (float(elementary.fuel_factor(neat, after=_blend(row, "BLEND-LAM-E"))),)


@gives("PREMIX-")
def _premix_shift(row: Row) -> tuple[Real, ...]:
    neat = fuel.fuel_state(0.0, temperature=fuel.DENSITY_AT)
    mixed = fuel.fuel_state(0.0, temperature=fuel.DENSITY_AT, oil_ratio=_tail(row, "PREMIX-"), burnt_oil=0.0)
    return (float(elementary.fuel_factor(neat, after=mixed)),)


@gives("VAP-")
def _vapour(row: Row) -> tuple[Real, ...]:
    return (float(fuel.vapour_share(_kelvin(row), air_to_fuel=14.6)),)


# --- holes -------------------------------------------------------------------------------------------------


@gives("SEG-")
def _segment(row: Row) -> tuple[Real, ...]:
    area = slide.segment_area(row.given("lift") * MILLIMETRE, 28.0 * MILLIMETRE)
    return (float(area) / SQUARE_MILLIMETRE,)


@gives("ANN-1")
def _ring(_: Row) -> tuple[Real, ...]:
    area = needle.ring_area(2.600 * MILLIMETRE, 2.515 * MILLIMETRE)
    return (float(area) / SQUARE_MILLIMETRE,)


@gives("PSI-")
def _psi(row: Row) -> tuple[Real, ...]:
    return (holes.flow_function(row.given("p2/p1")),)


@gives("CD-2-", "CD-3-", "CD-5-", "CD-10-")
def _short_tube(row: Row) -> tuple[Real, ...]:
    return (holes.short_tube_discharge(row.given("Re"), length_over_bore=row.given("L/d")),)


@gives("CDU-")
def _ultimate(row: Row) -> tuple[Real, ...]:
    return (float(holes.ultimate_discharge(row.given("L/d"))),)


@gives("CD-NACA")
def _small_orifices(_: Row) -> tuple[Real, ...]:
    """At 1000 to 8000 psi the Reynolds number is ten thousand and more, in holes of all lengths."""
    return tuple(
        float(holes.short_tube_discharge(reynolds, length_over_bore=length))
        for reynolds in (1e4, 1e5)
        for length in (0.5, 1.0, 2.0, 4.0)
    )


# --- the worked examples of the textbooks ------------------------------------------------------------------


def _at_height(
    air_to_fuel: float, *, celsius: float, height: float, lapse: float, decades: float
) -> tuple[Real, ...]:
    low = celsius + 273.0
    ratio = 10.0**-decades * low / (low - lapse * height)
    return (air_to_fuel * float(elementary.lambda_factor(ratio)),)


@gives("TB-ALT1")
def _height_1(_: Row) -> tuple[Real, ...]:
    return _at_height(14.0, celsius=27.0, height=5000.0, lapse=0.0065, decades=5000.0 / 19200.0)


@gives("TB-ALT2")
def _height_2(_: Row) -> tuple[Real, ...]:
    return _at_height(14.7, celsius=22.0, height=4000.0, lapse=0.0065, decades=0.2083)


@gives("TB-ALT3")
def _height_3(_: Row) -> tuple[Real, ...]:
    return _at_height(14.0, celsius=25.0, height=4500.0, lapse=0.0064, decades=4500.0 / 19300.0)


@gives("TB-CLN1")
def _cleaner_1(_: Row) -> tuple[Real, ...]:
    return (elementary.with_air_cleaner(14.0, depression=(1.013 - 0.834) * BAR, loss=30.0 * MERCURY),)


@gives("TB-CLN2")
def _cleaner_2(_: Row) -> tuple[Real, ...]:
    return (elementary.with_air_cleaner(14.5, depression=(1.013 - 0.825) * BAR, loss=37.5 * MERCURY),)


@gives("TB-CLN3")
def _cleaner_3(_: Row) -> tuple[Real, ...]:
    return (elementary.with_air_cleaner(15.0, depression=0.2 * BAR, loss=30.0 * MERCURY),)


def _throat(per_minute: float, speed: float) -> float:
    area = elementary.throat_area(
        per_minute / MINUTE,
        speed=speed,
        pressure=1.013 * BAR,
        temperature=300.0,
        gas_constant=BOOK_AIR_CONSTANT,
        discharge=0.8,
    )
    return float(holes.round_diameter(area))


@gives("TB-VEN1")
def _venturi_1(_: Row) -> tuple[Real, ...]:
    return (_throat(5.0, 90.0) * 100.0,)


@gives("TB-VEN2")
def _venturi_2(_: Row) -> tuple[Real, ...]:
    return (_throat(6.0, 92.0) * 100.0,)


def _jet(flow: float, *, drop: float, density: float, discharge: float) -> float:
    per_area = holes.through_hole(1.0, drop=drop, density=density, discharge=discharge)
    return float(holes.round_diameter(flow / per_area)) / MILLIMETRE


@gives("TB-JET2")
def _jet_2(_: Row) -> tuple[Real, ...]:
    ratio = elementary.throat_pressure_ratio(
        92.0, temperature=300.0, gas_constant=BOOK_AIR_CONSTANT, discharge=0.8
    )
    drop = 0.75 * 1.013 * BAR * (1.0 - float(ratio))
    return (_jet(0.45 / MINUTE, drop=drop, density=740.0, discharge=0.60),)


@gives("TB-JET4")
def _jet_4(_: Row) -> tuple[Real, ...]:
    fuel_flow = 7.5 / HOUR
    density = 1.013 * BAR / (BOOK_AIR_CONSTANT * 298.0)
    depression = holes.drop_across(
        15.0 * fuel_flow, area=holes.round_area(0.022), density=density, discharge=0.82
    )
    drop = float(depression) - 750.0 * GRAVITY * 0.004
    return (_jet(fuel_flow, drop=drop, density=750.0, discharge=0.70),)


def _engine_air(*, bore: float, stroke: float, cylinders: int, rpm: float, filling: float) -> float:
    swept = float(holes.round_area(bore)) * stroke * cylinders
    return swept * filling * rpm / (2.0 * MINUTE)


@gives("TB-SUC1")
def _suction_1(_: Row) -> tuple[Real, ...]:
    flow = 1.2 * _engine_air(bore=0.10, stroke=0.12, cylinders=4, rpm=2000.0, filling=0.70)
    return (holes.drop_across(flow, area=holes.round_area(0.03), density=1.2, discharge=0.8) / BAR,)


@gives("TB-SUC3")
def _suction_3(_: Row) -> tuple[Real, ...]:
    flow = 1.2 * _engine_air(bore=0.10, stroke=0.12, cylinders=4, rpm=1800.0, filling=0.75)
    return (holes.drop_across(flow, area=holes.round_area(0.028), density=1.2, discharge=0.8),)


@gives("TB-SUC2")
def _suction_2(_: Row) -> tuple[Real, ...]:
    """The book multiplies the critical speed by the throat's coefficient; ours is without loss."""
    fuel_flow = 6.0 / HOUR
    jet_drop = holes.drop_across(fuel_flow, area=holes.round_area(0.0012), density=750.0, discharge=0.65)
    depression = float(jet_drop) + 750.0 * GRAVITY * 0.003
    density = 1.013 * BAR / (BOOK_AIR_CONSTANT * 294.0)
    per_area = holes.through_hole(1.0, drop=depression, density=density, discharge=0.8)
    throat = holes.round_diameter(15.3 * fuel_flow / per_area)
    speed = 0.8 * elementary.critical_air_speed(0.003, air_density=density, fuel_density=750.0)
    return depression / GRAVITY, float(throat) / MILLIMETRE, float(speed)


def _lipped(*, throat: float, jet: float, discharges: tuple[float, float], bar: float, lip: float) -> float:
    air_density, fuel_density = BOOK_RATIO
    return float(
        elementary.air_to_fuel(
            bar * BAR,
            throat=throat * MILLIMETRE,
            jet=jet * MILLIMETRE,
            throat_discharge=discharges[0],
            jet_discharge=discharges[1],
            air_density=air_density,
            fuel_density=fuel_density,
            lip=lip * MILLIMETRE,
        )
    )


@gives("TB-LIP1")
def _lip_1(_: Row) -> tuple[Real, ...]:
    return (_lipped(throat=20.0, jet=1.25, discharges=(0.85, 0.66), bar=0.07, lip=0.0),)


@gives("TB-LIP2")
def _lip_2(_: Row) -> tuple[Real, ...]:
    return (_lipped(throat=20.0, jet=1.25, discharges=(0.85, 0.66), bar=0.07, lip=5.0),)


@gives("TB-LIP3")
def _lip_3(_: Row) -> tuple[Real, ...]:
    air_density, fuel_density = BOOK_RATIO
    return (elementary.critical_air_speed(0.005, air_density=air_density, fuel_density=fuel_density),)


@gives("TB-LIP4")
def _lip_4(_: Row) -> tuple[Real, ...]:
    return tuple(
        _lipped(throat=22.0, jet=1.2, discharges=(0.82, 0.70), bar=0.075, lip=lip) for lip in (0.0, 4.0)
    )


@gives("TB-LIP5")
def _lip_5(_: Row) -> tuple[Real, ...]:
    return tuple(
        _lipped(throat=18.0, jet=1.2, discharges=(0.82, 0.65), bar=0.065, lip=lip) for lip in (0.0, 6.0)
    )


@gives("TB-FLOW1")
def _flow_1(_: Row) -> tuple[Real, ...]:
    drop = 1.04 * 1000.0 * GRAVITY
    return (1000.0 * holes.through_hole(holes.round_area(0.001), drop=drop, density=760.0, discharge=0.65),)
