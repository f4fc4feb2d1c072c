"""A film as a file: frames that come as PNG, packed as MP4 or WebM by a library."""

from __future__ import annotations

import io
from collections.abc import Iterable
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, cast

from floatbowl.record.trouble import RecordTrouble

if TYPE_CHECKING:
    from av import VideoFrame
    from av.video.stream import VideoStream

PACKED = {
    ".mp4": ("libx264", {"crf": "20", "preset": "fast"}),
    ".webm": ("libvpx-vp9", {"crf": "32", "b": "0", "cpu-used": "5", "row-mt": "1"}),
}
"""How a film is packed, by how its file's name ends: what every browser and phone of ten years shows."""


class FilmFileTrouble(RecordTrouble):
    """A film that cannot be written; ``str()`` is the sentence to show."""


def write_film(path: Path, frames: Iterable[bytes], *, rate: int) -> int:
    """Write frames, each a PNG, as a film with so many a second; give how many they were."""
    if find_spec("av") is None:
        text = 'Films need one more library: pip install "floatbowl[film]". An .svg film needs nothing.'
        raise FilmFileTrouble(text)
    import av  # noqa: PLC0415  (large, and only for films)
    from av.video.frame import PictureType  # noqa: PLC0415  (as above)

    codec, how = PACKED[path.suffix.casefold()]
    count = 0
    try:
        with av.open(str(path), mode="w") as film:
            stream = cast("VideoStream", film.add_stream(codec, rate=Fraction(rate), options=how))
            stream.pix_fmt = "yuv420p"
            stream.codec_context.color_range, stream.codec_context.colorspace = (
                1,
                1,
            )  # as ``_packed`` has them
            for frame in map(_read, frames):
                if count == 0:
                    stream.width, stream.height = _even(frame.width), _even(frame.height)
                frame.pts, frame.time_base = count, Fraction(1, rate)
                frame.pict_type = (
                    PictureType.NONE
                )  # a PNG says it stands alone; the film need not keep it whole
                film.mux(stream.encode(_packed(frame, stream)))
                count += 1
            film.mux(stream.encode(None))
    except (av.error.FFmpegError, OSError) as error:
        text = f"{path.name} cannot be written there. Name another folder."
        raise FilmFileTrouble(text) from error
    return count


def _packed(frame: VideoFrame, stream: VideoStream) -> VideoFrame:
    """Give a frame in the film's own colours: those of television (BT.709), and marked as such."""
    return frame.reformat(
        stream.width,
        stream.height,
        format="yuv420p",
        dst_colorspace="ITU709",
        src_color_range="JPEG",
        dst_color_range="MPEG",
    )


def _even(dots: int) -> int:
    """Give the next lower even number: films hold their colours for two dots by two."""
    return dots - dots % 2


def _read(png: bytes) -> VideoFrame:
    import av  # noqa: PLC0415  (as above)

    with av.open(io.BytesIO(png), mode="r") as one:
        return next(one.decode(video=0))
