"""A recording opened: WAV by ourselves, what phones write through PyAV where it is installed.

What a file is is read from its first bytes and not from its name, and only kinds
that are known are handed on, so that no file can send the decoder elsewhere.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

import numpy as np

from floatbowl.record.trouble import RecordTrouble
from floatbowl.record.wave_file import Samples, find_samples, read_samples

if TYPE_CHECKING:
    from av.audio.frame import AudioFrame
    from av.container import InputContainer

LONGEST = 180.0
"""Seconds that are listened to; what comes after is left out and said to be."""
LARGEST = 300_000_000
"""Bytes beyond which a file is not opened."""
PATIENCE = 20.0
"""Seconds that decoding may take."""
_TELLING = 16
_MOST_RATE = 48_000

_KINDS: tuple[tuple[int, bytes, str], ...] = (
    (4, b"ftyp", "mp4"),
    (0, b"OggS", "ogg"),
    (0, b"\x1aE\xdf\xa3", "matroska"),
    (0, b"#!AMR", "amr"),
    (0, b"fLaC", "flac"),
    (0, b"ID3", "mp3"),
    (0, b"\xff\xf1", "aac"),
    (0, b"\xff\xf9", "aac"),
    (0, b"\xff\xfb", "mp3"),
    (0, b"\xff\xf3", "mp3"),
    (0, b"\xff\xf2", "mp3"),
    (0, b"FORM", "aiff"),
    (0, b"caff", "caf"),
)
"""How a kind of file begins: at which byte, with what, and what the decoder calls it."""


class SoundFileTrouble(RecordTrouble):
    """A recording that cannot be listened to; ``str()`` is the sentence to show."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sound:
    """A recording: one channel, (time,), at ``rate`` a second. ``is_cut`` where the rest was left out."""

    samples: Samples
    rate: float
    is_cut: bool

    @property
    def seconds(self) -> float:
        """Give how long it is."""
        return len(self.samples) / self.rate


def load_sound(path: Path) -> Sound:
    """Open a recording; raises ``SoundFileTrouble`` with a sentence where it cannot be."""
    try:
        size = path.stat().st_size
        if size > LARGEST:
            text = f"{path.name} has {size / 1e6:.0f} MB; we open up to {LARGEST / 1e6:.0f}. {_SHORTER}"
            raise SoundFileTrouble(text)
        with path.open("rb") as file:
            return read_sound(file, name=path.name)
    except OSError as error:
        text = f"{path.name} cannot be opened ({error.strerror or error}). Look whether it is there. {_SAVED}"
        raise SoundFileTrouble(text) from None


def refuse_short(sound: Sound, *, least: float) -> None:
    """Refuse a recording that is too short to listen to."""
    if sound.seconds < least:
        text = (
            f"The recording is {sound.seconds:.1f} s long; we need {least:.0f} s. Hold the phone an arm's "
            "length from the pipe, idle, and record again. Your other entries are saved."
        )
        raise SoundFileTrouble(text)


_SHORTER = "Ten seconds of sound are enough. Your other entries are saved."
_SAVED = "Your other entries are saved."
_AGAIN = "Record again, as WAV if the recorder lets you choose. Your other entries are saved."


def read_sound(file: BinaryIO, *, name: str) -> Sound:
    """Read a recording from an open file; ``name`` is what it is called in sentences."""
    head = file.read(_TELLING)
    if not head:
        text = f"{name} is empty: the recording was never written. {_AGAIN}"
        raise SoundFileTrouble(text)
    if head[:4] in {b"RIFF", b"RF64"} and head[8:12] == b"WAVE":
        return _read_wave(file, name)
    kind = next((kind for at, begins, kind in _KINDS if head[at : at + len(begins)] == begins), None)
    if kind is None:
        text = f"{name} is no sound that we know. WAV, M4A, OGG, WEBM, AMR, MP3 and FLAC are. {_SAVED}"
        raise SoundFileTrouble(text)
    file.seek(0)
    return _decoded(file, kind, name)


def _read_wave(file: BinaryIO, name: str) -> Sound:
    shape = find_samples(file)
    if shape is None:
        text = f"{name} begins like a WAV file, but holds no sound that we can read. {_AGAIN}"
        raise SoundFileTrouble(text)
    samples = read_samples(file, shape, seconds=LONGEST)
    if not len(samples):
        text = f"{name} holds no sound: it ends where the sound should begin. {_AGAIN}"
        raise SoundFileTrouble(text)
    return Sound(samples=louder(samples), rate=float(shape.rate), is_cut=len(file.read(1)) > 0)


def louder(channels: Samples) -> Samples:
    """Give the louder channel of (time, channel): adding two microphones may cancel what both hear."""
    finite = np.nan_to_num(channels, posinf=0.0, neginf=0.0)
    return np.asarray(finite[:, int((finite.astype(np.float64) ** 2).mean(axis=0).argmax())])


def _decoded(file: BinaryIO, kind: str, name: str) -> Sound:
    """Decode with PyAV, told what kind it is, so that it does not guess."""
    try:
        import av  # noqa: PLC0415  (large, and only for other files than WAV)
    except ImportError:
        text = f"{name} is no WAV file, and what reads other kinds is not installed ({_INSTALL}). {_AGAIN}"
        raise SoundFileTrouble(text) from None
    try:
        with av.open(file, format=kind, mode="r") as container:
            return _first_sound(container, name, deadline=time.monotonic() + PATIENCE)
    except (av.error.FFmpegError, ValueError, EOFError, MemoryError) as error:
        why = getattr(error, "strerror", None) or "it ends early or is damaged"
        text = f"{name} cannot be read as sound ({why}). {_AGAIN}"
        raise SoundFileTrouble(text) from None


_INSTALL = 'pip install "floatbowl[sound]"'


def _first_sound(container: InputContainer, name: str, *, deadline: float) -> Sound:
    if not container.streams.audio:
        text = f"{name} holds no sound, only pictures. {_AGAIN}"
        raise SoundFileTrouble(text)
    rate = min(container.streams.audio[0].rate or _MOST_RATE, _MOST_RATE)
    pieces, count, is_cut = [], 0, False
    for piece in _pieces(container, rate, is_late=lambda: time.monotonic() > deadline):
        if count >= LONGEST * rate:
            is_cut = True
            break
        pieces.append(piece)
        count += len(piece)
    if not count:
        text = f"{name} holds no sound that can be read. {_AGAIN}"
        raise SoundFileTrouble(text)
    samples = louder(np.concatenate(pieces)[: int(LONGEST * rate)])
    return Sound(samples=samples, rate=float(rate), is_cut=is_cut)


def _pieces(container: InputContainer, rate: int, *, is_late: Callable[[], bool]) -> Iterator[Samples]:
    """Decode piece by piece, (time, channel), until it ends, is damaged, or takes too long."""
    import av  # noqa: PLC0415  (as above)

    resampler = av.AudioResampler(format="fltp", rate=rate)
    frames = container.decode(container.streams.audio[0])
    while not is_late():
        try:
            frame = next(frames)
        except StopIteration:
            break
        except av.error.InvalidDataError:
            break
        for one in resampler.resample(frame):
            yield _plain(one)
    for one in resampler.resample(None):
        yield _plain(one)


def _plain(frame: AudioFrame) -> Samples:
    return np.asarray(frame.to_ndarray().T, dtype=np.float32)
