"""A day ahead as one chart: hours across, thickness of the air up, swap lines, a thermometer beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from floatbowl.advice.air_way import warmth_at
from floatbowl.advice.day_sheet import DaySheet, HourAhead
from floatbowl.advice.swaps import Band, SwapLine
from floatbowl.bike.hour import clock
from floatbowl.draw.heights import spread
from floatbowl.draw.marks import box, line, path, text
from floatbowl.draw.svg import Svg, element, line_path, picture, plain
from floatbowl.flow.air import density
from floatbowl.units import FREEZING
from floatbowl.words.heights import AIR_SIDE, DAY_TITLE, WARM_SIDE, counted, day_told, line_label

STYLE = (
    ".day-frame{fill:var(--card);stroke:var(--ink);stroke-width:calc(1.2px*var(--thick))}"
    ".day-tick{fill:none;stroke:var(--ink);stroke-width:calc(1px*var(--thick))}"
    ".day-hour{fill:none;stroke:var(--rule);stroke-width:1px}"
    ".day-twenty{fill:none;stroke:var(--pencil);stroke-width:calc(1px*var(--thick));opacity:.8;"
    "stroke-linejoin:round}"
    ".day-middle{fill:var(--ink);stroke:var(--card);stroke-width:1.5px}"
    ".day-swap{fill:none;stroke:var(--main-line);stroke-width:calc(2.6px*var(--thick))}"
    ".day-also{fill:none;stroke-width:calc(1.6px*var(--thick));stroke-dasharray:8 4}"
    ".day-pilot,.day-screw{stroke:var(--pilot-line);stroke-dasharray:2 4}.day-clip{stroke:var(--needle-line)}"
    ".day-tube{fill:var(--paper);stroke:var(--ink);stroke-width:calc(1.2px*var(--thick))}"
    ".day-bulb{fill:var(--position);stroke:var(--ink);stroke-width:calc(1.2px*var(--thick))}"
)

WIDE, _HIGH = 360.0, 380.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 50.0, 300.0, 30.0, 330.0
_TUBE = 314.0
_INSET = 26.0
"""From the frame to the first and to the last hour."""
_STEP = 0.02
"""Thickness between two ticks, kg/m3."""
_REACH = 0.03
"""A swap line that far beyond the twenty is still shown, kg/m3."""
_DEGREES = 5
_APART = 19.0


def day_chart(sheet: DaySheet) -> Svg:
    """Draw the day: twenty likely lines of air, the mains between their swap lines, other parts dashed."""
    scale = _Scale.of(sheet)
    shown = [one for one in sheet.lines if scale.low < one.thickness.value < scale.high]
    return picture(
        box(_LEFT, _TOP, _RIGHT - _LEFT, _BOTTOM - _TOP, class_="day-frame"),
        *(_hour(ahead, scale) for ahead in sheet.hours),
        *(_swap(one, scale) for one in shown),
        *_twenty(sheet, scale),
        *(_middle(ahead, scale) for ahead in sheet.hours),
        *_mains([band for band in sheet.bands if band.part == "main"], scale),
        *_also([one for one in shown if one.part != "main"], scale),
        *_axis(scale),
        *_thermometer(sheet, scale),
        view=(0, 0, WIDE, _HIGH),
        title=DAY_TITLE,
        described=day_told(sheet),
        class_="day-picture mk-narrow",
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    """The stretch of thickness, kg/m3, and of the day, minutes, that the chart shows."""

    low: float
    high: float
    first: int
    last: int

    @classmethod
    def of(cls, sheet: DaySheet) -> _Scale:
        low = min(float(ahead.twenty.min()) for ahead in sheet.hours)
        high = max(float(ahead.twenty.max()) for ahead in sheet.hours)
        near = [
            one.thickness.value
            for one in sheet.lines
            if one.part == "main" and low - _REACH < one.thickness.value < high + _REACH
        ]
        low, high = min([low, *near]), max([high, *near])
        minutes = [ahead.hour.minute for ahead in sheet.hours]
        return cls(
            low=math.floor(low / _STEP - 0.5) * _STEP,
            high=math.ceil(high / _STEP + 0.5) * _STEP,
            first=min(minutes),
            last=max(minutes),
        )

    def x(self, minute: int) -> float:
        """Give where an hour stands; a single hour stands in the middle."""
        if self.first == self.last:
            return (_LEFT + _RIGHT) / 2
        share = (minute - self.first) / (self.last - self.first)
        return _LEFT + _INSET + share * (_RIGHT - _LEFT - 2 * _INSET)

    def y(self, thick: float) -> float:
        """Give where a thickness stands: thick air above."""
        return _BOTTOM - (thick - self.low) / (self.high - self.low) * (_BOTTOM - _TOP)


def _hour(ahead: HourAhead, scale: _Scale) -> Svg:
    x = scale.x(ahead.hour.minute)
    drawn = [
        line((x, _TOP), (x, _BOTTOM), class_="day-hour"),
        text(x, _BOTTOM + 22, clock(ahead.hour.minute), anchor="middle", class_="mk-strong"),
    ]
    if "main" in ahead.best:
        drawn.append(
            text(
                x, _BOTTOM + 42, counted(ahead.mains, ahead.best["main"]), anchor="middle", class_="mk-pencil"
            )
        )
    return element("g", *drawn)


def _twenty(sheet: DaySheet, scale: _Scale) -> list[Svg]:
    """Draw the air of twenty likely days, each through all hours; a single hour is short strokes."""
    if len(sheet.hours) == 1:
        x = scale.x(sheet.hours[0].hour.minute)
        strokes = "".join(f"M{plain(x - 9)} {plain(scale.y(float(t)))}h18" for t in sheet.hours[0].twenty)
        return [path(strokes, class_="day-twenty")]
    days = zip(*(ahead.twenty for ahead in sheet.hours), strict=True)
    xs = [scale.x(ahead.hour.minute) for ahead in sheet.hours]
    return [
        path(line_path([(x, scale.y(float(t))) for x, t in zip(xs, day, strict=True)]), class_="day-twenty")
        for day in days
    ]


def _middle(ahead: HourAhead, scale: _Scale) -> Svg:
    return element(
        "circle", cx=scale.x(ahead.hour.minute), cy=scale.y(ahead.thickness), r=5, class_="day-middle"
    )


def _swap(one: SwapLine, scale: _Scale) -> Svg:
    y = scale.y(one.thickness.value)
    class_ = "day-swap" if one.part == "main" else f"day-also day-{one.part}"
    end = _TUBE - 5 if one.part == "main" else _RIGHT
    return line((_LEFT, y), (end, y), class_=class_)


def _mains(bands: list[Band], scale: _Scale) -> list[Svg]:
    """Name the main between two lines, where there is room for its name."""
    named = []
    for band in bands:
        top, foot = (scale.y(min(max(end, scale.low), scale.high)) for end in (band.thick, band.thin))
        if foot - top >= _APART:
            label = line_label("main", band.stamp)
            named.append(text(_LEFT + 6, (top + foot) / 2 + 6, label, class_="mk-halo mk-strong"))
    return named


def _also(lines: list[SwapLine], scale: _Scale) -> list[Svg]:
    """Name what is the better bet above each of the other lines."""
    order = sorted(lines, key=lambda one: -one.thickness.value)
    feet = spread(
        [scale.y(one.thickness.value) - 4 for one in order], apart=_APART, low=_TOP + 16, high=_BOTTOM - 4
    )
    return [
        text(_RIGHT - 5, y, line_label(one.part, one.thick), anchor="end", class_="mk-halo mk-pencil")
        for one, y in zip(order, feet, strict=True)
    ]


def _axis(scale: _Scale) -> list[Svg]:
    count = round((scale.high - scale.low) / _STEP)
    every = 1 + count // 8
    drawn = [text(0, _TOP - 12, AIR_SIDE, class_="mk-pencil")]
    for k in range(0, count + 1, every):
        thick = scale.low + k * _STEP
        y = scale.y(thick)
        drawn.append(line((_LEFT - 6, y), (_LEFT, y), class_="day-tick"))
        drawn.append(text(_LEFT - 10, y + 6, f"{thick:.2f}", anchor="end"))
    return drawn


def _thermometer(sheet: DaySheet, scale: _Scale) -> list[Svg]:
    """Draw the thermometer at the day's middle pressure: what it has to read for air of that thickness."""
    warm, cold = (
        warmth_at(thick, pressure=sheet.pressure, humidity=sheet.humidity) - FREEZING
        for thick in (scale.low, scale.high)
    )
    drawn = [
        text(WIDE, _TOP - 12, WARM_SIDE, anchor="end", class_="mk-pencil"),
        element(
            "rect", x=_TUBE - 5, y=_TOP - 6, width=10, height=_BOTTOM - _TOP + 10, rx=5, class_="day-tube"
        ),
        element("circle", cx=_TUBE, cy=_BOTTOM + 10, r=9, class_="day-bulb"),
    ]
    step = _DEGREES if warm - cold < 8 * _DEGREES else 2 * _DEGREES
    for degrees in range(math.ceil(cold / step) * step, math.floor(warm) + 1, step):
        y = scale.y(float(density(sheet.pressure, temperature=FREEZING + degrees, humidity=sheet.humidity)))
        drawn.append(line((_TUBE + 5, y), (_TUBE + 11, y), class_="day-tick"))
        drawn.append(text(WIDE, y + 6, f"{degrees}".replace("-", "\N{MINUS SIGN}"), anchor="end"))
    return drawn
