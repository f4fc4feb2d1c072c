"""Pictures for the terminal: the ladder, the tally of twenty, the card, the tag.

Each takes what words made and gives lines; the paper writes them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from floatbowl.belief.belief import Belief
from floatbowl.bike.rung import RUNGS
from floatbowl.cli.paper import BLANK, Line, Marks, Paper, Span, cells, text_line, width_of, wrapped
from floatbowl.words.bench import Row, trust_words, two_faults_words
from floatbowl.words.card import Card, Tally, suspect_name
from floatbowl.words.names import LETTER, assumed_words

REACH_PCT = 15.0
"""The ladder shows this much short to this much too much."""


# --- the ladder --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Sizes:
    """Columns of the ladder: the say bar, the chart of the twenty, and whether remarks stand beside it."""

    say: int
    chart: int
    has_remarks: bool


_SIZES = (
    (110, _Sizes(say=20, chart=41, has_remarks=True)),
    (76, _Sizes(say=16, chart=31, has_remarks=False)),
    (60, _Sizes(say=9, chart=21, has_remarks=False)),
    (0, _Sizes(say=6, chart=15, has_remarks=False)),
)
_MARGIN = "  "
_LABEL = 5
_GAP = 2
_TWO_COUNTS = 21
"""A chart at least this wide leaves room for two counts beside it."""


def _sizes(width: int) -> _Sizes:
    return next(sizes for least, sizes in _SIZES if width >= least)


def ladder(rows: Sequence[Row], paper: Paper) -> list[Line]:
    """Draw the six rungs: who has the say, the twenty, and the counts; what was said beside or below."""
    sizes = _sizes(paper.width)
    lines = [_ladder_head(sizes)]
    lines += [_rung_line(row, sizes, paper.marks) for row in rows]
    lines += [_axis_line(sizes), _sides_line(sizes)]
    if not sizes.has_remarks:
        lines += _said_below(rows, paper)
    return lines


def two_ladders(pairs: Sequence[tuple[Row, Row]], *, numbers: tuple[int, int], paper: Paper) -> list[Line]:
    """Draw the six rungs of two setups, one above the other at each: the first, and below it the second."""
    sizes = replace(_sizes(paper.width), has_remarks=False)
    first, second = numbers
    told = f"At each opening setup {first} first, and below it setup {second}."
    lines = [
        *(text_line(_MARGIN + line, "faint") for line in wrapped(told, paper.width - 2)),
        _ladder_head(sizes),
    ]
    for one, other in pairs:
        lines += [_rung_line(one, sizes, paper.marks), _rung_line(other, sizes, paper.marks, label="")]
    return [*lines, _axis_line(sizes), _sides_line(sizes)]


def legend(paper: Paper) -> list[Line]:
    """Say what the letters and strokes stand for."""
    parts: list[Line] = [(Span(letter, part), Span(f" {part}")) for part, letter in LETTER.items()]
    amounts = zip(paper.marks.strokes, ("one", "two", "three", "more"), strict=True)
    strokes = [text_line(f"{mark} {amount}") for mark, amount in amounts]
    close: Line = (Span(paper.marks.band, "band"), Span(" close enough"))
    groups = [parts, [text_line("of the twenty:"), *strokes, close]]
    return [BLANK, *(line for group in groups for line in _in_rows(group, paper.width))]


def _in_rows(pieces: Sequence[Line], width: int) -> list[Line]:
    """Set short pieces side by side, in as many rows as it takes."""
    rows: list[Line] = []
    row: Line = ()
    for piece in pieces:
        longer = (*row, Span(_MARGIN), *piece)
        if row and width_of(longer) > width:
            rows.append(row)
            longer = (Span(_MARGIN), *piece)
        row = longer
    return [*rows, row]


def _ladder_head(sizes: _Sizes) -> Line:
    say = "who has the say" if sizes.say >= len("who has the say") else "the say"
    chart = (
        "fuel against what it wants"
        if sizes.chart > len("fuel against what it wants")
        else "fuel against want"
    )
    head = f"{_MARGIN}{'':{_LABEL}}{say:<{sizes.say + _GAP}} {chart}"
    beside = (
        f"{'':<{sizes.chart + 2 - len(chart)}}{'of the twenty':<19}what it did" if sizes.has_remarks else ""
    )
    return text_line(head + beside, "faint")


def _rung_line(row: Row, sizes: _Sizes, marks: Marks, *, label: str | None = None) -> Line:
    say = (*_say_bar(row.say_pct, sizes.say), Span(" " * _GAP)) if sizes.say else ()
    side = marks.sharp[5]
    chart = (Span(side, "faint"), *_twenty(row, sizes.chart, marks), Span(side, "faint"))
    beside = (Span(f"  {'; '.join(row.heard)}"),) if sizes.has_remarks and row.heard else ()
    told = _counts(row, most=2 if sizes.chart >= _TWO_COUNTS else 1)
    counts = f"{told:<17}" if beside else told
    name = row.at.value if label is None else label
    return (Span(f"{_MARGIN}{name:<{_LABEL}}"), *say, *chart, Span(f"  {counts}"), *beside)


def _say_bar(say_pct: tuple[int, ...], width: int) -> Line:
    """Lay the four parts end to end; cut points are rounded, so the bar is always full."""
    spans, done, total = [], 0, 0
    for (part, letter), share in zip(LETTER.items(), say_pct, strict=True):
        total += share
        end = round(width * total / 100)
        spans.append(Span(letter * (end - done), part))
        done = end
    return tuple(spans)


def _counts(row: Row, *, most: int) -> str:
    if row.right_before is not None:
        right = f"{row.right} right" if most > 1 else str(row.right)
        return f"{right}, was {row.right_before}"
    told = ((row.short, "short"), (row.right, "right"), (row.too_much, "much"))
    most_first = sorted((pair for pair in told if pair[0]), key=lambda pair: -pair[0])
    return ", ".join(f"{count} {what}" for count, what in most_first[:most])


def column_of(off_pct: float, width: int) -> int:
    """Give the chart's column for so much fuel short or too much; what lies beyond stands on the edge."""
    step = 2 * REACH_PCT / (width - 1)
    return max(0, min(width - 1, round((off_pct + REACH_PCT) / step)))


