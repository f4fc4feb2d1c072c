"""The text of a setup card: at most 195 signs of the compact alphabet, read back as it was written."""

from __future__ import annotations

import string
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
import segno
from hypothesis import given
from hypothesis import strategies as st

from floatbowl.bike.place import assume_day
from floatbowl.bike.setup import Setup
from floatbowl.draw.code import code_picture
from floatbowl.jobs import NotOnAStandError, open_demo, open_garage
from floatbowl.record.card_text import ALPHABET, LONGEST, CardTrouble, is_card, read_card, write_card
from floatbowl.record.trouble import NotInDrawer, SetupTrouble
from tests.bike.bikes import bike_with

NUMBERS = st.integers(1, 40_000).map(lambda n: n / 100.0)
STAMPS = st.one_of(st.just("?"), st.decimals(10, 400, places=1).map(lambda n: f"{n:g}"))
ODD = "\N{LATIN SMALL LETTER E WITH ACUTE}\N{LATIN SMALL LETTER SHARP S}\N{CYRILLIC CAPITAL LETTER YA} "
WORDS = st.text(string.printable.strip() + ODD)
NAMES = WORDS.map(lambda name: " ".join(name.split())[:40]).filter(bool)
SETUPS = st.builds(
    Setup,
    number=st.integers(1, 9999),
    main=STAMPS,
    pilot=STAMPS,
    clip_from_top=st.integers(1, 9),
    cutaway=STAMPS,
    screw_turns=NUMBERS,
    float_height_mm=st.none() | NUMBERS,
    needle_washer_mm=st.just(0.0) | NUMBERS,
)
FITTED = Setup(number=9, main="105", pilot="40", clip_from_top=4, cutaway="2.5", screw_turns=1.5)


@pytest.mark.property
@given(name=NAMES, setup=SETUPS, place=NAMES, is_proven=st.booleans())
def test_a_card_keeps_to_its_signs(name: str, setup: Setup, place: str, *, is_proven: bool) -> None:
    """Whatever a bike is called and has fitted, its card fits the code and uses nothing but its alphabet."""
    day = assume_day(place, date="2026-11-14", height=1450.0)
    text = write_card(name, setup, day=day, is_proven=is_proven)
    assert len(text) <= LONGEST
    assert set(text) <= set(ALPHABET)
    assert segno.make_qr(text, error="q", boost_error=False).mode == "alphanumeric"


@pytest.mark.property
@given(name=NAMES, setup=SETUPS)
def test_what_was_written_is_read_back(name: str, setup: Setup) -> None:
    """Every field of the setup comes back as it was, and the card is of the bike it was written for."""
    card = read_card(write_card(name, setup))
    assert card.is_of(name)
    assert replace(setup, **card.setup) == setup
    assert card.needle is None


@pytest.mark.property
@given(setup=SETUPS, hand=st.randoms(use_true_random=False))
def test_a_hand_may_copy_it_its_own_way(setup: Setup, hand: Random) -> None:
    """Small letters and broken lines make no difference."""
    text = write_card("Magpie", setup)
    broken = "".join(hand.choice((" ", "\n", " \r\n  ")) if c == " " else c for c in text)
    assert read_card(broken.lower()) == read_card(text)


@pytest.mark.property
@given(text=st.text(ALPHABET + "abc\n"))
def test_any_text_is_read_or_refused_with_a_sentence(text: str) -> None:
    """Nothing that is typed behind the head of a card makes the reader fall over."""
    try:
        read_card(f"FLOATBOWL/1 {text}")
    except CardTrouble as trouble:
        assert str(trouble).endswith("Nothing was written down.")  # noqa: PT017  (either way is right)


