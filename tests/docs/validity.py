"""The tables of docs/validity.md, worked out anew. Run this file as a module to write them into the page."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from floatbowl.flow.breath import Grid, breathe
from floatbowl.flow.idle import settled_speed, spare_pressure
from floatbowl.flow.mixture import mixture
from floatbowl.flow.parameters import Parameters
from floatbowl.flow.say import say
from tests.flow.bikes import OPENED, SIZES, Size, at_height, line, ordinary

Array = NDArray[np.float64]

PAGE = Path(__file__).resolve().parents[2] / "docs" / "validity.md"
MM = 1e-3
SHOWN = (SIZES[0], SIZES[3], SIZES[4], SIZES[7], SIZES[9], SIZES[11], SIZES[13])
"""Seven of the fourteen bikes of the tests: small, ordinary and large, both strokes."""
NAMES = ("shut", "1/16", "1/8", "3/16", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8", "full")
ABOVE = np.array([0.0, 0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2])
"""Lifts above the idle stop, mm."""


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Give a table of the page."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(cells) + " |" for cells in lines)


def figures(values: Array, digits: int) -> list[str]:
    """Give numbers as the page shows them; nothing found is a dash."""
    rounded = np.round(values, digits) + 0.0  # no minus before a nothing
    return ["-" if np.isnan(value) else f"{value:.{digits}f}" for value in rounded]


def on_line(size: Size, p: Parameters) -> Array:
    """Give lambda along the riding line."""
    return np.asarray(mixture(p, line(size, OPENED)).lam[0, :, 0])


def per_cent(after: Array, before: Array) -> Array:
    """Give the change of lambda, positive leaner."""
    return np.asarray(100.0 * np.log(after / before))


def ladder() -> str:
    """Give lambda of ordinary bikes along the riding line."""
    return table(
        ["bike", *NAMES], [[str(size), *figures(on_line(size, ordinary(size)), 2)] for size in SHOWN]
    )


def handover() -> str:
    """Give lambda and settled speed with the slide held a little above its stop."""
    rows = []
    for size in SHOWN:
        p = ordinary(size)
        held = replace(p, idle_lift=np.asarray(p.idle_lift) + ABOVE * MM)
        rpm = np.arange(600.0, 6001.0, 100.0)
        grid = Grid(opening=np.zeros(1), rpm=rpm[None, :])
        air = breathe(held, grid)
        lam = mixture(held, grid, breath=air).lam[:, 0]
        speeds = settled_speed(spare_pressure(held, air, grid, lam[:, None])[:, 0], rpm)
        rows.append([f"{size}: lambda at 2000 rpm", *figures(lam[:, 14], 2)])
        rows.append(["keeps, rpm", *figures(speeds, 0)])
    return table(["slide above its stop, mm", *figures(ABOVE, 1)], rows)


def shift(change: Callable[[Parameters], Parameters]) -> str:
    """Give what a change does to each bike along the line, in per cent of lambda."""
    rows = []
    for size in SHOWN:
        p = ordinary(size)
        moved = per_cent(on_line(size, change(p)), on_line(size, p))
        rows.append([str(size), *figures(moved, 1)])
    return table(["bike", *NAMES], rows)


def clip() -> str:
    """Give one groove richer."""
    return shift(lambda p: replace(p, needle_position=np.asarray(p.needle_position) + 1.0 * MM))


def longer() -> str:
    """Give an inlet half as long again."""
    return shift(lambda p: replace(p, inlet_length=1.5 * np.asarray(p.inlet_length)))


def shorter() -> str:
    """Give an inlet half as long."""
    return shift(lambda p: replace(p, inlet_length=0.5 * np.asarray(p.inlet_length)))


def high() -> str:
    """Give 2000 m of standard air against sea level, the bike as it is."""
    rows = []
    for size in SHOWN:
        p = ordinary(size)
        moved = per_cent(on_line(size, at_height(p, 2000.0)), on_line(size, at_height(p, 0.0)))
        rows.append([str(size), *figures(moved, 1)])
    return table(["bike", *NAMES], rows)


def speeds() -> str:
    """Give lambda at full opening over speed."""
    shares = np.array([0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1])
    rows = []
    for size in SHOWN:
        grid = Grid(opening=np.array([1.0]), rpm=shares[None, :] * size.peak_rpm)
        rows.append([str(size), *figures(mixture(ordinary(size), grid).lam[0, 0], 2)])
    return table(["speed over that of greatest power", *figures(shares, 1)], rows)


def exhaust() -> str:
    """Give an open and a choked exhaust: less and more pressure behind the engine."""
    rows = []
    for size in SHOWN:
        p = ordinary(size)
        before = on_line(size, p)
        freer, tighter = np.asarray(p.back_pressure) - 0.04, np.asarray(p.back_pressure) + 0.10
        for word, pressure in (("open", freer), ("tight", tighter)):
            moved = per_cent(on_line(size, replace(p, back_pressure=pressure)), before)
            rows.append([f"{size}, {word}", *figures(moved, 1)])
    return table(["exhaust", *NAMES], rows)


def shares() -> str:
    """Give the share of the say of needle and main over the upper half."""
    rows = []
    for size in SHOWN:
        p, grid = ordinary(size), line(size, OPENED)
        have = say(p, grid, breath=breathe(p, grid))
        rows.append([f"{size}: needle", *figures(have[5:, 2], 2)])
        rows.append(["main", *figures(have[5:, 3], 2)])
    return table(["share of the say", *NAMES[5:]], rows)


def faults() -> str:
    """Give what each fault does to one four-stroke."""
    p, size = ordinary(SIZES[4]), SIZES[4]
    broken = {
        "pilot jet half blocked": {"pilot_area": 0.5 * np.asarray(p.pilot_area)},
        "pilot air jet half blocked": {"pilot_air_area": 0.5 * np.asarray(p.pilot_air_area)},
        "bypass holes blocked": {"bypass_share": 0.0},
        "main jet 30 % blocked": {"main_area": 0.7 * np.asarray(p.main_area)},
        "main air jet blocked": {"main_air_area": 0.0},
        "air leak of 0.3 mm2": {"leak_area": 0.3e-6},
        "air leak of 1 mm2": {"leak_area": 1e-6},
        "fuel 3 mm low": {"level_drop": 3.0 * MM},
        "fuel 3 mm high": {"level_drop": -3.0 * MM},
        "fuel 6 mm high": {"level_drop": -6.0 * MM},
        "needle jet worn by 0.05 mm": {"needle_jet_bore": np.asarray(p.needle_jet_bore) + 0.05 * MM},
        "bowl 100 Pa low": {"bowl_offset": -100.0},
        "bowl 300 Pa low": {"bowl_offset": -300.0},
        "filter of 1 kPa, bowl vented outside": {"filter_loss": 1000.0},
        "filter of 3 kPa, bowl vented in the box": {"filter_loss": 3000.0, "vent_in_airbox": 1.0},
        "choke plunger not home, 0.05 mm2": {"enrichener_area": 0.05e-6},
        "slide hangs 0.5 mm open": {"idle_lift": np.asarray(p.idle_lift) + 0.5 * MM},
    }
    before = on_line(size, p)
    rows = [
        [what, *figures(per_cent(on_line(size, replace(p, **change)), before), 0)]  # type: ignore[arg-type]
        for what, change in broken.items()
    ]
    return table(["fault", *NAMES], rows)


TABLES: dict[str, Callable[[], str]] = {
    "ladder": ladder,
    "handover": handover,
    "clip": clip,
    "speeds": speeds,
    "high": high,
    "longer": longer,
    "shorter": shorter,
    "exhaust": exhaust,
    "shares": shares,
    "faults": faults,
}


def written_anew(page: str) -> str:
    """Give the page with every table between its marks worked out anew."""
    for name, make in TABLES.items():
        begin, end = f"<!-- table: {name} -->\n", "<!-- end -->"
        before, found, rest = page.partition(begin)
        if not found:
            text = f"the page has no place for the table {name}"
            raise ValueError(text)
        page = before + begin + make() + "\n" + end + rest.partition(end)[2]
    return page


if __name__ == "__main__":
    PAGE.write_text(written_anew(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