def _twenty(row: Row, width: int, marks: Marks) -> Line:
    crowd = Counter(column_of(off, width) for off in row.off_pct)
    low, high = column_of(-row.close_pct, width), column_of(row.close_pct, width)
    beyond = {
        0: any(off < -REACH_PCT for off in row.off_pct),
        width - 1: any(off > REACH_PCT for off in row.off_pct),
    }
    marked = (
        (_chart_mark(column, width, crowd, beyond, marks), low <= column <= high) for column in range(width)
    )
    shaded = ((marks.band if mark == " " and is_in_band else mark, is_in_band) for mark, is_in_band in marked)
    return tuple(
        Span("".join(mark for mark, _ in run), "band" if is_in_band else "")
        for is_in_band, run in groupby(shaded, key=lambda pair: pair[1])
    )


def _chart_mark(column: int, width: int, crowd: Counter[int], beyond: dict[int, bool], marks: Marks) -> str:
    if beyond.get(column):
        return marks.beyond[0 if column == 0 else 1]
    if crowd[column]:
        return marks.strokes[min(crowd[column], len(marks.strokes)) - 1]
    return marks.middle if column == (width - 1) // 2 else " "


def _indent(sizes: _Sizes) -> int:
    return len(_MARGIN) + _LABEL + (sizes.say + _GAP if sizes.say else 0) + 1


