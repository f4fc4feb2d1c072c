"""Recordings of every kind, whole and broken: what they give, and what is said where they give nothing."""

import contextlib
import io
import struct
import wave
from pathlib import Path
from typing import cast

import av
import numpy as np
import pytest
from av.audio.stream import AudioStream
from numpy.typing import NDArray

from floatbowl.record import sound_file
from floatbowl.record.sound_file import LONGEST, SoundFileTrouble, load_sound, read_sound, refuse_short

RATE = 16_000
TONE = (0.5 * np.sin(2.0 * np.pi * 440.0 * np.arange(4 * RATE) / RATE)).astype(np.float32)


def wav(
    samples: NDArray[np.float32],
    *,
    kind: int = 1,
    bits: int = 16,
    channels: int = 1,
    claimed: int | None = None,
) -> bytes:
    """Write samples (time, channel) as a WAV file; ``claimed`` is what its header says of its length."""
    body = encoded(samples.reshape(-1), kind, bits)
    step = bits // 8 * channels
    told = struct.pack("<HHIIHH", kind, channels, RATE, RATE * step, step, bits)
    size = len(body) if claimed is None else claimed
    chunks = b"fmt " + struct.pack("<I", len(told)) + told + b"data" + struct.pack("<I", size) + body
    return b"RIFF" + struct.pack("<I", min(4 + len(chunks), 2**32 - 1)) + b"WAVE" + chunks


def encoded(flat: NDArray[np.float32], kind: int, bits: int) -> bytes:
    """Write numbers as the bytes of a WAV file."""
    if kind == 3:
        return flat.astype(f"<f{bits // 8}").tobytes()
    if bits == 8:
        return (np.round(flat * 127.0) + 128.0).astype(np.uint8).tobytes()
    whole = np.round(flat.astype(np.float64) * (2.0 ** (bits - 1) - 1.0)).astype("<i4")
    if bits == 24:
        return whole.view(np.uint8).reshape(-1, 4)[:, :3].tobytes()
    return whole.astype(f"<i{bits // 8}").tobytes()


def read(data: bytes, name: str = "idle.wav") -> sound_file.Sound:
    """Read bytes as if they were a file."""
    return read_sound(io.BytesIO(data), name=name)


@pytest.mark.parametrize(("kind", "bits"), [(1, 8), (1, 16), (1, 24), (1, 32), (3, 32), (3, 64)])
def test_wav_of_every_width_comes_back(kind: int, bits: int) -> None:
    """Whole numbers of 8 to 32 bit and floats give the same samples, to within a step."""
    sound = read(wav(TONE, kind=kind, bits=bits))
    assert sound.rate == RATE
    assert np.abs(sound.samples - TONE).max() <= 2.5 / 2.0 ** (min(bits, 24) - 1)


def test_the_louder_of_two_channels_is_heard() -> None:
    """Two microphones that hear the same turned over do not cancel: one of them is taken."""
    both = np.stack([0.3 * TONE, -TONE], axis=1)
    assert np.abs(read(wav(both, channels=2)).samples + TONE).max() < 1e-3


def test_python_s_own_writer_is_read(tmp_path: Path) -> None:
    """What the standard library writes as WAV is read from disk."""
    path = tmp_path / "idle.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(encoded(TONE, 1, 16))
    assert load_sound(path).seconds == pytest.approx(4.0)


@pytest.mark.parametrize("claimed", [0xFFFFFFFF, 2_000_000_000, 10**6])
def test_a_header_that_lies_is_not_believed(claimed: int) -> None:
    """A header that promises two gigabytes, or no end, gives what is really there."""
    assert read(wav(TONE, claimed=claimed)).seconds == pytest.approx(4.0)


@pytest.mark.parametrize("kept", [1, 10, 20, 40, 44, 45])
def test_a_file_cut_anywhere_gets_a_sentence(kept: int) -> None:
    """Cut in the head or at the first sample, a WAV file is told as holding no sound; nothing breaks."""
    with pytest.raises(SoundFileTrouble, match="saved"):
        read(wav(TONE)[:kept])


def test_a_cut_recording_gives_what_there_is() -> None:
    """Cut in the middle of a sample, the rest before it is heard."""
    assert read(wav(TONE)[: 44 + 2 * RATE + 1]).seconds == pytest.approx(1.0)


