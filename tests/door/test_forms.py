"""The forms that other programs read: their keys are pinned, so that none is lost or renamed unnoticed.

A key that is added is a new line in the pin; a key that goes needs a new version of the form.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

from benchmarks.made_logs import Probe, made, write
from floatbowl.advice.advice import Advice, Step
from floatbowl.advice.dry_fit import DryFit
from floatbowl.advice.narrow import NextMeasure
from floatbowl.advice.prove import checks
from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike
from floatbowl.bike.place import assume_day
from floatbowl.cli import main
from floatbowl.jobs import BareStand, Proof, Sides, Stand
from floatbowl.signs.trial import Trial
from floatbowl.words import answers, bench
from floatbowl.words.drawing import drawing_form
from floatbowl.words.dry_fit import ladder_after
from floatbowl.words.forms import proof_form
from floatbowl.words.garage import demo_form, garage_form
from floatbowl.words.sides import sides_form

pytestmark = pytest.mark.door

PINNED = Path(__file__).with_name("forms.json")
"""A pin, made by our own code: every form with its keys. ``[]`` stands for each item of a list."""
PRINTED = Path(__file__).with_name("forms_printed.json")
"""The same for what is printed."""

MAGPIE = """\
name = "Magpie"
what = "125 four-stroke"
engine = { strokes = 4, swept_cc = 124.1 }
carb = { bore_mm = 26.0 }
setup = { main = "110", pilot = "40", clip_from_top = 3, cutaway = "2.5", screw_turns = 1.5 }
"""
EVENING = (
    "fitted magpie",
    "strip magpie",
    "strip magpie float fine 18",
    "drawer add main 105",
    "air",
    "said --list",
    "said magpie 1/4 bogs",
    "measured magpie plug full tan",
    "measured magpie lambda 1/2 0.9",
    "measured magpie rollon 1/4 3.9",
    "measured --list",
    "measured magpie choke 1/4 better",
    "measured magpie hand rises",
    "measured magpie sweep 1.0=1380 1.5=1450",
    "measured magpie level -1.5",
    "measured magpie touched cleaning",
    "measured magpie gas co=2.1 co2=12.5 hc=250 o2=0.8 --at 1/4",
    "measured magpie ride.csv",
    "measured magpie ride.csv --columns time=1",
    "measured magpie rollon 1/2 there=3.9 back=4.1 there=3.9",
    "add FLOATBOWL/1 MAGPIE MAIN 110 PILOT 40 CLIP 3 CUTAWAY 2.5 SCREW 1.5",
    "fitted magpie clip=4",
    "measured magpie rollon 1/2 there=3.6 back=3.8 there=3.6",
    "rollons magpie",
    "looked magpie soap found",
    "mended magpie air leak",
    "log magpie",
    "undo magpie",
    "export magpie",
    "backup",
    "export --all everything",
    "add everything",
    "doctor",
    "doctor --repair saved.garage",
    "bench nobody",
)
OPEN = {"facts", "aside"}
"""What holds different keys for different things."""


def keys(value: object, path: str = "") -> Iterator[str]:
    """Give the path of every key in a form."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield f"{path}.{key}".removeprefix(".")
            if key not in OPEN:
                yield from keys(inner, f"{path}.{key}")
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner, f"{path}[]")


def asked(folder: Path, words: str) -> dict[str, Any]:
    """Ask for JSON in a garage and read it, trouble as well."""
    place = {"FLOATBOWL_GARAGE": str(folder / "shed.garage")}
    shown = CliRunner().invoke(main, [*words.split(), "--json"], env=place)
    read: dict[str, Any] = json.loads(shown.stdout)
    return read


