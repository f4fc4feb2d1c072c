"""The film: what moves in it stands in every frame where the drawing at that lift has it."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from floatbowl.belief.belief import Belief
from floatbowl.draw.film import RATE, SECONDS, STILL, Scene, animated, film_frame, share_at, shares
from floatbowl.draw.svg import Svg, told_of
from floatbowl.paper.frames import frames
from floatbowl.record.film_file import FilmFileTrouble, write_film

Dots = NDArray[np.float64]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def scene(belief: Belief) -> Scene:
    """Give Magpie as it is fitted."""
    return Scene(belief=belief, setup=belief.setup, say=belief.say)


def test_it_opens_and_closes_the_same_way() -> None:
    """A film of eight seconds goes from shut to full and back by the same openings."""
    way = shares()
    assert len(way) == SECONDS * RATE
    assert (min(way), max(way)) == (0.0, 1.0)
    assert [share_at(0.4 * t) for t in (0.25, 0.5)] == pytest.approx(
        [share_at(0.9 - 0.4 * t) for t in (0.25, 0.5)]
    )


def test_the_moving_picture_ends_where_the_drawings_do(scene: Scene) -> None:
    """Every path of the moving SVG begins as in the frame at shut and ends as in the frame at full."""
    moving = ET.fromstring(animated([scene]))  # noqa: S314  (our own)
    paths = [
        one.get("values", "").split(";")
        for one in moving.iter(f"{SVG}animate")
        if one.get("attributeName") == "d"
    ]
    ends = [set(re.findall(r' d="([^"]*)"', film_frame([scene], share))) for share in (0.0, 1.0)]
    assert len(paths) > 20
    assert all(_close(values[0], ends[0]) and _close(values[1], ends[1]) for values in paths)


def _close(d: str, drawn: set[str]) -> bool:
    """Say whether a path stands among those drawn, to the hundredth that is written."""
    told = np.array([float(x) for x in re.findall(r"-?\d+(?:\.\d+)?", d)])
    others = (np.array([float(x) for x in re.findall(r"-?\d+(?:\.\d+)?", one)]) for one in drawn)
    return any(one.shape == told.shape and np.allclose(one, told, atol=0.011) for one in others)


def test_who_wants_no_motion_sees_it_at_rest(scene: Scene) -> None:
    """Beside what moves stands the frame at a quarter, without any motion, for those who asked for none."""
    moving = ET.fromstring(animated([scene]))  # noqa: S314  (our own)
    groups = {one.get("class"): one for one in moving if one.tag == f"{SVG}g"}
    assert [*groups["film-still"].iter(f"{SVG}animate")] == []
    assert [*groups["film-moving"].iter(f"{SVG}animate")]
    still = film_frame([scene], STILL)
    assert len([*groups["film-still"].iter(f"{SVG}path")]) == still.count("<path")
    assert "In eight seconds the slide rises" in told_of(animated([scene]))


def as_dots(frame: av.VideoFrame) -> Dots:
    """Give a frame's dots: (row, column, colour)."""
    return frame.to_ndarray(format="rgb24").astype(np.float64)


def decoded(file: Path) -> list[av.VideoFrame]:
    """Give all frames of a film."""
    with av.open(str(file)) as film:
        return list(film.decode(video=0))


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["mp4", "webm"])
def test_each_frame_is_the_drawing_at_its_lift(scene: Scene, tmp_path: Path, kind: str) -> None:
    """A film has as many frames as were drawn, and each is more like its own drawing than like any other."""
    openings = (0.0, 0.1, 0.25, 0.5, 0.75, 1.0)
    drawn = list(frames([film_frame([scene], share) for share in openings], width=360))
    assert write_film(tmp_path / f"film.{kind}", drawn, rate=RATE) == len(openings)
    shown = [as_dots(one) for one in decoded(tmp_path / f"film.{kind}")]
    meant = [as_dots(_png(tmp_path, png)) for png in drawn]
    rows, columns = (min(one.shape[axis] for one in (shown[0], meant[0])) for axis in (0, 1))
    apart = np.array([[np.abs(a[:rows, :columns] - b[:rows, :columns]).mean() for b in meant] for a in shown])
    assert len(shown) == len(openings)
    assert apart.argmin(axis=1).tolist() == list(range(len(openings)))
    assert apart.diagonal().max() < 6.0  # of 255: what packing costs at this size


def _png(folder: Path, png: bytes) -> av.VideoFrame:
    (folder / "one.png").write_bytes(png)
    return decoded(folder / "one.png")[0]


def test_two_setups_stand_side_by_side(scene: Scene) -> None:
    """A frame of two scenes is wider, holds both carburettors, and names both setups."""
    one, two = film_frame([scene], 0.5), film_frame([scene, scene], 0.5)
    assert _wide(two) > 1.9 * _wide(one)
    assert two.count("cut-moving") == 2 * one.count("cut-moving")


def _wide(picture: Svg) -> float:
    return float(re.findall(r'viewBox="\S+ \S+ (\S+)', picture)[0])


def test_a_film_that_cannot_be_kept_is_told(scene: Scene, tmp_path: Path) -> None:
    """Where there is no such folder it is said, and nothing is left behind."""
    with pytest.raises(FilmFileTrouble, match="cannot be written there"):
        write_film(
            tmp_path / "nowhere" / "film.mp4", frames([film_frame([scene], 0.0)], width=200), rate=RATE
        )
