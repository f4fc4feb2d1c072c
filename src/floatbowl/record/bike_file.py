"""One bike in one plain text file, hand-written, mailed, compared: from text to nouns.

All that is wrong is told at once, each with its line. What is unknown or
doubtful is kept and reported; only what contradicts itself is refused.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from floatbowl.bike.assume import assume_bike
from floatbowl.bike.bike import Bike
from floatbowl.bike.setup import Setup
from floatbowl.bike.shape import Contradiction, contradictions
from floatbowl.record import fields as f
from floatbowl.record import toml_lines, toml_text
from floatbowl.record.checking import Doubt, Notes, Table, UnknownKey
from floatbowl.record.mends import with_all_since
from floatbowl.record.setup_file import NOT_KNOWN, needle_known, read_needle, read_setup
from floatbowl.record.trial_file import read_day, read_mended, read_reading, read_remark
from floatbowl.record.trouble import BikeFileTrouble, Trouble, tell
from floatbowl.signs.trial import Reading, Remark, Trial

FORM = "floatbowl.bike/1"
UNKNOWN = NOT_KNOWN
"""What is written for a size that has to be told and that nobody knows: it is assumed."""
LONGEST_NAME = 40
LONGEST_WHAT = 200
MOST_HOLES = 6
SAME_SIZE = 0.04
"""How far a swept volume may be from that of bore and stroke: makers round it (judgement)."""
TRIAL_SETUP = f.Number("setup", "number", 1.0, 1.0, 100_000.0, is_whole=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class BikeFile:
    """A bike as its file tells it.

    ``engine``, ``carb`` and ``fuel`` hold what is known, under the names and in
    the units of the file; what is not in them is assumed. ``earlier_setups``
    come before ``setup``, oldest first, and every trial's setup is one of them.
    ``assumed_setup`` names the settings that nobody told.
    """

    name: str
    what: str = ""
    story: frozenset[str] = frozenset()
    engine: Mapping[str, Any]
    carb: Mapping[str, Any]
    fuel: Mapping[str, Any] = field(default_factory=dict)
    setup: Setup
    earlier_setups: tuple[Setup, ...] = ()
    assumed_setup: tuple[str, ...] = ()
    trials: tuple[Trial, ...] = ()
    unknown: tuple[UnknownKey, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    text: str = field(default="", compare=False, repr=False)
    source_name: str = field(default="", compare=False)

    @property
    def bike(self) -> Bike:
        """Give the bike itself, with all that is not known assumed."""
        return bike_of(
            name=self.name,
            what=self.what,
            story=self.story,
            engine=self.engine,
            carb=self.carb,
            fuel=self.fuel,
        )


def load_bike_file(path: Path) -> BikeFile:
    """Read a bike file from disk. Raises ``BikeFileTrouble`` for anything that stands in the way."""
    return read_bike_bytes(toml_text.read_bytes(path, trouble=BikeFileTrouble), source_name=path.name)


def read_bike_bytes(data: bytes, *, source_name: str) -> BikeFile:
    """Read a bike file that came as bytes, from disk or by mail."""
    text = toml_text.text_of(data, source_name=source_name, trouble=BikeFileTrouble)
    return read_bike_file(text, source_name=source_name)


def read_bike_file(text: str, *, source_name: str) -> BikeFile:
    """Read a bike file. Raises ``BikeFileTrouble`` with everything that is wrong, each with its line.

    >>> text = '''
    ... name = "Magpie"
    ... engine = { strokes = 4, swept_cc = 124.1 }
    ... carb = { bore_mm = 26.0 }
    ... setup = { main = "110", clip_from_top = 7 }
    ... '''
    >>> read_bike_file(text, source_name="magpie.toml")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    floatbowl.record.trouble.BikeFileTrouble: Line 5 of magpie.toml: clip_from_top is 7, but this needle ...
    """
    written = toml_text.parse(text, source_name=source_name, trouble=BikeFileTrouble)
    notes = Notes(written.lines)
    whole = Table(written.data, path=(), notes=notes)
    told = _read_whole(whole)
    whole.report_unknown()
    if notes.troubles:
        raise BikeFileTrouble(notes.troubles, source_name=source_name)
    return BikeFile(
        **told,
        unknown=tuple(notes.unknown),
        doubts=tuple(notes.doubts),
        text=written.text,
        source_name=source_name,
    )


def bike_of(  # noqa: PLR0913  (the sections of a bike file, one each)
    *,
    name: str,
    what: str,
    story: frozenset[str],
    engine: Mapping[str, Any],
    carb: Mapping[str, Any],
    fuel: Mapping[str, Any],
) -> Bike:
    """Make the bike out of the facts of its file; what is not known is assumed."""
    return assume_bike(
        name=name,
        what=what,
        story=story,
        engine=_engine_known(engine),
        carb=_carb_known(carb),
        fuel=f.in_si((f.ETHANOL, f.OIL_RATIO), fuel),
    )


# --- the whole ---------------------------------------------------------------------------------------------


def _read_whole(whole: Table) -> dict[str, Any]:
    """Read everything and give the fields of ``BikeFile``; with troubles noted they are not to be used."""
    whole.check_form(FORM)
    parts = {
        "name": _bike_name(whole),
        "what": whole.text("what", longest=LONGEST_WHAT) or "",
        "story": _story(whole),
        "engine": _engine(whole.table("engine")),
        "carb": _carb(whole.table("carb")),
        "fuel": _fuel(whole.table("fuel")),
    }
    tables = [*whole.tables("earlier_setup"), whole.table("setup")]
    bike = bike_of(**_with_stand_ins(parts))
    read = [read_setup(table, bike=bike, number=count) for count, table in enumerate(tables, start=1)]
    setups = [setup for setup, _ in read]
    _check_numbers(setups, tables)
    for setup, table in zip(setups, tables, strict=True):
        _check_shape(bike, setup, table, is_whole="bore_mm" in parts["carb"])
    return {
        **parts,
        "setup": setups[-1],
        "earlier_setups": tuple(setups[:-1]),
        "assumed_setup": read[-1][1],
        "trials": with_all_since(_read_trials(whole.tables("trial"), setups)),
    }


def _with_stand_ins(parts: Mapping[str, Any]) -> dict[str, Any]:
    """Put something where the strokes are missing, so that the rest of the file can still be checked."""
    return {**parts, "engine": {"strokes": 4, **parts["engine"]}}


def _bike_name(whole: Table) -> str:
    name = whole.text("name", longest=LONGEST_NAME)
    if not name and not (name is None and "name" in whole):
        whole.trouble("name", "the bike has no name", 'Write name = "Magpie" at the top')
    return name or NOT_KNOWN


def _story(whole: Table) -> frozenset[str]:
    told = whole.items("story")
    for place, item in enumerate(told):
        if not isinstance(item, str) or item not in f.STORIES:
            path = ("story", place)
            near = difflib.get_close_matches(str(item), f.STORIES, n=1) if isinstance(item, str) else []
            whole.notes.unknown.append(
                UnknownKey(
                    line=whole.notes.line(path),
                    key=f"story {toml_text.shown(item)}",
                    value="",
                    near="".join(near),
                )
            )
    return frozenset(item for item in told if isinstance(item, str) and item in f.STORIES)


# --- engine, carburettor, fuel -----------------------------------------------------------------------------


def _engine(table: Table) -> dict[str, Any]:
    strokes = _strokes(table)
    numbers = (*f.ENGINE_NUMBERS, f.COMPRESSION[strokes or 4])
    facts: dict[str, Any] = {"strokes": strokes}
    facts |= {size.key: _size(table, size) for size in (f.SWEPT, f.CYLINDER_BORE, f.STROKE)}
    facts |= {number.key: table.number(number) for number in (*numbers, f.ROD)}
    facts["inlet"] = table.choice(f.Choice("inlet", "inlet", f.INLETS[strokes or 4]))
    facts["cooling"] = table.choice(f.COOLING)
    facts |= {key: table.text(key) for key in f.ENGINE_TEXTS}
    _check_size(table, facts)
    table.report_unknown()
    return _told(facts)


def _strokes(table: Table) -> int | None:
    strokes = table.get("strokes")
    if isinstance(strokes, int) and strokes in {2, 4}:
        return strokes
    what = f"strokes is {toml_text.shown(strokes)}" if "strokes" in table else "[engine] does not say strokes"
    table.trouble("strokes", what, "Write strokes = 4 or strokes = 2")
    return None


def _size(table: Table, size: f.Number) -> float | None:
    """Read a size that has to be told; a question mark tells that nobody knows it."""
    return None if table.get(size.key) == UNKNOWN else table.number(size, needed=True)


def _check_size(table: Table, facts: Mapping[str, Any]) -> None:
    """See that the engine has one size, and only one."""
    swept, bore, stroke = (facts[size.key] for size in (f.SWEPT, f.CYLINDER_BORE, f.STROKE))
    written = [key for key in (f.SWEPT.key, f.CYLINDER_BORE.key, f.STROKE.key) if key in table]
    if f.SWEPT.key not in written and len(written) < 2:  # noqa: PLR2004  (bore and stroke)
        what = "[engine] does not say how large it is"
        table.trouble(f.SWEPT.key, what, "Write swept_cc, or bore_mm and stroke_mm")
    if swept and bore and stroke:
        worked_out = _swept_cc(bore, stroke)
        if not math.isclose(swept, worked_out, rel_tol=SAME_SIZE):
            what = f"swept_cc is {swept:g}, but bore {bore:g} and stroke {stroke:g} make {worked_out:.1f}"
            table.trouble(f.SWEPT.key, what, "Measure again, or leave out the one you are not sure of")


def _swept_cc(bore_mm: float, stroke_mm: float) -> float:
    return math.pi / 4.0 * bore_mm**2 * stroke_mm / 1000.0


def _engine_known(facts: Mapping[str, Any]) -> dict[str, Any]:
    """Give what is known of an engine in SI, as ``assume_engine`` takes it."""
    strokes = facts["strokes"]
    known: dict[str, Any] = {
        key: facts[key] for key in ("strokes", "inlet", "cooling", *f.ENGINE_TEXTS) if key in facts
    }
    known |= f.in_si((*f.ENGINE_NUMBERS, f.COMPRESSION[strokes], f.SWEPT), facts)
    bore, stroke, rod = (facts.get(size.key) for size in (f.CYLINDER_BORE, f.STROKE, f.ROD))
    if bore and stroke:
        known["stroke_to_bore"] = stroke / bore
        known.setdefault("swept_volume", _swept_cc(bore, stroke) * f.SWEPT.unit)
    if rod and stroke:
        known["rod_to_stroke"] = rod / stroke
    return known


def _carb(table: Table) -> dict[str, Any]:
    facts: dict[str, Any] = {f.CARB_BORE.key: _size(table, f.CARB_BORE)}
    if f.CARB_BORE.key not in table:
        table.trouble(
            f.CARB_BORE.key,
            "[carb] does not say bore_mm, the only measure we insist on",
            'Write bore_mm = 26.0, or "?" if you do not know it',
        )
    facts |= {number.key: table.number(number) for number in f.CARB_NUMBERS}
    facts |= {choice.key: table.choice(choice) for choice in f.CARB_CHOICES}
    facts["needle"] = read_needle(table.table("needle")) or None
    facts["bypass"] = _bypass(table) if "bypass" in table else None
    table.report_unknown()
    return _told(facts)


def _bypass(table: Table) -> list[dict[str, float]]:
    holes = table.tables("bypass")
    if len(holes) > MOST_HOLES:
        table.trouble("bypass", f"bypass has {len(holes)} holes", f"Write at most {MOST_HOLES}")
    return [hole for hole in (_hole(one) for one in holes[:MOST_HOLES]) if hole]


def _hole(table: Table) -> dict[str, float] | None:
    sizes = (f.HOLE_ACROSS, f.HOLE_UNCOVERED)
    for size in sizes:
        if size.key not in table:
            table.trouble(
                size.key, f"this bypass hole has no {size.key}", f"Write {size.key} as a plain number"
            )
    facts = {size.key: table.number(size, needed=True) for size in sizes}
    table.report_unknown()
    known = _told(facts)
    return known if len(known) == len(sizes) else None


def _carb_known(facts: Mapping[str, Any]) -> dict[str, Any]:
    """Give what is known of a carburettor in SI, as ``assume_carb`` takes it."""
    known: dict[str, Any] = {
        choice.into: facts[choice.key] for choice in f.CARB_CHOICES if choice.key in facts
    }
    known |= f.in_si((f.CARB_BORE, *f.CARB_NUMBERS), facts)
    if "needle" in facts:
        known["needle"] = needle_known(facts["needle"])
    if "bypass" in facts:
        known["bypass"] = [
            (hole[f.HOLE_ACROSS.key] * f.HOLE_ACROSS.unit, hole[f.HOLE_UNCOVERED.key] * f.HOLE_UNCOVERED.unit)
            for hole in facts["bypass"]
        ]
    return known


def _fuel(table: Table) -> dict[str, Any]:
    facts = {number.key: table.number(number) for number in (f.ETHANOL, f.OIL_RATIO)}
    table.report_unknown()
    return _told(facts)


def _told(facts: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in facts.items() if value is not None}


# --- setups and trials -------------------------------------------------------------------------------------


def _check_numbers(setups: Sequence[Setup], tables: Sequence[Table]) -> None:
    seen: set[int] = set()
    for setup, table in zip(setups, tables, strict=True):
        if setup.number in seen:
            table.trouble(
                "number",
                f"two setups have the number {setup.number}",
                "Give each its own, in the order they were fitted",
            )
        seen.add(setup.number)


def _check_shape(bike: Bike, setup: Setup, table: Table, *, is_whole: bool) -> None:
    """Refuse measures that contradict each other; without the bore only the grooves can be counted."""
    for contradiction in contradictions(bike, setup):
        if is_whole or contradiction.key == "no such groove":
            what, do = tell(contradiction)
            table.notes.troubles.append(Trouble(_line_of(contradiction, table), what, do))


def _line_of(contradiction: Contradiction, setup: Table) -> int | None:
    """Find the line of the first measure involved that was written at all."""
    paths = (_path_of(name, setup.path) for name in contradiction.fields)
    lines = (setup.notes.lines.get(path) for path in paths)
    return next((line for line in lines if line is not None), None)


def _path_of(name: str, setup: toml_lines.Path) -> toml_lines.Path:
    """Give the place in the file of a noun's measure, ``carb.bypass[1].diameter`` and the like."""
    first, *inner, last = (part.split("[")[0] for part in name.split("."))
    path: toml_lines.Path = (*setup, *inner) if first == "setup" else (first, *inner)
    count = name.partition("[")[2].partition("]")[0]
    if count:
        path = (*path, int(count) - 1)
    return (*path, _KEY_OF.get((*inner, last), last))