def told_evening(folder: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give the form of every command that does not think."""
    (folder / "magpie.toml").write_text(MAGPIE, encoding="utf-8")
    for word in ("check", "add"):
        yield word, asked(folder, f"{word} {folder / 'magpie.toml'}")
    log = made(Probe(dead=0.3, lag=0.1), np.random.default_rng(2), seconds=120.0)
    write(folder / "ride.csv", log)
    for words in EVENING:
        yield words, asked(folder, _in(folder, words))


def _in(folder: Path, words: str) -> str:
    """Let the files that a command names lie in a folder."""
    for name in ("ride.csv", "everything", "saved.garage"):
        words = words.replace(name, str(folder / name))
    return words


def thought_forms(
    belief: Belief, advice: dict[str, Advice], trials: tuple[Trial, ...], bike: Bike
) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give the form of every answer, made of a belief and of advice by hand."""
    tried = DryFit(
        setup=belief.setup,
        error=belief.error[belief.twenty],
        say=belief.say,
        close_enough=belief.close_enough,
    )
    stand = Stand(bike=bike, trials=trials, belief=belief, advice=advice["change"])
    day = assume_day("Tarn Hollow", height=1450.0)
    narrows = NextMeasure(path="carb.needle_jet_bore", share=0.3)
    rows = bench.ladder(belief, trials)
    yield "bench", answers.bench_form(belief, trials=trials, rows=rows, measure_next=narrows)
    sides = Sides(belief=belief, first=tried, second=tried, steps=(Step("main", "110", "98"),))
    yield "sides", sides_form(sides)
    yield "dry fit", answers.dry_fit_form(belief, tried, rows=ladder_after(belief, tried))
    yield "suspects", answers.suspects_form(belief)
    proof = Proof(checks=checks(belief, trials), is_all_done=False)
    yield "prove", proof_form(proof, bike=bike.name, setup=belief.setup)
    yield "garage", garage_form([stand, BareStand(bike=bike, missing=("cutaway",))], day=day)
    yield (
        "draw",
        drawing_form(
            bike=bike.name,
            setup=belief.setup.number,
            lift_mm=6.5,
            share=0.23,
            open_mm2=87.6,
            ring_mm2=0.23,
            told="",
            troubles=(),
            file=None,
            svg="<svg/>",
        ),
    )
    yield "demo", demo_form([stand], day=day, kept=None)
    for kind, one in advice.items():
        yield kind, answers.advice_form(one, bike=bike, trials=trials)


def test_no_key_is_lost(
    tmp_path: Path,
    believe_by_hand: Callable[..., Belief],
    raise_needle: Advice,
    stop_for_leak: Advice,
    trials: tuple[Trial, ...],
    bike: Bike,
) -> None:
    """Every answer has the keys that its form is pinned to, and no others."""
    belief, step = believe_by_hand(faulty=3), Step("main", "110", "98")
    advice = {"change": replace(raise_needle, buy=(step,), also=(step,)), "stop": stop_for_leak}
    forms = [*told_evening(tmp_path), *thought_forms(belief, advice, trials, bike)]
    found = {f"{told['form']}: {what}": sorted(set(keys(told))) for what, told in forms}
    assert found == json.loads(PINNED.read_text(encoding="utf-8"))


def test_every_form_names_its_version(tmp_path: Path) -> None:
    """Each answer says which form it is, and in which version."""
    assert {told["form"].rsplit("/", 1)[1] for _, told in told_evening(tmp_path)} == {"1"}


@pytest.mark.slow
def test_the_commands_that_print_answer_in_these_forms(tmp_path: Path) -> None:
    """The card and the chart have the keys that their forms are pinned to."""
    pinned = json.loads(PRINTED.read_text(encoding="utf-8"))
    list(told_evening(tmp_path))
    for words in ("card magpie", "chart magpie"):
        told = asked(tmp_path, words)
        assert sorted(set(keys(told))) == pinned[told["form"]]


@pytest.mark.slow
def test_the_commands_that_think_answer_in_these_forms(tmp_path: Path) -> None:
    """What the pins above were made of by hand is what the commands give."""
    pinned = json.loads(PINNED.read_text(encoding="utf-8"))
    list(told_evening(tmp_path))
    for words, what in (
        ("bench magpie", "bench"),
        ("dryfit magpie clip=4", "dry fit"),
        ("garage", "garage"),
        ("prove magpie", "prove"),
    ):
        told = asked(tmp_path, words)
        assert set(keys(told)) <= set(pinned[f"{told['form']}: {what}"])
    told = asked(tmp_path, "next magpie")
    assert set(told) == {
        key for key in pinned["floatbowl.advice/1: stop"] if "." not in key and "[" not in key
    }
