"""WAV files, read from their bytes: whole numbers of 8 to 32 bit and floats, whatever the header claims.

Recorders that are switched off in the middle leave lengths of nought or nonsense
behind, so the file's own length counts and not the header's.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]

WHOLE, FLOAT, EXTENSIBLE = 1, 3, 0xFFFE
_MOST_CHUNKS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """How the samples of a WAV file are written."""

    kind: int
    channels: int
    rate: int
    bits: int

    @property
    def is_known(self) -> bool:
        """Say whether we can read samples of this shape."""
        fits = self.bits in {WHOLE: (8, 16, 24, 32), FLOAT: (32, 64)}.get(self.kind, ())
        return fits and 1 <= self.channels <= _MOST_CHANNELS and _LEAST_RATE <= self.rate <= _MOST_RATE


_MOST_CHANNELS = 16
_LEAST_RATE, _MOST_RATE = 4_000, 400_000


def find_samples(file: BinaryIO) -> Shape | None:
    """Go to the first sample of a WAV file and give the shape; None where there is none that we can read."""
    file.seek(12)
    shape = None
    for _ in range(_MOST_CHUNKS):
        head = file.read(8)
        if len(head) < 8:  # noqa: PLR2004  (a name of four letters and a length)
            return None
        name, size = struct.unpack("<4sI", head)
        if name == b"data":
            return shape if shape is not None and shape.is_known else None
        body = file.tell()
        if name == b"fmt ":
            shape = _shape(file.read(min(size, 64)))
        file.seek(body + size + size % 2)
    return None


def _shape(body: bytes) -> Shape | None:
    if len(body) < 16:  # noqa: PLR2004  (what every format chunk holds)
        return None
    kind, channels, rate, _, _, bits = struct.unpack("<HHIIHH", body[:16])
    if kind == EXTENSIBLE and len(body) >= 26:  # noqa: PLR2004  (its true kind begins at byte 24)
        kind = struct.unpack("<H", body[24:26])[0]
    return Shape(kind=kind, channels=channels, rate=rate, bits=bits)


def read_samples(file: BinaryIO, shape: Shape, *, seconds: float) -> Samples:
    """Read samples from here on, at most so many seconds of them: (time, channel), about -1 to 1."""
    wide = shape.bits // 8 * shape.channels
    raw = file.read(int(seconds * shape.rate) * wide)
    raw = raw[: len(raw) // wide * wide]
    return _numbers(raw, shape).reshape(-1, shape.channels)


def _numbers(raw: bytes, shape: Shape) -> Samples:
    if shape.kind == FLOAT:
        return np.frombuffer(raw, dtype=f"<f{shape.bits // 8}").astype(np.float32)
    if shape.bits == 8:  # noqa: PLR2004  (the one kind without a sign)
        return (np.frombuffer(raw, dtype=np.uint8).astype(np.float32) - 128.0) / 128.0
    if shape.bits == 24:  # noqa: PLR2004  (no type of its own: the three bytes are moved up by one)
        bytes_ = np.zeros((len(raw) // 3, 4), dtype=np.uint8)
        bytes_[:, 1:] = np.frombuffer(raw, dtype=np.uint8).reshape(-1, 3)
        return (bytes_.view("<i4")[:, 0] / 2.0**31).astype(np.float32)
    whole = np.frombuffer(raw, dtype=f"<i{shape.bits // 8}")
    return (whole / 2.0 ** (shape.bits - 1)).astype(np.float32)