def test_a_long_recording_is_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only the first so many seconds are taken, and that is told."""
    monkeypatch.setattr(sound_file, "LONGEST", 2.0)
    sound = read(wav(TONE))
    assert (sound.seconds, sound.is_cut) == (2.0, True)
    assert LONGEST >= 60.0


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "is empty"),
        (b"%PDF-1.7 and so on and on", "no sound that we know"),
        (b"RIFF\x00\x00\x00\x00WAVEjunk" + struct.pack("<I", 2**31), "no sound that we can read"),
        (b"OggS" + bytes(200), "cannot be read as sound"),
        (b"\x00\x00\x00\x18ftypM4A " + bytes(100), "cannot be read as sound|holds no sound"),
        (b"#!AMR\n", "no sound"),
    ],
)
def test_broken_files_get_a_plain_sentence(data: bytes, said: str) -> None:
    """Empty, foreign and damaged files are told by name, with what to do, and that nothing is lost."""
    with pytest.raises(SoundFileTrouble, match=said) as told:
        read(data, name="idle.m4a")
    assert str(told.value).startswith("idle.m4a ")
    assert "Your other entries are saved." in str(told.value)


def test_a_file_that_is_too_large_or_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is larger than we open, or not there, is said so."""
    monkeypatch.setattr(sound_file, "LARGEST", 1000)
    path = tmp_path / "idle.wav"
    path.write_bytes(wav(TONE))
    with pytest.raises(SoundFileTrouble, match="MB"):
        load_sound(path)
    with pytest.raises(SoundFileTrouble, match="cannot be opened"):
        load_sound(tmp_path / "gone.wav")


def test_a_short_recording_is_told_as_in_the_shed() -> None:
    """The sentence says how long it is, how long it must be, and how to record again."""
    with pytest.raises(SoundFileTrouble) as told:
        refuse_short(read(wav(TONE[: int(0.8 * RATE)])), least=3.0)
    assert str(told.value) == (
        "The recording is 0.8 s long; we need 3 s. Hold the phone an arm's length from the pipe, idle, "
        "and record again. Your other entries are saved."
    )


def phone_file(codec: str, kind: str, rate: int) -> bytes:
    """Write the tone as a phone would."""
    file = io.BytesIO()
    with av.open(file, "w", format=kind) as container:
        stream = cast("AudioStream", container.add_stream(codec, rate=rate))
        stream.layout = "mono"
        frame = av.AudioFrame.from_ndarray(
            np.round(TONE * 32767.0).astype("<i2")[None, :], format="s16", layout="mono"
        )
        frame.rate = RATE
        resampler = av.AudioResampler(format=stream.format.name, layout="mono", rate=rate)
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            container.mux(stream.encode(piece))
        container.mux(stream.encode(None))
    return file.getvalue()


@pytest.mark.parametrize(
    ("codec", "kind", "rate"),
    [
        ("aac", "ipod", 44_100),
        ("aac", "mp4", 48_000),
        ("libopus", "ogg", 48_000),
        ("libopus", "webm", 48_000),
        ("flac", "flac", 16_000),
        ("libmp3lame", "mp3", 44_100),
        ("libopencore_amrnb", "amr", 8_000),
    ],
)
def test_what_phones_record_is_heard(codec: str, kind: str, rate: int) -> None:
    """A tone of 440 Hz is one after each kind of phone's own packing, whatever the file is called."""
    sound = read(phone_file(codec, kind, rate), name="voice 007.wav")
    assert sound.seconds == pytest.approx(4.0, abs=0.15)
    spectrum = np.abs(np.fft.rfft(sound.samples))
    assert spectrum.argmax() / sound.seconds == pytest.approx(440.0, abs=1.0)


@pytest.mark.parametrize("kind", [("aac", "ipod", 44_100), ("libopus", "ogg", 48_000)])
@pytest.mark.parametrize("share", [0.3, 0.7])
def test_half_a_phone_file_breaks_nothing(kind: tuple[str, str, int], share: float) -> None:
    """A file that was cut gives what can be read of it, or a sentence."""
    data = phone_file(*kind)
    seconds = 0.0
    with contextlib.suppress(SoundFileTrouble):
        seconds = read(data[: int(share * len(data))]).seconds
    assert 0.0 <= seconds < 4.2


def test_without_the_part_that_decodes_a_sentence_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where PyAV is not installed, what it is needed for and how to get it is told; WAV needs nothing."""
    monkeypatch.setitem(__import__("sys").modules, "av", None)
    with pytest.raises(SoundFileTrouble, match=r"pip install .*floatbowl\[sound\]"):
        read(b"OggS" + bytes(64), name="idle.ogg")
    assert read(wav(TONE)).seconds == pytest.approx(4.0)
