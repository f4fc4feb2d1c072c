"""What a look or a test is, as a small line drawing: the thing in ink, what to do or to see in colour.

They stand beside the words and add nothing to them; hide them from screen readers.
"""

from __future__ import annotations

from typing import Literal

from floatbowl.draw.marks import path
from floatbowl.draw.svg import Svg, picture
from floatbowl.words.suspects import SUSPECTS, look_for

STYLE = (
    ".look-thing,.look-thin,.look-hand{fill:none;stroke:var(--ink);stroke-linecap:round;stroke-linejoin:round;"
    "stroke-width:calc(2px*var(--thick))}"
    ".look-thin{stroke:var(--pencil);stroke-width:calc(1.3px*var(--thick))}"
    ".look-hand{stroke:var(--position);stroke-width:calc(2.2px*var(--thick))}"
    ".look-fuel{fill:var(--fuel);stroke:none}.look-steel{fill:var(--steel);stroke:none}"
    ".look-brass{fill:var(--brass);stroke:none}.look-solid{fill:var(--ink);stroke:none}"
)

WIDE, TALL = 120.0, 84.0

Ink = Literal["thing", "thin", "hand", "fuel", "steel", "brass", "solid"]
Stroke = tuple[Ink, str]

_DOWN, _UP = "l-5-6m5 6l5-6", "l-5 6m5-6l5 6"
_RIGHT, _LEFT = "l-6-5m6 5l-6 5", "l6-5m-6 5l6 5"
_RAYS = "M60 4v8M42 8l4 7M78 8l-4 7"
_JET = "M50 22H70V44H76V66H44V44H50Z"
_HAND = (
    "M20 80V56L8 40q-3-6 2-8t9 3l6 8V15q0-4.5 4.5-4.5t4.5 4.5V36V9q0-4.5 4.5-4.5t4.5 4.5V36V12"
    "q0-4.5 4.5-4.5t4.5 4.5V38V20q0-4.5 4-4.5t4 4.5V56q0 10-7 14V80"
)
_SPANNER = "M52 8V22L60 27L68 22V8q9 4 9 14q0 9-10 13V62a7.5 7.5 0 1 1-14 0V35q-10-4-10-13q0-10 9-14Z"
_BOWL = "M20 20V54Q20 64 30 64H70Q80 64 80 54V20M12 20H88"
_BOWL_FUEL = "M21 34H79V54Q79 63 70 63H30Q21 63 21 54Z"

