"""The jobs a mechanic comes in for, a file for each kind of work; its names read like a price list.

Each fetches facts from the record, thinks, and hands back frozen nouns. The clock
and the dice come in from here and from nowhere else: ``now`` is an aware
``datetime``, and the dice of a bike are thrown from its own measures, so that the
same record always gives the same belief, and a likely bike does not jump when
nothing new was said.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from floatbowl.jobs.airs import air
from floatbowl.jobs.demo import DEMO_NOW, open_demo, reopen_demo
from floatbowl.jobs.garage import Garage, open_garage
from floatbowl.jobs.handing_over import hand_over_of, keep_film, wall_chart, wall_chart_of
from floatbowl.jobs.keeping import NEEDED, examine, repair
from floatbowl.jobs.listening import Listened, shades_of, time_by_ear
from floatbowl.jobs.logs import LogCame, LogGuess, put_right, read_log
from floatbowl.jobs.nouns import (
    BareStand,
    Facts,
    HandOver,
    NotesTaken,
    NothingAskedError,
    NotOnAStandError,
    NotThereError,
    Proof,
    Sides,
    Stand,
    StripCard,
    TakeAlong,
    TooLittleKnownError,
    WallChart,
    missing_checks,
)
from floatbowl.jobs.roll_ons import RollOnPair, RollOnsHeld, time_runs
from floatbowl.jobs.standing import bike_on_paper, check_bike_file
from floatbowl.jobs.take_along import take_along, take_along_of
from floatbowl.jobs.thinking import (
    carry_thought,
    dice_of,
    lay_out_day,
    lay_side_by_side,
    narrows_most,
    proof_of,
    think,
    try_on_paper,
    warm_up,
)
from floatbowl.record.bike_file import BikeFile
from floatbowl.record.card_text import is_card
from floatbowl.record.day_file import DayFile, load_day_file
from floatbowl.record.first_run import FirstAnswers
from floatbowl.record.log import LogLine
from floatbowl.record.notes_text import is_notes
from floatbowl.record.settings import Settings
from floatbowl.record.trouble import EntryTrouble, RecordTrouble, UnknownBike

if TYPE_CHECKING:
    from floatbowl.advice.carry import Carried as Carried
    from floatbowl.advice.day_sheet import DaySheet as DaySheet
    from floatbowl.advice.dry_fit import DryFit as DryFit

__all__ = [
    "DEMO_NOW",
    "NEEDED",
    "BareStand",
    "BikeFile",
    "DayFile",
    "EntryTrouble",
    "Facts",
    "FirstAnswers",
    "Garage",
    "HandOver",
    "Listened",
    "LogCame",
    "LogGuess",
    "LogLine",
    "NotOnAStandError",
    "NotThereError",
    "NotesTaken",
    "NothingAskedError",
    "Proof",
    "RecordTrouble",
    "RollOnPair",
    "RollOnsHeld",
    "Settings",
    "Sides",
    "Stand",
    "StripCard",
    "TakeAlong",
    "TooLittleKnownError",
    "UnknownBike",
    "WallChart",
    "air",
    "bike_on_paper",
    "carry_thought",
    "check_bike_file",
    "dice_of",
    "examine",
    "hand_over_of",
    "is_card",
    "is_notes",
    "keep_film",
    "lay_out_day",
    "lay_side_by_side",
    "load_day_file",
    "missing_checks",
    "narrows_most",
    "open_demo",
    "open_garage",
    "proof_of",
    "put_right",
    "read_log",
    "reopen_demo",
    "repair",
    "shades_of",
    "take_along",
    "take_along_of",
    "think",
    "time_by_ear",
    "time_runs",
    "try_on_paper",
    "wall_chart",
    "wall_chart_of",
    "warm_up",
]