def _axis_line(sizes: _Sizes) -> Line:
    line = [" "] * (sizes.chart + 4)
    for value in (-10, 0, 10):
        label = f"{value:+d}" if value else "0"
        start = column_of(value, sizes.chart) - len(label) // 2
        line[start : start + len(label)] = label
    return text_line(" " * _indent(sizes) + "".join(line).rstrip() + " %", "faint")


def _sides_line(sizes: _Sizes) -> Line:
    left, right = ("short of fuel", "too much") if sizes.chart > 25 else ("short", "too much")  # noqa: PLR2004  (room for both)
    return text_line(f"{'':{_indent(sizes)}}{left}{right:>{sizes.chart - len(left)}}", "faint")


def _said_below(rows: Sequence[Row], paper: Paper) -> list[Line]:
    """Say what was said, each thing once with its openings, from shut up."""
    places: dict[str, list[str]] = {}
    for row in reversed(rows):
        for text in row.heard:
            places.setdefault(text, []).append(row.at.value)
    lines: list[Line] = [BLANK] if places else []
    for text, where in places.items():
        everywhere = "at every opening" if len(where) == len(RUNGS) else ", ".join(where)
        told = wrapped(f"{everywhere}: {text}", paper.width - len(_MARGIN))
        lines += [text_line(_MARGIN + line) for line in told]
    return lines


# --- the tally ---------------------------------------------------------------------------------------------


def tally(count: int, marks: Marks, *, of: int = 20) -> str:
    """Draw a count as strokes in fives: solid for those, dotted for the rest."""
    solid, dotted = marks.tally
    strokes = solid * count + dotted * (of - count)
    return " ".join(strokes[i : i + 5] for i in range(0, of, 5))


def tally_lines(odds: Iterable[Tally], paper: Paper, *, width: int) -> list[str]:
    """Give one line for each tally; where it is narrow, the words alone."""
    worded = [f"{one.count:>2} in 20: {one.words}" for one in odds]
    drawn = [f"{tally(one.count, paper.marks)}  {text}" for one, text in zip(odds, worded, strict=True)]
    return drawn if all(cells(line) <= width for line in drawn) else worded


def suspects(belief: Belief, paper: Paper) -> list[Line]:
    """Draw the faults still possible, and the bikes that are only set wrong, as tallies."""
    rows = [Tally(count=one.count, words=suspect_name(one.fault)) for one in belief.suspects if one.count]
    rows.append(Tally(count=belief.sound_count, words="only set wrong, nothing broken"))
    width = paper.width - len(_MARGIN)
    twice = two_faults_words(belief)
    told = [*tally_lines(rows, paper, width=width), *(wrapped(twice, width) if twice else ())]
    return [text_line("Suspects", "head"), *(text_line(_MARGIN + line) for line in told)]


def foot(belief: Belief, paper: Paper) -> list[Line]:
    """Say under the ladder whether the belief may be spoken from, and what it leaned on."""
    trust = trust_words(belief.trust.why) if not belief.trust.is_good else ""
    assumed = assumed_words(belief.leaned_on)
    texts = [trust, f"Assumed, not measured: {assumed}." if assumed else ""]
    return [line for text in texts for line in foot_note(text, paper)]


def foot_note(text: str, paper: Paper) -> list[Line]:
    """Set a text under a picture; nothing where there is none."""
    if not text:
        return []
    return [text_line(_MARGIN + line, "faint") for line in wrapped(text, paper.width - len(_MARGIN))]


# --- cards -------------------------------------------------------------------------------------------------

_LABELS = {"for": "", "against": ""}
_COLUMN = 9
_LAST = ("feel", "then", "also", "back", "not", "buy", "aside", "assumed")


