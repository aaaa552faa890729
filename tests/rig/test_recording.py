from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.io import wavfile

from cringle.errors import LogError
from cringle.rig.recording import Recording, after_pluck, read_motion, read_wav

RATE = 8000


def tone(level: float = 0.5, seconds: float = 4.0) -> np.ndarray:
    time = np.arange(int(seconds * RATE)) / RATE
    return level * np.sin(2 * np.pi * 110.0 * time)


def write(path: Path, data: np.ndarray) -> Path:
    wavfile.write(path, RATE, data)
    return path


@pytest.mark.parametrize(
    ("kind", "scale", "offset"),
    [("int16", 32767, 0), ("int32", 2**31 - 1, 0), ("uint8", 127, 128), ("float32", 1.0, 0)],
)
def test_wav_of_any_depth(tmp_path, kind, scale, offset):
    data = (tone() * scale + offset).astype(kind)
    found = read_wav(write(tmp_path / "a.wav", data))
    assert (found.rate, found.kind, found.seconds) == (8000.0, "sound", 4.0)
    assert_allclose(np.max(np.abs(found.signal)), 0.5, atol=0.01)


def test_stereo_keeps_both(tmp_path):
    data = (np.stack([tone(), tone(0.2)], axis=1) * 32767).astype("int16")
    assert read_wav(write(tmp_path / "a.wav", data)).signal.shape == (4 * RATE, 2)


def test_silence_is_named(tmp_path):
    with pytest.raises(LogError, match="silent"):
        read_wav(write(tmp_path / "a.wav", np.zeros(4 * RATE, dtype="int16")))


def test_clipping_is_named(tmp_path):
    data = (np.clip(tone(3.0), -1, 1) * 32767).astype("int16")
    with pytest.raises(LogError, match="clipped"):
        read_wav(write(tmp_path / "a.wav", data))


def test_too_short_is_named(tmp_path):
    with pytest.raises(LogError, match=r"only 1\.0 s long"):
        read_wav(write(tmp_path / "a.wav", (tone(0.5, 1.0) * 32767).astype("int16")))


def test_missing_and_foreign_files(tmp_path):
    with pytest.raises(LogError, match="no such file"):
        read_wav(tmp_path / "none.wav")
    other = tmp_path / "other.wav"
    other.write_bytes(b"RIFF\x00\x00\x00\x00WAVEjunk")
    with pytest.raises(LogError, match="no WAV file"):
        read_wav(other)


@given(st.binary(max_size=400))
def test_any_bytes_are_an_error_with_a_name(tmp_path_factory, data):
    path = tmp_path_factory.mktemp("bytes") / "a.wav"
    path.write_bytes(data)
    with pytest.raises(LogError):
        read_wav(path)
    with pytest.raises(LogError):
        read_motion(path)


def csv(path: Path, header: str = "time,x,y,z", rows: int = 400, step: float = 0.01, **change: str) -> Path:
    time = np.arange(rows) * step
    lines = [f"{t:.4f},{np.sin(50 * t):.5f},0.0,9.81" for t in time]
    for place, text in change.items():
        lines[int(place.removeprefix("line_")) - 2] = text
    path.write_text("\n".join([header, *lines]), encoding="utf-8")
    return path


def test_motion_is_made_even(tmp_path):
    found = read_motion(csv(tmp_path / "m.csv"))
    assert_allclose(found.rate, 100.0, rtol=1e-6)
    assert found.signal.shape[1] == 3
    assert found.kind == "motion"


def test_milliseconds(tmp_path):
    assert_allclose(read_motion(csv(tmp_path / "m.csv", "time_ms,x,y,z", step=10.0)).rate, 100.0, rtol=1e-6)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"header": "when,x,y,z"}, "columns found"),
        ({"header": "time,a,b,c"}, "columns found"),
        ({"line_7": "0.05,wet,0,0"}, "m.csv:7"),
        ({"line_9": "0.0,1,0,0"}, "time does not rise"),
        ({"rows": 20}, "only 20 samples"),
        ({"rows": 100, "step": 0.1}, "too little"),
        ({"line_5": "0.03,nan,0,0"}, "not finite"),
    ],
)
def test_faults_of_a_motion_log_are_named(tmp_path, change, words):
    with pytest.raises(LogError, match=words):
        read_motion(csv(tmp_path / "m.csv", **change))


def test_no_motion_is_named(tmp_path):
    path = tmp_path / "m.csv"
    path.write_text("time,x\n" + "\n".join(f"{0.01 * n:.2f},1.0" for n in range(500)), encoding="utf-8")
    with pytest.raises(LogError, match="no motion"):
        read_motion(path)


def test_empty_file(tmp_path):
    path = tmp_path / "m.csv"
    path.write_text("", encoding="utf-8")
    with pytest.raises(LogError, match="empty"):
        read_motion(path)


def test_only_the_ringing_part_is_used():
    quiet = 1e-3 * np.ones((30 * 100, 1))
    quiet[700] = 1.0
    found = after_pluck(Recording(quiet, 100.0, "sound"))
    assert (found.seconds, found.signal[0, 0]) == (12.0, 1.0)
    late = quiet[::-1].copy()
    assert after_pluck(Recording(late, 100.0, "sound")).seconds == 12.0
    short = Recording(quiet[:500], 100.0, "sound")
    assert after_pluck(short) is short
