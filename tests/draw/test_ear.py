"""The picture of the ear: a line where the speed is, shades under it, and a PNG that decodes."""

import base64
import re
import struct
import zlib
from dataclasses import replace

import numpy as np
import pytest

from floatbowl.draw.ear import BOTTOM, HIGH, LEFT, RIGHT, TOP, WIDE, heard_picture, highest_rpm
from floatbowl.draw.shaded import png
from tests.draw.pictured import all_of, numbers, read, texts
from tests.signs.ear.tracks import moments, track_of

TRACK = track_of(np.linspace(1500.0, 6000.0, len(moments(8.0))))
SHADES = np.linspace(0.0, 1.0, 24 * 10, dtype=np.float32).reshape(24, 10)


def test_the_line_runs_where_the_speed_is() -> None:
    """First and last point of the line stand at the seconds and rpm of the track."""
    drawn = heard_picture(TRACK, SHADES, title="Magpie, by ear", described="The engine pulls.")
    line = numbers(all_of(drawn, "path", "ear-line")[0].attrib["d"])
    across, up = WIDE - LEFT - RIGHT, HIGH - TOP - BOTTOM
    assert line[0] == pytest.approx(LEFT, abs=0.01)
    assert line[1] == pytest.approx(TOP + up * (1.0 - 1500.0 / highest_rpm(TRACK)), abs=0.01)
    assert line[-2] == pytest.approx(LEFT + across * TRACK.seconds[-1] / TRACK.length, abs=0.01)
    assert line[-1] == pytest.approx(TOP + up * (1.0 - 6000.0 / highest_rpm(TRACK)), abs=0.01)


def test_where_the_engine_was_lost_the_line_is_dashed() -> None:
    """What was only carried on is drawn apart from what was heard."""
    heard = TRACK.is_heard.copy()
    heard[100:140] = False
    drawn = heard_picture(replace(TRACK, is_heard=heard), SHADES, title="Magpie", described="")
    assert len(all_of(drawn, "path", "ear-lost")) == 1
    assert len(all_of(drawn, "path", "ear-line")) == 3


def test_no_line_where_nothing_was_told() -> None:
    """A recording that we cannot tell shows its shades and no line."""
    drawn = heard_picture(replace(TRACK, why_not="no beat"), SHADES, title="Magpie", described="")
    assert all_of(drawn, "path", "ear-line") == []
    assert len(all_of(drawn, "image")) == 1


def test_the_picture_is_told_in_words() -> None:
    """Who does not see it is told what was heard; both scales carry their units."""
    drawn = heard_picture(TRACK, SHADES, title="Magpie, by ear", described="The engine pulls.")
    assert read(drawn).get("aria-label") == "Magpie, by ear. The engine pulls."
    assert {"seconds", "rpm", "2000"} <= set(texts(drawn))


def test_the_png_holds_the_shades() -> None:
    """Unpacked by the letter of the format, the alpha of each pixel is its shade."""
    data = png(SHADES)
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    chunks, at = {}, 8
    while at < len(data):
        (size,) = struct.unpack(">I", data[at : at + 4])
        name, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + size]
        assert struct.unpack(">I", data[at + 8 + size : at + 12 + size]) == (zlib.crc32(name + body),)
        chunks[name] = body
        at += 12 + size
    width, height, depth, colour = struct.unpack(">IIBB", chunks[b"IHDR"][:10])
    assert (width, height, depth, colour) == (10, 24, 8, 4)
    rows = np.frombuffer(zlib.decompress(chunks[b"IDAT"]), dtype=np.uint8).reshape(24, 21)
    assert (rows[:, 0] == 0).all()
    assert np.abs(rows[:, 2::2] / 255.0 - SHADES).max() <= 0.5 / 255.0 + 1e-6


def test_the_png_rides_in_the_picture() -> None:
    """The shades stand in the picture itself, so that the file needs nothing beside it."""
    drawn = heard_picture(TRACK, SHADES, title="Magpie", described="")
    found = re.search(r'href="data:image/png;base64,([^"]+)"', drawn)
    assert found
    assert base64.b64decode(found[1]) == png(SHADES)
