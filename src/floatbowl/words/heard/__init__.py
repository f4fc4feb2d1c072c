"""A person's words into nouns: openings, behaviours, air, parts, times.

Every reader gives the noun or raises ``NotUnderstoodError`` with the sentence to
show. Units come in here and leave as SI.
"""

from __future__ import annotations

from floatbowl.words.heard.air import air, air_of, height
from floatbowl.words.heard.parts import (
    DRAWER_KINDS,
    DrawerKind,
    changes,
    drawer_file,
    drawer_kind,
    drawer_move,
    groove,
    stamp,
    stamps,
)
from floatbowl.words.heard.plain import lambda_value, number, number_and_unit, rpm, rung, seconds
from floatbowl.words.heard.readings import (
    above_book,
    choke_outcome,
    choke_use,
    hand_outcome,
    place_and_file,
    plug_colour,
    reading,
    touched,
    way,
)
from floatbowl.words.heard.said import OUTCOMES, behaviour, fault, is_file, looked, remark, said
from floatbowl.words.heard.strip import measure, strip, strip_answer

__all__ = [
    "DRAWER_KINDS",
    "OUTCOMES",
    "DrawerKind",
    "above_book",
    "air",
    "air_of",
    "behaviour",
    "changes",
    "choke_outcome",
    "choke_use",
    "drawer_file",
    "drawer_kind",
    "drawer_move",
    "fault",
    "groove",
    "hand_outcome",
    "height",
    "is_file",
    "lambda_value",
    "looked",
    "measure",
    "number",
    "number_and_unit",
    "place_and_file",
    "plug_colour",
    "reading",
    "remark",
    "rpm",
    "rung",
    "said",
    "seconds",
    "stamp",
    "stamps",
    "strip",
    "strip_answer",
    "touched",
    "way",
]
