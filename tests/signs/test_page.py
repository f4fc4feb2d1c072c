"""The page about the signs shows the figures of the code, each of them, as they stand."""

import importlib
import re
from pathlib import Path

import pytest

from floatbowl.figures import Figure
from floatbowl.signs import behaviour, choke_test, elsewhere, look

PAGE = (Path(__file__).resolve().parents[2] / "docs/model/signs.md").read_text(encoding="utf-8")
SIGNS = (
    "behaviour",
    "choke_test",
    "elsewhere",
    "fuel_level",
    "hand_test",
    "idle_note",
    "idle_sweep",
    "plug",
    "roll_on",
    "seen",
    "steady_lambda",
    "touched",
)


def rows(heading: str) -> dict[str, list[str]]:
    """Give the rows of the table below a heading, by the first cell."""
    below = PAGE.split(f"## {heading}\n")[1].split("\n## ")[0]
    found = re.findall(r"^\|([^|]+)\|(.+)$", below, flags=re.MULTILINE)
    return {first.strip(): [cell.strip() for cell in rest.split("|")[:-1]] for first, rest in found}


def figures() -> dict[str, Figure]:
    """Give every figure that stands by itself in a sign's file, by file and name."""
    return {
        f"{sign}.{name}": value
        for sign in SIGNS
        for name, value in vars(importlib.import_module(f"floatbowl.signs.{sign}")).items()
        if isinstance(value, Figure)
    }


@pytest.mark.parametrize("name", figures())
def test_every_figure_is_on_the_page(name: str) -> None:
    """Each figure stands on the page with its value and its range, and none that the code no longer has."""
    figure = figures()[name]
    shown = rows("The figures")
    assert [float(cell) for cell in shown[f"`{name}`"]] == [figure.value, figure.low, figure.high]
    assert {row.strip("`") for row in shown if row.startswith("`")} == set(figures())


@pytest.mark.parametrize("key", ["any other", *look.RATES])
def test_every_look_is_on_the_page(key: str) -> None:
    """Each look stands on the page with how often it finds what is there, and what is not."""
    rate = look.RATES.get(key, look.USUAL)
    assert [float(cell) for cell in rows("How reliable a look is")[key]] == [
        rate.seen.value,
        rate.false_alarm.value,
    ]


@pytest.mark.parametrize("ailment", behaviour.AILING)
def test_every_ailment_is_on_the_page(ailment: str) -> None:
    """Each ailment stands on the page with its share at every rung."""
    telling = next(told for key, told in behaviour.AILING.items() if key == ailment)
    share, by_rung, _ = rows("What a rider says at an opening")[ailment]
    assert float(share) == telling.share.value
    assert [float(one) for one in by_rung.split(";")[0].split(",")] == list(telling.by_rung)


def test_every_telling_is_on_the_page() -> None:
    """Each thing told away from any opening stands on the page with how often it is told."""
    table = rows("What is told away from any opening")
    for did, telling in elsewhere.TELLINGS.items():
        shown = table["hard start, hot" if did == "hard start" else did]
        assert [float(cell) for cell in shown[:2]] == [telling.told.value, telling.false_alarm.value]
    cold = elsewhere.HARD_START_COLD
    shown = table["hard start, cold"]
    assert [float(cell) for cell in shown[:2]] == [cold.told.value, cold.false_alarm.value]


@pytest.mark.parametrize("kind", ["plunger", "flap"])
def test_every_choke_is_on_the_page(kind: str) -> None:
    """Each kind of choke stands on the page with what half of it gives at every rung."""
    figures_of = next(given for choke, given in choke_test.GIVES.items() if choke == kind)
    shown = rows("What half a choke gives, in ln(fuel)")[kind]
    assert [float(cell) for cell in shown] == [figure.value for figure in figures_of]


MEASURING = (Path(__file__).resolve().parents[2] / "docs/model/measuring.md").read_text(encoding="utf-8")
MEASURED = (
    "exhaust_gas",
    "lambda_log.bins",
    "lambda_log.delay",
    "lambda_log.look",
    "lambda_log.sort",
    "logged_lambda",
    "roll_on_runs",
)


def test_the_page_on_measuring_has_every_figure() -> None:
    """Each figure of the logs, the gas and the runs stands on its page, as it stands in the code."""
    table = dict(re.findall(r"^\| `([\w.]+)` \|(.+)\|$", MEASURING, flags=re.MULTILINE))
    shown = {name: [float(cell) for cell in cells.split("|")] for name, cells in table.items()}
    code = {}
    for module in MEASURED:
        there = importlib.import_module(f"floatbowl.signs.{module}")
        for name, value in vars(there).items():
            is_own = f"{name} = Figure(" in Path(str(there.__file__)).read_text(encoding="utf-8")
            if isinstance(value, Figure) and is_own:
                code[f"{module.rpartition('.')[2]}.{name}"] = [value.value, value.low, value.high]
    assert shown == code
