"""Stamps: read as stamped, refused with a sentence, turned into bores."""

from collections.abc import Callable
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.flow import holes, stamps
from floatbowl.units import CUBIC_CENTIMETRE, GRAVITY, MILLIMETRE, MINUTE, Real


@pytest.mark.parametrize(
    ("stamp", "number"),
    [("112.5", 112.5), ("112,5", 112.5), ("#38", 38.0), (" 40 ", 40.0), ("# 42.5", 42.5), ("105", 105.0)],
)
def test_a_jet_is_read_as_stamped(stamp: str, number: float) -> None:
    """Points, commas, hashes and spaces are read over."""
    assert stamps.jet_number(stamp, part="main jet") == number


def test_not_known_is_an_answer() -> None:
    """A question mark is no number and no mistake."""
    assert stamps.jet_number(" ? ", part="pilot jet") is None
    assert stamps.cutaway_height("?") is None
    assert stamps.needle_jet_bore("?") is None


@pytest.mark.parametrize(
    ("stamp", "wrong"),
    [("11O", "which is not a number"), ("5", "and jets run from 10 to 400"), ("", "which is not a number")],
)
def test_a_bad_stamp_gets_a_sentence(stamp: str, wrong: str) -> None:
    """What was read, what is wrong, what to write instead."""
    sentence = f'The main jet reads "{stamp}", {wrong}. Write 112.5 or the like, or ? if it is not known.'
    with pytest.raises(stamps.UnreadableStamp) as told:
        stamps.jet_number(stamp, part="main jet")
    assert str(told.value) == sentence


@pytest.mark.parametrize(
    "stamp", ["nan", "inf", "-40", "1e2", "0x40", "4²", "١٢٠", "40 45", "1250", "0", "112.5.5"]
)
def test_odd_numbers_are_no_stamps(stamp: str) -> None:
    """What a computer would take for a number but no jet carries is refused."""
    with pytest.raises(stamps.UnreadableStamp):
        stamps.jet_number(stamp, part="main jet")


def _read_or_told(read: Callable[[str], Real | None], stamp: str) -> Real | str | None:
    try:
        return read(stamp)
    except stamps.UnreadableStamp as told:
        return str(told)


@pytest.mark.property
@given(stamp=st.text(max_size=200))
def test_any_text_gives_a_number_nothing_or_a_sentence(stamp: str) -> None:
    """Whatever stands there: a number, not known, or a short sentence that a terminal can print."""
    for read in (partial(stamps.jet_number, part="pilot jet"), stamps.cutaway_height, stamps.needle_jet_bore):
        got = _read_or_told(read, stamp)
        if isinstance(got, str):
            assert got.isprintable()
            assert len(got) < 160
        else:
            assert got is None or 0.0 < got < 1000.0


@pytest.mark.parametrize(("stamp", "height"), [("2.5", 2.5), ("3", 3.0), ("3,0", 3.0)])
def test_a_cutaway_counts_millimetres(stamp: str, height: float) -> None:
    """A cutaway's stamp is its height in millimetres."""
    assert stamps.cutaway_height(stamp) == pytest.approx(height * MILLIMETRE, rel=1e-14)


def test_a_cutaway_in_tenths_is_refused() -> None:
    """A cutaway of 25 mm does not exist; the sentence says to write millimetres."""
    with pytest.raises(stamps.UnreadableStamp, match=r"from 0\.5 to 8\.0 mm\. Write 2\.5"):
        stamps.cutaway_height("25")


@pytest.mark.parametrize(("stamp", "bore"), [("2.60", 2.60), ("260", 2.60), ("266", 2.66), ("2,585", 2.585)])
def test_a_needle_jet_is_read_in_millimetres_or_hundredths(stamp: str, bore: float) -> None:
    """A needle jet's stamp is its bore, in millimetres or hundredths of them."""
    assert stamps.needle_jet_bore(stamp) == pytest.approx(bore * MILLIMETRE, rel=1e-14)


@pytest.mark.parametrize("stamp", ["O-6", "P2", "26", "0.26"])
def test_a_needle_jet_by_letters_is_refused(stamp: str) -> None:
    """Letters name a size in some maker's own list; a bore out of range is no needle jet."""
    with pytest.raises(stamps.UnreadableStamp, match=r"Write 2\.60"):
        stamps.needle_jet_bore(stamp)


@pytest.mark.property
@given(number=st.floats(20.0, 200.0))
def test_a_jet_by_flow_passes_its_number(number: float) -> None:
    """Put back on its test, the bore of a flow number passes that many cubic centimetres in a minute."""
    area = holes.round_area(stamps.bore_by_flow(number))
    drop = 740.0 * GRAVITY * stamps.TEST_HEAD.value
    mass = holes.through_hole(area, drop=drop, density=740.0, discharge=stamps.TEST_DISCHARGE.value)
    assert mass / 740.0 * MINUTE / CUBIC_CENTIMETRE == pytest.approx(number, rel=1e-12)


@pytest.mark.property
@given(number=st.floats(20.0, 200.0), more=st.floats(1.01, 1.5))
def test_a_bigger_number_is_a_bigger_bore(number: float, more: float) -> None:
    """In either family the bigger number is the bigger bore: by itself, or by its root."""
    assert stamps.bore_by_bore(number * more) == pytest.approx(more * stamps.bore_by_bore(number), rel=1e-12)
    assert stamps.bore_by_flow(number * more) == pytest.approx(
        np.sqrt(more) * stamps.bore_by_flow(number), rel=1e-12
    )


def test_the_families_cross_at_one_size() -> None:
    """The two families agree at one number only, near 95: below it the flow number is the bigger hole."""
    numbers = np.linspace(20.0, 200.0, 1801)
    gap = np.asarray(stamps.bore_by_flow(numbers) - stamps.bore_by_bore(numbers))
    assert np.count_nonzero(np.diff(np.sign(gap))) == 1
    assert gap[0] > 0.0 > gap[-1]
    assert numbers[np.argmin(np.abs(gap))] == pytest.approx(95.0, abs=2.0)


def test_the_spread_of_a_conversion_is_that_of_its_figures(rng: np.random.Generator) -> None:
    """Heads and coefficients drawn from their figures spread the bore as said, by 3 per cent."""
    head = stamps.TEST_HEAD.value * np.exp(rng.normal(0.0, stamps.TEST_HEAD.log_spread, 20_000))
    discharge = stamps.TEST_DISCHARGE.value * np.exp(
        rng.normal(0.0, stamps.TEST_DISCHARGE.log_spread, 20_000)
    )
    bores = stamps.bore_of_flow(1.6e-6, head=head, discharge=discharge)
    # 20,000 draws know a standard deviation to half a per cent of itself; four of those
    assert np.std(np.log(bores)) == pytest.approx(stamps.flow_family_spread(), rel=0.02)
    assert stamps.flow_family_spread() == pytest.approx(0.03, abs=0.005)


def test_a_copy_is_looser_than_the_genuine_part() -> None:
    """Genuine jets are closest to their stamp, then copies, then those that somebody reamed."""
    spreads = [stamps.BORE_SPREAD[make].value for make in ("genuine", "copy", "reamed")]
    assert spreads == sorted(spreads)
    assert spreads == [0.007, 0.02, 0.03]
