"""The pictures for the terminal: they fit, they count right, and they mean the same without colour."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from floatbowl.advice.advice import Advice
from floatbowl.belief.belief import Belief
from floatbowl.bike.bike import Bike
from floatbowl.cli import pictures
from floatbowl.cli.paper import ASCII, INKS, UNICODE, Line, Paper, Span, cells, in_cube, width_of, wrapped
from floatbowl.signs.trial import Trial
from floatbowl.words import bench
from floatbowl.words.card import card

WIDTHS = (44, 60, 80, 100, 120)


def flat(lines: list[Line]) -> list[str]:
    """Give the text of lines without ink."""
    return ["".join(span.text for span in line) for line in lines]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("marks", [UNICODE, ASCII])
def test_the_ladder_fits_every_paper(
    width: int, marks: object, believe_by_hand: Callable[..., Belief], trials: tuple[Trial, ...]
) -> None:
    """No line of the ladder, its legend or the small ladder is wider than the paper."""
    paper = Paper(width=width, marks=marks)  # type: ignore[arg-type]
    rows = bench.ladder(believe_by_hand(), trials)
    lines = [*pictures.ladder(rows, paper), *pictures.legend(paper), *pictures.foot(believe_by_hand(), paper)]
    assert max(width_of(line) for line in lines) <= width


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("marks", [UNICODE, ASCII])
def test_every_card_fits_every_paper(
    width: int,
    marks: object,
    raise_needle: Advice,
    stop_for_leak: Advice,
    bike: Bike,
    trials: tuple[Trial, ...],
) -> None:
    """A card's frame is straight: each of its lines is as wide as the first, none wider than the paper."""
    paper = Paper(width=width, marks=marks)  # type: ignore[arg-type]
    look = replace(stop_for_leak, kind="look", suspect=None)
    done = replace(raise_needle, kind="done", steps=())
    for advice in (raise_needle, stop_for_leak, look, done):
        told = card(advice, bike=bike, trials=trials)
        widths = {width_of(line) for line in pictures.card_picture(told, bike=bike.name, paper=paper)}
        assert len(widths) == 1
        assert widths.pop() <= width


def test_kinds_of_card_differ_in_shape(raise_needle: Advice, stop_for_leak: Advice, bike: Bike) -> None:
    """A stop tag is known by its shape, not by its colour: no other card has its corners, hole or stripes."""
    paper = Paper(width=80, marks=UNICODE)
    tops = []
    for advice in (raise_needle, stop_for_leak, replace(stop_for_leak, kind="look", suspect=None)):
        told = card(advice, bike=bike)
        tops.append(flat(pictures.card_picture(told, bike="Magpie", paper=paper))[0])
    assert len({top[0] for top in tops}) == 3
    assert [UNICODE.hole in top for top in tops] == [False, True, False]


@pytest.mark.parametrize("width", [21, 31, 41])
def test_each_of_the_twenty_is_drawn(width: int, believe_by_hand: Callable[..., Belief]) -> None:
    """Strokes count right: read back, a row where no more than three share a place gives twenty again."""
    row = bench.ladder(believe_by_hand((0,) * 6, spread_pct=7.5))[0]
    drawn = "".join(span.text for span in pictures._twenty(row, width, UNICODE))
    worth = {mark: count for count, mark in enumerate(UNICODE.strokes[:3], start=1)}
    assert len(drawn) == width
    assert UNICODE.strokes[3] not in drawn
    assert sum(worth.get(mark, 0) for mark in drawn) == 20


def test_what_lies_beyond_the_chart_is_marked(believe_by_hand: Callable[..., Belief]) -> None:
    """A bike farther off than the chart reaches is not drawn as if it stood on the edge."""
    row = bench.ladder(believe_by_hand((-30,) * 6))[0]
    drawn = "".join(span.text for span in pictures._twenty(row, 31, UNICODE))
    assert drawn[0] == UNICODE.beyond[0]
    assert not set(drawn) & set(UNICODE.strokes)


def test_the_band_lies_round_the_middle(believe_by_hand: Callable[..., Belief]) -> None:
    """Close enough is marked on both sides of what is wanted, evenly."""
    row = bench.ladder(believe_by_hand((-12,) * 6, spread_pct=0.5))[2]
    drawn = "".join(span.text for span in pictures._twenty(row, 31, UNICODE))
    assert drawn[10:21] == "░" * 5 + UNICODE.middle + "░" * 5


def test_the_bar_of_say_is_always_full(believe_by_hand: Callable[..., Belief]) -> None:
    """Rounded shares still fill the bar, in the order pilot, cutaway, needle, main."""
    for row in bench.ladder(believe_by_hand()):
        bar = "".join(span.text for span in pictures._say_bar(row.say_pct, 16))
        assert len(bar) == 16
        assert list(bar) == sorted(bar, key="PCNM".index)


def test_a_tally_stands_in_fives() -> None:
    """Eighteen of twenty: three whole fives, three solid strokes, two dotted ones."""
    assert pictures.tally(18, ASCII) == "||||| ||||| ||||| |||::"
    assert pictures.tally(0, ASCII) == "::::: ::::: ::::: :::::"


def test_a_narrow_paper_keeps_the_counts(raise_needle: Advice, bike: Bike) -> None:
    """Where the strokes do not fit, the words with the count stay."""
    told = card(raise_needle, bike=bike)
    assert (
        pictures.tally_lines(told.odds, Paper(width=44, marks=ASCII), width=24)[0] == "15 in 20: about right"
    )


def test_text_breaks_between_words_and_nothing_is_lost() -> None:
    """Wrapped lines fit, and joined again they are the text; a word too long for the line is cut."""
    text = "Engine cold, fuel tap off, no flame or spark near. " + "x" * 50
    lines = wrapped(text, 20)
    assert max(cells(line) for line in lines) <= 20
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


@pytest.mark.parametrize("marks", [UNICODE, ASCII])
def test_no_control_character_passes(marks: object) -> None:
    """What would steer the terminal is put as a plain mark: escapes, bells, right-to-left switches."""
    paper = Paper(width=80, marks=marks)  # type: ignore[arg-type]
    calm = paper.calm("a\x1b[31mb\x07c\x9bd\u202ee\nf\rg\u2028h")
    assert not set(calm) & set("\x1b\x07\x9b\u202e\n\r\u2028")
    assert len(calm) == len("a\x1b[31mb\x07c\x9bd\u202ee\nf\rg\u2028h")


def test_plain_paper_gets_plain_signs() -> None:
    """On a terminal without the line pictures every character is ASCII."""
    calm = Paper(width=80, marks=ASCII).calm("19 °C, 851 hPa … é")
    assert calm == "19 C, 851 hPa ... ?"


def test_colour_is_laid_on_only_where_it_is_taken(capsys: pytest.CaptureFixture[str]) -> None:
    """With colour the text stands between escapes of our own; without, alone."""
    line = (Span("PPP", "pilot"), Span("M", "main"))
    Paper(width=80, marks=UNICODE, has_colour=True).put([line])
    coloured = capsys.readouterr().out
    Paper(width=80, marks=UNICODE).put([line])
    assert capsys.readouterr().out == "PPPM\n"
    assert coloured.startswith("\x1b[38;5;")
    assert coloured.rstrip().endswith("\x1b[0m")


def test_the_parts_stay_apart_in_256_colours() -> None:
    """The four parts keep four different fields where the terminal has few colours."""
    fields = [INKS[part].bg for part in ("pilot", "cutaway", "needle", "main")]
    assert len({in_cube(field) for field in fields if field}) == 4