DRAWINGS: dict[str, tuple[Stroke, ...]] = {
    "joint": (
        ("steel", "M44 26q6 4 12 0t12 0t12 0V58q-6-4-12 0t-12 0t-12 0Z"),
        ("thing", "M6 30H36V22H44V62H36V54H6M114 30H88V22H80V62H88V54H114"),
        ("thing", "M44 26q6 4 12 0t12 0t12 0M44 58q6-4 12 0t12 0t12 0"),
        (
            "hand",
            "M50 17a4 4 0 1 0 .1 0M60 8a5.5 5.5 0 1 0 .1 0M71 14a3.5 3.5 0 1 0 .1 0M64 22a2 2 0 1 0 .1 0",
        ),
    ),
    "crankcase": (
        ("steel", "M60 24a28 28 0 1 1-.1 0"),
        ("thing", "M60 24a28 28 0 1 1-.1 0M60 42a10 10 0 1 1-.1 0M32 52H14M88 52h18"),
        ("thin", "M60 37a15 15 0 1 1-.1 0"),
        ("hand", f"M60 2V18{_DOWN}M14 52h-8M106 52h8"),
    ),
    "jet": (
        ("brass", _JET),
        ("thing", f"{_JET}M57 22V66M63 22V66"),
        ("hand", f"{_RAYS}M60 72v8M47 70l-4 7M73 70l4 7"),
    ),
    "passage": (
        ("steel", "M8 40H92V72H8Z"),
        ("thing", "M8 40H92V72H8ZM60 40V56H92M70 40V56"),
        ("hand", f"M114 56H98{_LEFT}M60 34V10{_UP}M70 34V18{_UP}"),
    ),
    "hose": (
        ("fuel", _BOWL_FUEL),
        ("thing", _BOWL),
        ("thing", "M50 64v10q0 6 6 6H92q8 0 8-8V12M94 12V70q0 4-4 4H58V64"),
        ("fuel", "M95 34h4.5V74H95Z"),
        ("hand", "M84 34H114"),
    ),
    "float": (
        ("thin", "M8 34q8-6 17 0t17 0t17 0t17 0t17 0t17 0"),
        ("thing", "M26 46H82q8 0 8 8v12q0 8-8 8H26q-8 0-8-8V54q0-8 8-8ZM90 60h18"),
        ("hand", "M40 26a3 3 0 1 0 .1 0M50 16a4 4 0 1 0 .1 0M62 22a2.5 2.5 0 1 0 .1 0"),
    ),
    "float height": (
        ("thing", "M8 66H112M20 66V34a4 4 0 1 1 8 0"),
        ("steel", "M24 24H86Q92 24 92 30V44Q92 50 86 50H44L24 38Z"),
        ("thing", "M24 24H86Q92 24 92 30V44Q92 50 86 50H44L24 38Z"),
        ("thin", "M92 24H112"),
        ("hand", f"M104 64V26M104 26{_UP}M104 64{_DOWN}"),
    ),
    "needle": (
        ("steel", "M54 4H66V54L61 78H59L54 54Z"),
        ("thing", "M54 4H66V54L61 78H59L54 54ZM52 12H68M52 19H68"),
        ("hand", "M10 46H50M50 38V54M110 46H70M70 38V54"),
    ),
    "needle jet": (
        ("brass", "M60 12a30 30 0 1 1-.1 0M60 26a16 18 0 1 0 .1 0Z"),
        ("thing", "M60 12a30 30 0 1 1-.1 0"),
        ("hand", "M60 24a14 19 0 1 1-.1 0"),
        ("thin", "M60 28a14 14 0 1 1-.1 0"),
    ),
    "vents": (
        ("fuel", _BOWL_FUEL),
        ("thing", f"{_BOWL}M30 20V6H8M70 20V6H112"),
        ("hand", f"M104 22V40M104 22{_UP}"),
    ),
    "tank cap": (
        ("thing", "M8 74V58Q8 48 22 48H44V38H76V48H98Q112 48 112 58V74"),
        ("thing", "M38 22H82V30H38Z"),
        ("hand", f"M60 18V4{_UP}M34 40q-8-2-12-10M86 40q8-2 12-10"),
    ),
    "tap": (
        ("fuel", "M40 56H88L84 78H44Z"),
        ("thing", "M36 42L44 78H84L92 42"),
        ("thing", "M8 10H58q8 0 8 8V26M8 20H50q6 0 6 6"),
        ("fuel", "M57 28H65V58H57Z"),
        ("hand", f"M104 20V44{_DOWN}"),
    ),
    "choke": (
        ("steel", "M48 8H72V50H48Z"),
        ("thing", "M38 4V56H8M82 4V56H112M48 8H72V50H48ZM30 72H90"),
        ("hand", f"M60 16V42{_DOWN}"),
    ),
    "filter": (
        ("steel", "M30 14H84q8 0 8 8V62q0 8-8 8H30Z"),
        ("thing", "M30 14H84q8 0 8 8V62q0 8-8 8H30ZM30 26H14V58H30"),
        ("thin", "M42 14V70M54 14V70M66 14V70M78 14V70"),
        ("hand", f"M14 42H2{_LEFT}M112 30l-10 6M114 44h-10M112 58l-10-6"),
    ),
    "hand": (
        ("thing", "M112 26H88C78 26 74 20 70 10M112 58H88C78 58 74 64 70 74"),
        ("hand", _HAND),
    ),
    "idle stop": (
        ("steel", "M70 6H106V70H70Z"),
        ("thing", "M70 6H106V70H70M62 6V34M62 46V78"),
        ("brass", "M20 34H70V46H20Z"),
        ("thing", "M70 40L62 46H20V34H62ZM20 28V52H12V28Z"),
        ("hand", f"M40 62H8{_LEFT}"),
    ),
    "plug": (
        ("steel", "M46 30H74V40H46Z"),
        ("thing", "M54 4H66V20H54ZM50 20H70V30M50 20V30M44 30H76V42H44ZM50 42H70V66H50M50 42V66"),
        ("thin", "M50 48H70M50 54H70M50 60H70"),
        ("thing", "M60 66V71M70 66V79H58"),
        ("hand", "M84 72h12M82 64l9-6M82 80l9 3"),
    ),
    "wires": (
        ("thing", "M8 60H40V44H76V60H112M44 44V30H72V44"),
        ("solid", "M52 24H64V30H52Z"),
        ("hand", "M14 40l6-8l6 8l6-8M88 40l6-8l6 8l6-8"),
    ),
    "fuel glass": (
        ("fuel", "M32 26H88L84 76H36Z"),
        ("thing", "M28 8H92L84 76H36Z"),
        ("hand", "M50 66a5 4 0 1 0 .1 0M64 64a6 5 0 1 0 .1 0M74 68a3 3 0 1 0 .1 0"),
    ),
    "exhaust": (
        ("thing", "M6 24H44V16H54V24H114M6 56H44V64H54V56H114M44 24V56M54 24V56"),
        ("hand", "M46 10q-4-4 0-8M54 10q4-4 0-8M46 70q-4 4 0 8M54 70q4 4 0 8"),
    ),
    "valve": (
        ("thing", "M56 40V72M64 40V72M46 72H74L80 80H40ZM56 40H64M20 14H66q8 0 8 8v6H46"),
        ("hand", "M4 34H76V37H4Z"),
    ),
    "spray": (
        ("thing", "M12 34H40V78H12ZM18 34V24H34V34M22 24V14H34V20"),
        ("steel", "M84 10H112V74H84Z"),
        ("thing", "M84 10H112V74H84M84 10V28M84 38V74M84 28H100M84 38H100"),
        ("hand", "M38 18L78 26M38 18L78 33M38 18L78 40"),
    ),
    "watch": (
        ("thing", "M60 18a26 26 0 1 1-.1 0M60 4V18M50 4H70"),
        ("hand", "M60 44L74 30"),
        ("thin", "M60 22V27M82 44H77M60 66V61M38 44H43"),
    ),
    "throttle": (
        ("steel", "M30 26H104V58H30Z"),
        ("thing", "M30 26H104V58H30ZM6 34H30V50H6"),
        ("thin", "M42 26V58M54 26V58M92 26V58"),
        ("hand", "M66 26V58M78 26V58M58 14Q74 2 90 14l-8-1m8 1l-1-8"),
    ),
    "screw": (
        ("brass", "M60 14a28 28 0 1 1-.1 0"),
        ("thing", "M60 14a28 28 0 1 1-.1 0M44 52L76 32"),
        ("hand", "M22 42A38 38 0 0 1 60 4l-7-3m7 3l-5 6"),
    ),
    "spanner": (("steel", _SPANNER), ("thing", _SPANNER)),
    "lambda": (
        ("thing", "M6 44H114M6 74H114M52 44V32H68V44M54 32V18H66V32M60 18V6H84"),
        ("hand", f"M24 59H94{_RIGHT}"),
    ),
}
"""Every drawing by its name, each stroke with its ink."""

