# ruff: noqa: E501  (each sentence stands on one line, as it will be read)
"""What the pages say on which things are written down: what was left out, what is still empty, what a form is about."""

from __future__ import annotations

from floatbowl.words.care import care_lines

# --- left out ----------------------------------------------------------------------------------------------

SAY_WHERE = 'Say where on the throttle it did that. Where nobody knows, tap "Not known".'
SAY_WHAT = "Say what it did."
SAY_OPENING = "Say at which opening."
SAY_VALUE = "Say what came out."
ONE_RUN = "Write down at least one run."
ALL_GASES = "All four gases are needed, in per cent and ppm."
TWO_PLACES = "Write down two places of the screw or more, each with its idle speed."
NOTHING_MEASURED = "Nothing was measured. Write a number into the field first."
STAMP_FIRST = "Write what is stamped on the part first."
NO_AIR_TYPED = "Nothing was written. Type at least one of them; what you leave empty is assumed."
NO_SUCH_ENTRY = "That entry has no number. Nothing was changed."
NOT_ITS_ENTRY = "That entry is not one of this bike. Nothing was changed."
NAME_FIRST = "Give it a name, so that it can be found again."
NO_FILE = "No file was chosen. Choose a bike file, then send it."
NO_SOUND = "No recording was chosen. Choose one, then send it."
NO_LOG = "No log was chosen. Choose one, then send it."
TWO_OR_FOUR = "Say two-stroke or four-stroke."


def name_too_long(most: int) -> str:
    """Say how long a name may be."""
    return f"Give it a name of at most {most} letters, in one line."


def name_taken(name: str) -> str:
    """Say that a bike of that name stands here."""
    return f"A bike called {name} stands here already. Give this one another name."


# --- empty -------------------------------------------------------------------------------------------------

NOTHING_SAID = "Nothing happened yet. Ride, then tap what it did."
NOTHING_LOGGED = "Nothing happened yet."
NO_SETUP_BEFORE = "Nothing else was fitted since it came in."
EMPTY_DRAWER = (
    "Nothing is in the drawer yet. Until then advice is given in directions, and as a list of what to buy."
)
NO_PLACE = "No place is known yet. Write one down with its height."
SHEET_DONE = "Every part was looked at"
TAP_A_READING = "Tap what you measured. One reading tells more than ten remarks."

# --- what it is about --------------------------------------------------------------------------------------

NOT_ERASED = "Nothing is erased: what is struck out stays here and can be brought back."
DRAWER_RULE = "A bike is only ever advised parts that lie here, or that are said to be bought. Tap a part that is gone to take it out."
NEEDLES_FROM_FILE = "A needle comes with its shape, from a garage file."
AIR_MAY_BE_EMPTY = "Each may stay empty; then it is assumed from the height and a mild day."
AT_THE_DOOR = "As a barometer there reads it; not the forecast's figure for the sea."
THIS_SETUP_COUNTS = "Only what was ridden and measured with this setup counts, since the last mend."
COPIES_THERE = (
    "Copies are made, and their folder is set, at the machine that keeps the garage: in a browser that is open "
    "there at http://localhost, or with floatbowl backup. One of each day is made by itself."
)
AT_THE_MACHINE = f"That is done at the machine itself. {COPIES_THERE} Nothing was changed."
COPY_OF_ALL = "One file with every bike, entry and place in it. Nothing that lies there is written over."
INK_AND_PENCIL = (
    "What you answered is inked. What nobody told us is assumed, and stays in pencil until it is measured."
)
RIDE_IT = "Ride it, then say what it did."
AS_STAMPED = "Write stamps as they are stamped; ? where nobody can read it."
IN_ONE_LINE = "As in the command: 1/4 bogs snap. Or: half surges steady cold once."

# --- from a file -------------------------------------------------------------------------------------------

HOW_TO_RECORD = "Warm, at idle, the phone an arm's length from the pipe, out of the wind: ten seconds with the phone's own recorder, with a blip of the throttle in it if you like."
CARE_AT_IDLE = care_lines(("running indoors", "hot pipe"))
HOW_TO_LOG = "Any table in plain text. First we say what we take its columns for; nothing is written down before you agree."
IS_THAT_RIGHT = "This is how we read its columns. Is that right? Choose the file again and read it so, or put the columns right first."
COLUMNS_HINT = "Empty the first time. Then as time=1,lambda=4,throttle=3, counted from the left from 1."
HELD_HINT = "Only where it logs no throttle: 1/4=35-60 says that 1/4 was held from second 35 to 60."
NOTHING_WRITTEN = "Nothing was written down: only an idle is a reading by itself."


def without_options(text: str) -> str:
    """Take the dashes of a command's options out of a sentence: on a page they are fields.

    >>> without_options("Name its column: --columns lambda=4.")
    'Name its column: lambda=4.'
    """
    return text.replace("--columns ", "").replace("--held ", "")


# --- a card taken in ---------------------------------------------------------------------------------------

CARD_HEAD = "Or take in a setup card"
CARD_LABEL = "The text of a card"
CARD_HINT = (
    "Paste what a phone reads from the card's code, or type it. It is fitted to the bike of that name."
)