def card_picture(card: Card, *, bike: str, paper: Paper) -> list[Line]:
    """Draw a card: a job has square corners, a look round ones, a stop tag a hole and stripes."""
    width = min(paper.width, 84)
    frame = {"stop": paper.marks.heavy, "look": paper.marks.soft}.get(card.kind, paper.marks.sharp)
    inside = width - 4
    parts = [_head(card, bike, inside), _body(card, paper, inside)]
    cares = [text for label, text in card.lines if label == "care"]
    if cares:
        parts.append(_labelled("care", cares, inside, ink="care"))
    parts.append([text_line(line, "head") for line in wrapped(card.close, inside)])
    top = _tag_top(frame, width, paper.marks) if card.kind == "stop" else [_edge(frame, 0, width)]
    return [*top, *_framed(parts, frame, width), _edge(frame, 2, width)]


def _head(card: Card, bike: str, inside: int) -> list[Line]:
    minutes = f"about {card.minutes} minutes" if card.minutes else ""
    buy = f"to buy first: {card.to_buy}" if card.to_buy else "nothing to buy" if card.kind == "change" else ""
    over = ", ".join(text for text in (bike, card.over, minutes, buy) if text)
    return [
        *(text_line(line, "faint") for line in wrapped(over, inside)),
        *(text_line(line, "head") for line in wrapped(card.head, inside)),
    ]


def _body(card: Card, paper: Paper, inside: int) -> list[Line]:
    before = [(label, text) for label, text in card.lines if label not in (*_LAST, "care")]
    after = [(label, text) for label, text in card.lines if label in _LAST]
    lines = _rows(before, paper.marks, inside)
    drawn = tally_lines(card.odds, paper, width=inside - _COLUMN)
    lines += [_labelled_line("odds" if i == 0 else "", text) for i, text in enumerate(drawn)]
    return lines + _rows(after, paper.marks, inside)


def _rows(pairs: list[tuple[str, str]], marks: Marks, inside: int) -> list[Line]:
    signs = {"for": f"{marks.yes} ", "against": f"{marks.no} "}
    return [
        line
        for label, group in groupby(pairs, key=lambda pair: pair[0])
        for line in _labelled(
            _LABELS.get(label, label), [text for _, text in group], inside, sign=signs.get(label, "")
        )
    ]


def _labelled(label: str, texts: Sequence[str], inside: int, *, sign: str = "", ink: str = "") -> list[Line]:
    """Set texts behind one label, later lines hanging under the first."""
    lines: list[Line] = []
    for text in texts:
        hang = " " * len(sign)
        for i, piece in enumerate(wrapped(text, inside - _COLUMN - len(sign))):
            lines.append(_labelled_line("" if lines else label, f"{hang if i else sign}{piece}", ink=ink))
    return lines


def _labelled_line(label: str, text: str, *, ink: str = "") -> Line:
    return (Span(f"{label:<{_COLUMN}}", ink or "faint"), Span(text))


def _framed(parts: list[list[Line]], frame: str, width: int) -> list[Line]:
    lines: list[Line] = []
    for i, part in enumerate(parts):
        if i:
            lines.append(text_line(frame[6] + frame[4] * (width - 2) + frame[7], "faint"))
        lines += [_in_frame(line, frame, width) for line in part]
    return lines


def _in_frame(line: Line, frame: str, width: int) -> Line:
    room = width - 4 - width_of(line)
    side = Span(frame[5], "faint")
    return (side, Span(" "), *line, Span(" " * (room + 1)), side)


def _edge(frame: str, corner: int, width: int) -> Line:
    return text_line(frame[corner] + frame[4] * (width - 2) + frame[corner + 1], "faint")


def _tag_top(frame: str, width: int, marks: Marks) -> list[Line]:
    """Draw the top of a tag: the hole it hangs by, and stripes."""
    half = (width - 2 - 3) // 2
    across = frame[4] * half + f" {marks.hole} " + frame[4] * (width - 2 - 3 - half)
    return [
        text_line(frame[0] + across + frame[1], "faint"),
        (
            Span(frame[5], "faint"),
            Span((marks.stripe + " ") * ((width - 2) // 2) + " " * (width % 2), "tag"),
            Span(frame[5], "faint"),
        ),
    ]