DRAWN_AS: dict[str, str] = {
    "soap on the joints": "joint",
    "crankcase under pressure": "crankcase",
    "light through the pilot jet": "jet",
    "spray through the pilot air jet": "passage",
    "spray from the bypass holes": "passage",
    "light through the main jet": "jet",
    "light through the main air jet": "passage",
    "fuel level by a clear hose": "hose",
    "float held under": "float",
    "float valve under pressure": "float",
    "needle jet against the light": "needle jet",
    "needle under the caliper": "needle",
    "breathe through the vents": "vents",
    "tank cap opened": "tank cap",
    "flow from the tap": "tap",
    "choke seat": "choke",
    "filter off for a moment": "filter",
    "filter in the hand": "filter",
    "idle stop right out": "idle stop",
    "new plug": "plug",
    "wires and switch shaken": "wires",
    "fresh petrol": "fuel glass",
    "exhaust joints": "exhaust",
    "valve clearance": "valve",
    "cleaned by spray": "spray",
    "cleaned by hand": "jet",
    "cleaned in a bath": "fuel glass",
    "strip and clean": "spanner",
    "ride and say": "throttle",
    "choke test": "choke",
    "hand over the intake": "hand",
    "idle sweep": "screw",
    "roll-on pair": "watch",
    "plug chop": "plug",
    "lambda log": "lambda",
    "exhaust gas": "lambda",
    "touched last": "spanner",
}
"""Which drawing stands beside which look or test."""


def look_picture(key: str) -> Svg:
    """Draw a look, a test, or the look that finds a fault, by the key that advice names."""
    look, name = look_for(key), SUSPECTS[key].look if key in SUSPECTS else key
    return sketch(DRAWN_AS[name], title=look.act)


def sketch(name: str, *, title: str) -> Svg:
    """Draw one of ``DRAWINGS`` under another title: on a page of the guide it shows the same thing."""
    drawn = [path(d, class_=f"look-{ink}") for ink, d in DRAWINGS[name]]
    return picture(*drawn, view=(0, 0, WIDE, TALL), title=title, class_="look-picture")
