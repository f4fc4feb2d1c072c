"""Reading a bike file: every trouble at once, each with its line; what is unknown or doubtful is kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from floatbowl.bike.bike import assumptions
from floatbowl.record.bike_file import BikeFile, load_bike_file, read_bike_bytes, read_bike_file
from floatbowl.record.toml_text import LARGEST_FILE
from floatbowl.record.trouble import BikeFileTrouble
from floatbowl.signs.trial import LookReading
from tests.record.files import MAGPIE

LEAST = 'name = "Wren"\nengine = { strokes = 4, swept_cc = 110 }\ncarb = { bore_mm = 19 }\n'
"""The least a bike file must tell."""


def read(text: str) -> BikeFile:
    """Read a text as magpie.toml."""
    return read_bike_file(text, source_name="magpie.toml")


def troubles(text: str) -> list[str]:
    """Give the troubles of a text, a sentence each."""
    with pytest.raises(BikeFileTrouble) as caught:
        read(text)
    return str(caught.value).splitlines()


def changed(old: str, new: str) -> str:
    """Give Magpie's file with one thing written otherwise."""
    assert old in MAGPIE
    return MAGPIE.replace(old, new)


# --- good files --------------------------------------------------------------------------------------------


def test_the_hand_written_file_is_read_whole() -> None:
    """Engine, carburettor, setup, air, remark and readings of the sample all arrive, in SI."""
    file = read(MAGPIE)
    bike, trial = file.bike, file.trials[0]
    assert bike.engine.swept_volume.value == pytest.approx(124.1e-6)
    assert bike.carb.needle.stations[0].diameter.value == pytest.approx(2.51e-3)
    assert (file.setup.number, file.setup.main, file.setup.clip_from_top) == (8, "110", 3)
    assert trial.day.pressure.value == pytest.approx(85_100.0)
    assert trial.day.temperature.value == pytest.approx(288.65)
    assert [remark.did for remark in trial.remarks] == ["bogs"]
    assert [reading.entry for reading in trial.readings] == ["reading-1", "reading-2"]


def test_only_what_was_written_counts_as_measured() -> None:
    """Bore and swept volume are ink, the needle's seat and the crank angles are pencil."""
    assumed = assumptions(read(LEAST).bike)
    assert "carb.bore" not in assumed
    assert "engine.swept_volume" not in assumed
    assert {"carb.needle_seat", "carb.needle_jet_bore", "engine.inlet_shuts_deg"} <= set(assumed)


def test_strokes_size_and_bore_are_all_we_insist_on() -> None:
    """The least file is read; jets nobody told are not known, the clip hangs in the middle groove."""
    file = read(LEAST)
    assert (file.setup.main, file.setup.pilot, file.setup.clip_from_top) == ("?", "?", 3)
    assert set(file.assumed_setup) == {"main", "pilot", "cutaway", "clip_from_top", "screw_turns"}


def test_bore_and_stroke_do_instead_of_the_swept_volume() -> None:
    """A cylinder of 52.4 by 57.8 mm is 124.6 cc."""
    file = read(LEAST.replace("swept_cc = 110", "bore_mm = 52.4, stroke_mm = 57.8, rod_mm = 104"))
    engine = file.bike.engine
    assert engine.swept_volume.value == pytest.approx(124.64e-6, rel=1e-3)
    assert engine.stroke_to_bore.value == pytest.approx(57.8 / 52.4)
    assert engine.rod_to_stroke.value == pytest.approx(104 / 57.8)


def test_a_needle_may_be_told_by_stations() -> None:
    """Pairs of distance and diameter make a needle of several tapers."""
    needle = "needle = { length_mm = 29, stations = [[9, 2.2], [18, 2.0], [29, 1.6]] }"
    file = read(LEAST.replace("bore_mm = 19", f"bore_mm = 19, {needle}"))
    assert [place.diameter.value for place in file.bike.carb.needle.stations] == pytest.approx(
        [2.2e-3, 2e-3, 1.6e-3]
    )


def test_a_stamp_may_be_written_as_a_plain_number() -> None:
    """main = 110 and cutaway = 2.5 are what is stamped, quotes or not."""
    file = read(changed('main = "110"', "main = 110").replace('cutaway = "2.5"', "cutaway = 2.5"))
    assert (file.setup.main, file.setup.cutaway) == ("110", "2.5")


def test_a_trial_may_belong_to_an_earlier_setup() -> None:
    """A trial that names setup 7 was ridden with setup 7."""
    earlier = '[[earlier_setup]]\nnumber = 7\nmain = "115"\n\n[setup]'
    file = read(changed("[setup]", earlier).replace("[[trial]]", "[[trial]]\nsetup = 7"))
    assert file.trials[0].setup.main == "115"
    assert [setup.number for setup in file.earlier_setups] == [7]