_KEY_OF: dict[tuple[str, ...], str] = {
    **{(number.into,): number.key for number in (f.CARB_BORE, *f.CARB_NUMBERS)},
    **{("needle", number.into): number.key for number in f.NEEDLE_NUMBERS},
    **{("bypass", number.into): number.key for number in (f.HOLE_ACROSS, f.HOLE_UNCOVERED)},
}


def _read_trials(tables: Sequence[Table], setups: Sequence[Setup]) -> list[Trial]:
    names = _Names()
    return [_read_trial(table, setups, names) for table in tables]


class _Names:
    """Names for entries that have none, in the order of the file: ``ride-1``, ``reading-1``."""

    def __init__(self) -> None:
        self._counts = {"ride": 0, "reading": 0}
        self._taken: set[str] = set()

    def next(self, kind: str) -> str:
        """Give the name that the next entry of this kind gets by its place."""
        self._counts[kind] += 1
        return f"{kind}-{self._counts[kind]}"

    def take(self, entry: str, table: Table) -> None:
        """Note a name as used; two entries of one name are trouble."""
        if entry in self._taken:
            table.trouble(
                "entry", f"two entries are called {entry}", "Leave entry out, or give one another number"
            )
        self._taken.add(entry)


def _read_trial(table: Table, setups: Sequence[Setup], names: _Names) -> Trial:
    """Read one trial, with what was mended right after it."""
    day = read_day(table)
    setup = _trial_setup(table, setups)
    remarks = [_read_remark(one, names) for one in table.tables("said")]
    readings = [_read_reading(one, names) for one in table.tables("readings")]
    mended = read_mended(table)
    table.report_unknown()
    return Trial(
        setup=setup,
        day=day,
        remarks=tuple(remark for remark in remarks if remark),
        readings=tuple(reading for reading in readings if reading),
        mended=mended,
    )


def _trial_setup(table: Table, setups: Sequence[Setup]) -> Setup:
    """Give the setup a trial was ridden with: the one it names by number, else the one fitted now."""
    number = table.number(TRIAL_SETUP, needed=True)
    if number is None:
        return setups[-1]
    for setup in setups:
        if setup.number == number:
            return setup
    known = ", ".join(str(setup.number) for setup in setups)
    table.trouble("setup", f"there is no setup {number:g} in this file", f"Write one of {known}")
    return setups[-1]


def _read_remark(table: Table, names: _Names) -> Remark | None:
    remark = read_remark(table, entry=names.next("ride"))
    table.report_unknown()
    if remark is not None:
        names.take(remark.entry, table)
    return remark


def _read_reading(table: Table, names: _Names) -> Reading | None:
    reading = read_reading(table, entry=names.next("reading"))
    table.report_unknown()
    if reading is not None:
        names.take(reading.entry, table)
    return reading