def test_a_needle_from_the_drawer_is_named_by_its_stamp() -> None:
    """The stamp of a needle that is not the carburettor's own comes back, odd signs and small letters too."""
    needle = replace(bike_with().carb.needle, stamp="6dh-2 x")
    card = read_card(write_card("Magpie", replace(FITTED, needle=needle)))
    assert card.needle == "6dh-2 x"
    assert card.is_with("6dh-2 x")
    assert not card.is_with("6DH-2 X")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("FLOATBOWL/2 MAGPIE MAIN 105", "begins with FLOATBOWL/1"),
        ("", "with nothing"),
        ("FLOATBOWL/1", "names no bike"),
        ("FLOATBOWL/1 MAGPIE MAIN", "Behind MAIN something is missing"),
        ("FLOATBOWL/1 MAGPIE MAIN 105", "says nothing of pilot, clip, cutaway, screw"),
        ("FLOATBOWL/1 MAGPIE MAIN 105 MAIN 108", "MAIN stands there twice"),
        ("FLOATBOWL/1 MAGPIE TURBO 1", "TURBO means nothing on a card"),
        ("FLOATBOWL/1 MAGPIE MAIN 105 PILOT 40 CLIP 2.5 CUTAWAY 2.5 SCREW 1.5", "CLIP is 2.5"),
        ("FLOATBOWL/1 MAGPIE MAIN 105 PILOT 40 CLIP 2 CUTAWAY 2.5 SCREW NAN", "SCREW is NAN"),
    ],
)
def test_a_card_that_cannot_be_used_says_why(text: str, says: str) -> None:
    """Each way in which a card can be wrong is told, and nothing is written down."""
    with pytest.raises(CardTrouble, match=says):
        read_card(text)


def test_a_long_name_is_cut_and_still_found() -> None:
    """A name that has no room goes on behind a star; the card is of every bike whose name begins so."""
    name = "\N{CYRILLIC SMALL LETTER YA}" * 40
    card = read_card(write_card(name, FITTED))
    assert card.is_cut
    assert card.is_of(name)
    assert not card.is_of("Magpie")


def test_a_bike_file_is_no_card() -> None:
    """What add takes is told apart by its first word."""
    assert is_card("\n floatbowl/1 magpie")
    assert not is_card('form = "floatbowl.bike/1"')


def test_the_code_is_27_mm_for_the_longest_text() -> None:
    """195 signs at level Q make 57 modules: 27 mm at 0.47 mm each, and four empty ones round it."""
    view = code_picture("A" * LONGEST, title="code").split('viewBox="', 1)[1].split('"')[0]
    assert view == "0 0 65 65"


# --- taken back --------------------------------------------------------------------------------------------


@pytest.mark.door
def test_a_card_is_fitted_to_the_bike_of_its_name(tmp_path: Path) -> None:
    """The card of one garage is fitted in another: an entry of its own, the same again is none."""
    with open_demo() as garage:
        text = garage.hand_over("otter").text
        there = garage.export_bike("otter")
    (tmp_path / "otter.toml").write_text(there, encoding="utf-8")
    with open_garage(tmp_path / "other.garage") as other:
        other.add_bike(tmp_path / "otter.toml")
        first = other.fitted("otter")
        other.fit("otter", main="155", clip_from_top=3)
        bike, back = other.take_card(text)
        assert bike.name == "Otter"
        assert replace(back, number=first.number) == first
        before = len(other.log("otter"))
        assert other.take_card(text)[1] == back
        assert len(other.log("otter")) == before


@pytest.mark.door
def test_a_card_of_an_unknown_bike_says_what_is_missing(tmp_path: Path) -> None:
    """No bike of that name: what a card does not tell is named, and nothing is written down."""
    with open_garage(tmp_path / "empty.garage") as garage:
        with pytest.raises(NotOnAStandError) as trouble:
            garage.take_card(write_card("Rook", FITTED))
        assert trouble.value.missing == ("engine.strokes", "engine.swept_cc", "carb.bore_mm")
        assert garage.log() == ()


@pytest.mark.door
def test_a_card_that_cannot_be_on_the_bike_is_refused() -> None:
    """A groove the needle has not, or a needle nobody has, is refused as at every other door."""
    with open_demo() as garage:
        with pytest.raises(SetupTrouble, match="9"):
            garage.take_card(write_card("Magpie", replace(FITTED, clip_from_top=9)))
        with pytest.raises(NotInDrawer, match="6DH2"):
            garage.take_card(write_card("Magpie", FITTED) + " NEEDLE 6DH2")
        assert garage.fitted("magpie").number == 8