def test_what_was_mended_counts_for_every_trial_before_it() -> None:
    """It is written once, with the trial it came after; a slip is met with a guess."""
    text = (
        f'{MAGPIE}mended = ["air leak"]\n\n[[trial]]\nsaid = [ {{ did = "clean" }} ]\n'
        'mended = ["choke not off"]\n'
    )
    told = [trial.mended for trial in read(text).trials]
    assert told == [("air leak", "choke not off"), ("choke not off",)]
    assert 'Did you mean "air leak"?' in troubles(text.replace("air leak", "air leek"))[0]
    assert "there may be several" in troubles(text.replace('["air leak"]', '"air leak"'))[0]


def test_a_look_is_read_like_any_reading() -> None:
    """It has no opening; what it brought is one of two words."""
    look = '{ kind = "look", look = "choke seat", outcome = "clear" }'
    text = f"{MAGPIE}\n[[trial]]\nreadings = [ {look} ]\n"
    assert read(text).trials[1].readings == (
        LookReading(entry="reading-3", look="choke seat", outcome="clear"),
    )
    assert 'Did you mean "clear"?' in troubles(text.replace('"clear"', '"cleer"'))[0]
    assert "does not say its outcome" in troubles(text.replace(', outcome = "clear"', ""))[0]


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ('{ kind = "choke", at = "1/4", outcome = "beter" }', 'Did you mean "better"?'),
        ('{ kind = "choke", outcome = "better" }', "does not say at which opening"),
        ('{ kind = "hand" }', "Write outcome = one of rises, sinks"),
        ('{ kind = "sweep", turns = [1.0, 1.5], rpm = [1380] }', "2 places of the screw and 1 idle speeds"),
        (
            '{ kind = "sweep", turns = [1.0, 1.5], rpm = [1380, 14500] }',
            "Write 1450, if that is what you meant",
        ),
        ('{ kind = "level" }', "has no above_mm"),
        ('{ kind = "touched", part = "hose" }', 'Did you mean "hoses"?'),
    ],
)
def test_a_slip_in_a_reading_is_told_with_its_line(written: str, told: str) -> None:
    """What was read, where it stands, and what to write instead."""
    (sentence,) = troubles(f"{MAGPIE}\n[[trial]]\nreadings = [ {written} ]\n")
    assert told in sentence
    assert sentence.startswith("Line ")


def test_windows_line_ends_and_a_byte_order_mark_do_no_harm() -> None:
    """A file saved by any editor reads the same."""
    assert read_bike_bytes(
        MAGPIE.replace("\n", "\r\n").encode("utf-8-sig"), source_name="magpie.toml"
    ) == read(MAGPIE)


# --- kept, not used ----------------------------------------------------------------------------------------


def test_an_unknown_key_is_kept_and_reported_with_its_line() -> None:
    """Nobody asks for a colour; a slip of the pen is met with a guess."""
    file = read(changed("idle_rpm", "idel_rpm"))
    assert [key.sentence() for key in file.unknown] == [
        "Line 9: engine.idel_rpm means nothing to us. Kept, not used. Did you mean idle_rpm?",
        "Line 4: colour means nothing to us. Kept, not used.",
    ]


def test_a_doubtful_height_is_kept_but_not_used() -> None:
    """A float at 81 mm is a slip for 18; the setup goes on without."""
    file = read(changed("float_height_mm = 18.0", "float_height_mm = 81"))
    assert file.setup.float_height_mm is None
    assert [doubt.sentence() for doubt in file.doubts] == [
        "Line 26: float_height_mm is 81? Kept, not used. Did you mean 18?"
    ]


@pytest.mark.parametrize(
    ("written", "meant"),
    [("0.00260", 2.6), ("0.102", 2.59), ("26.0", 2.6), ("0.26", 2.6)],
)
def test_a_slip_of_the_unit_is_guessed(written: str, meant: float) -> None:
    """Metres, inches and a misplaced point are each met with the millimetres meant."""
    file = read(changed("needle_jet_bore_mm = 2.60", f"needle_jet_bore_mm = {written}"))
    assert [doubt.meant for doubt in file.doubts] == pytest.approx([meant])
    assert file.bike.carb.needle_jet_bore.is_assumed


# --- refused, all at once ----------------------------------------------------------------------------------


def test_a_groove_that_is_not_there_is_told_with_its_line() -> None:
    """The sentence says where, what, and what to write."""
    told = (
        "Line 23 of magpie.toml: clip_from_top is 7, but this needle has 5 grooves. "
        "Write 1 to 5, counted from the blunt end."
    )
    assert troubles(changed("clip_from_top = 3", "clip_from_top = 7")) == [told]


