"""The wall chart as it comes out of the printer, and what its plates say of this very bike."""

from __future__ import annotations

import pytest

from floatbowl.belief.belief import PARTS
from floatbowl.bike.rung import RUNGS, Rung
from floatbowl.draw.plates import rings_of, wall_chart
from floatbowl.jobs import Garage, WallChart
from floatbowl.paper.wall_chart import wall_chart_pdf
from floatbowl.words.bench import say_percents
from floatbowl.words.chart import CASES, Plate
from floatbowl.words.names import SAYER
from tests.paper.conftest import LARGE
from tests.paper.sheets import pages_of, tags_of, told_pictures, words_of

SIZES = {"a4": (297.0, 210.0), "a3": (420.0, 297.0)}


def plain(words: str) -> str:
    """Give words without the spaces at which a page breaks them."""
    return "".join(words.split())


@pytest.mark.parametrize("paper", ["a4", "a3"])
def test_a_chart_is_six_sheets(chart: WallChart, paper: str) -> None:
    """Six plates, one a side, on the paper that was asked for."""
    sizes = pages_of(wall_chart_pdf(chart, paper=paper))  # type: ignore[arg-type]
    assert len(sizes) == 6
    assert all(size == pytest.approx(SIZES[paper], abs=0.3) for size in sizes)


def test_every_plate_asks_and_answers(chart: WallChart) -> None:
    """Each plate's question and answer stand on the paper, the question first."""
    words = plain(words_of(wall_chart_pdf(chart)))
    for shown in wall_chart(chart):
        question = words.index(plain(shown.plate.question))
        assert words.index(plain(" ".join(shown.plate.answer))) > question


def test_the_chart_is_tagged_for_those_who_listen(chart: WallChart) -> None:
    """Each plate has a heading and a picture that is told in words."""
    pdf = wall_chart_pdf(chart)
    tags = tags_of(pdf)
    assert tags.count("/H1") == tags.count("/Figure") == 6
    assert all(len(told) > 60 for told in told_pictures(pdf))
    assert b"pdfuaid:part>1<" in pdf


def test_the_same_chart_is_the_same_paper(chart: WallChart) -> None:
    """The same bike gives the same bytes."""
    assert wall_chart_pdf(chart) == wall_chart_pdf(chart)


@pytest.fixture(params=["Magpie", LARGE, "Thistle"])
def plates(request: pytest.FixtureRequest, shed: Garage) -> tuple[WallChart, list[Plate]]:
    """Give each bike's chart with its plates."""
    chart = shed.wall_chart(request.param)
    return chart, [shown.plate for shown in wall_chart(chart)]


def test_plate_two_answers_the_bog_at_a_quarter(plates: tuple[WallChart, list[Plate]]) -> None:
    """It names the part with most say at 1/4, how much, and why the main jet is not the one."""
    chart, told = plates
    say = dict(zip(PARTS, say_percents(chart.card.stand.belief.say[RUNGS.index(Rung.QUARTER)]), strict=True))
    most = max(PARTS[:3], key=say.__getitem__)
    answer = " ".join(told[1].answer)
    assert answer.lower().startswith(SAYER[most])
    assert f"{say[most]} %" in answer
    assert f"The main jet has {say['main']} % of the say" in answer
    assert say["main"] < say[most]
    assert "narrowest place on the way decides" in answer


def test_plate_three_agrees_with_plate_two(plates: tuple[WallChart, list[Plate]]) -> None:
    """Where the needle has not the most say at 1/4, plate 3 sends on to the part that has."""
    chart, told = plates
    say = dict(zip(PARTS, say_percents(chart.card.stand.belief.say[RUNGS.index(Rung.QUARTER)]), strict=True))
    most = max(PARTS[:3], key=say.__getitem__)
    last = told[2].answer[-1]
    assert (f"go to {SAYER[most]}" in last) or "thinner straight part" in last


def test_the_ring_is_narrower_than_the_main_jet_where_the_plate_says_so(
    plates: tuple[WallChart, list[Plate]],
) -> None:
    """At 1/4 the ring is the narrower place, at full the main jet; a groove higher never narrows it."""
    rings = rings_of(plates[0])
    assert rings.narrower(Rung.QUARTER)
    assert not rings.narrower(Rung.FULL)
    assert all(raised >= now for now, raised in zip(rings.now, rings.raised, strict=True))
    assert rings.now == tuple(sorted(rings.now))


def test_air_lifts_no_fuel_to_the_needle_jet_at_idle(plates: tuple[WallChart, list[Plate]]) -> None:
    """With the slide shut the pull is too weak for the climb; from 1/4 up it is strong enough."""
    numbers = plates[0].plates
    assert numbers.pull_mm[0] < numbers.lip_mm
    assert all(pull > numbers.lip_mm for pull in numbers.pull_mm[2:])


def test_up_the_hill_it_gets_too_much(plates: tuple[WallChart, list[Plate]]) -> None:
    """With nothing changed, every 500 m up brings more fuel against what is wanted."""
    errors = [error for _, error in plates[0].plates.hill]
    assert errors == sorted(errors)
    assert 0.03 < (errors[-1] - errors[0]) / 3.0 < 0.10  # the square-root rule alone gives 0.05 a kilometre


def test_plate_six_has_a_verdict_for_every_case(plates: tuple[WallChart, list[Plate]]) -> None:
    """Each of the four bikes is answered: a fault or jetting, and both kinds occur."""
    answers = plates[1][5].answer
    verdicts = {verdict for _, _, verdict, _ in CASES}
    assert verdicts == {"Fault", "Jetting"}
    assert [answer.split(". ")[0] for answer in answers[: len(CASES)]] == [
        str(number) for number in range(1, len(CASES) + 1)
    ]