def test_all_troubles_come_at_once_in_the_order_of_their_lines() -> None:
    """Six slips in one file are six sentences."""
    text = (
        changed("strokes = 4", "strokes = 3")
        .replace("bore_mm = 26.0", "bore_mm = 0.026")
        .replace('slide = "round"', 'slide = "rund"')
        .replace("clip_from_top = 3", "clip_from_top = 7")
        .replace('did = "bogs"', 'did = "bog"')
        .replace("seconds = [3.9, 3.9]", "seconds = [3.9, nan]")
    )
    told = troubles(text)
    assert [line.split(":")[0] for line in told] == [
        f"Line {line} of magpie.toml" for line in (7, 13, 14, 23, 32, 34)
    ]
    assert "looks like metres. Write 26" in told[2]
    assert 'Did you mean "round"?' in told[1]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("bore_mm = 26.0", "", "the only measure we insist on"),
        ("strokes = 4", "", "does not say strokes"),
        ("swept_cc = 124.1", "", "does not say how large it is"),
        ("swept_cc = 124.1", "swept_cc = 250\nbore_mm = 52.4\nstroke_mm = 57.8", "make 124.6"),
        ('name = "Magpie"', "", "has no name"),
        ('name = "Magpie"', 'name = "Mag\\u0007pie"', "cannot be seen"),
        ('name = "Magpie"', f'name = "{"m" * 41}"', "Keep it to 40"),
        ('name = "Magpie"', "name = 5", "not text"),
        ("bore_mm = 26.0", "bore_mm = -26.0", "below nothing"),
        ("bore_mm = 26.0", "bore_mm = true", "not a number"),
        ("idle_rpm = 1550", "idle_rpm = -1550", "below nothing"),
        ("idle_rpm = 1550", "idle_rpm = inf", "not a number one can measure"),
        ("idle_rpm = 1550", f"idle_rpm = {'9' * 400}", "far too large"),
        ("idle_rpm = 1550", f"idle_rpm = {'9' * 5000}", "far too many digits"),
        ("grooves = 5", "grooves = 4.5", "must be whole"),
        ("length_mm = 38", "length_mm = 45", "past the main jet's top"),
        ("length_mm = 38", "length_mm = 30", "to stay in the needle jet"),
        ('main = "110"', 'main = "big"', "no number stamped"),
        ('main = "110"', 'main = "110R"', 'Did you mean "110"?'),
        ('cutaway = "2.5"', 'cutaway = "7"', "quarter of the bore"),
        ("date = 2026-11-12", 'date = "yesterday"', "no day"),
        ('at = "1/4"', 'at = "1/3"', "which we do not know"),
        ("[[trial]]", "[[trial]]\nsetup = 9", "no setup 9"),
        ("[[trial]]", "[[trial]]\nsaid = 3\n[[trial]]", "there may be several"),
        ('did = "bogs", ', "", "does not say what it did"),
        ("[engine]", "engine = 3\n[motor]", "has parts of its own"),
        ("floatbowl.bike/1", "floatbowl.bike/2", "does not read"),
        ("idle_rpm = 1550", "idle_rpm = 1550\nidle_rpm = 1500", "stands twice"),
        ("idle_rpm = 1550", "idle_rpm 1550", "there is no = after the name"),
        ("idle_rpm = 1550", "x = " + "[" * 5000, "too deep"),
        ("idle_rpm = 1550", ".".join("a" * 5000) + " = 1", "that many dots"),
    ],
)
def test_each_slip_is_told_in_a_sentence(old: str, new: str, told: str) -> None:
    """Wrong types, what cannot be, what is missing and what is no TOML are each told with the file's name."""
    sentences = troubles(changed(old, new))
    assert any(told in sentence for sentence in sentences), sentences
    assert all("magpie.toml" in sentence and sentence.endswith((".", "?")) for sentence in sentences)


def test_air_to_fuel_by_weight_is_not_taken_for_lambda() -> None:
    """A meter that shows 14.7 is met with what to do about it."""
    text = MAGPIE + '[[trial]]\nreadings = [ { kind = "lambda", at = "1/2", value = 14.7 } ]\n'
    assert "looks like air to fuel by weight. Divide it by what your fuel needs" in troubles(text)[0]


def test_a_missing_file_a_folder_and_a_picture_are_told_apart(tmp_path: Path) -> None:
    """What stands in the way is named; no file is opened further than needed."""
    (tmp_path / "picture.toml").write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00")
    (tmp_path / "latin.toml").write_bytes('name = "Wr\xeen"'.encode("latin-1"))
    (tmp_path / "large.toml").write_bytes(b"#" * (LARGEST_FILE + 1))
    told = {}
    for name in ("none.toml", ".", "picture.toml", "latin.toml", "large.toml"):
        with pytest.raises(BikeFileTrouble) as caught:
            load_bike_file(tmp_path / name)
        told[name] = str(caught.value)
    assert "no such file" in told["none.toml"]
    assert "folder" in told["."]
    assert "not a text file" in told["picture.toml"]
    assert "UTF-8" in told["latin.toml"]
    assert "larger than" in told["large.toml"]


def test_fifty_megabytes_are_not_read(tmp_path: Path) -> None:
    """A huge file is refused after its first half megabyte."""
    huge = tmp_path / "huge.toml"
    with huge.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(BikeFileTrouble, match="larger than"):
        load_bike_file(huge)
