"""Recordings of a plucked wire: WAV files and a phone's motion-sensor CSV, read with every fault named."""

from __future__ import annotations

import csv
import io
import warnings
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from cringle.errors import LogError

Array = NDArray[np.float64]

SHORTEST_S = 3.0
"""Shorter recordings cannot tell one overtone from the next. [s]"""

USEFUL_S = 12.0
"""More of a ringing wire tells no more. [s]"""

CLIPPED_SHARE = 1e-3
"""More than this share of samples at the limit is a clipped recording."""

MOST_BYTES = 200_000_000
TIME_NAMES = {
    "time": 1.0,
    "t": 1.0,
    "time_s": 1.0,
    "seconds": 1.0,
    "seconds_elapsed": 1.0,
    "time_ms": 1e-3,
    "ms": 1e-3,
}
"""Plain names of a time column and its unit in seconds."""

AXIS_NAMES = ("x", "y", "z", "ax", "ay", "az", "acc_x", "acc_y", "acc_z", "accel_x", "accel_y", "accel_z")
"""Plain names of acceleration columns."""


@dataclass(frozen=True)
class Recording:
    """An evenly sampled recording.

    Parameters
    ----------
    signal : array, shape (n, k)
        Channels side by side.
    rate : float
        Samples a second. [Hz]
    kind : str
        ``sound`` or ``motion``.
    """

    signal: Array
    rate: float
    kind: str

    @property
    def seconds(self) -> float:
        """Length. [s]."""
        return len(self.signal) / self.rate


def after_pluck(recording: Recording, seconds: float = USEFUL_S) -> Recording:
    """Return the part that rings: from the loudest moment on, or the end where that comes late.

    Parameters
    ----------
    recording : Recording
        As read.
    seconds : float
        How much is enough to tell overtones apart. [s]
    """
    wanted = int(seconds * recording.rate)
    if len(recording.signal) <= wanted:
        return recording
    centred = recording.signal - recording.signal.mean(axis=0)
    loudest = int(np.argmax(np.max(np.abs(centred), axis=1)))
    start = min(loudest, len(recording.signal) - wanted)
    return Recording(recording.signal[start : start + wanted], recording.rate, recording.kind)


def read_wav(path: Path) -> Recording:
    """Return a WAV file as a recording.

    Parameters
    ----------
    path : Path
        PCM of 8 to 32 bits or floating point.

    Raises
    ------
    LogError
        Not a WAV, truncated, silent, clipped or too short; the message says which.
    """
    from scipy.io import wavfile

    _check_file(path)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", wavfile.WavFileWarning)
            rate, data = wavfile.read(path)
    except Exception as error:  # the reader raises many kinds on a damaged file
        raise LogError(
            f"this is no WAV file Cringle can read: {error}",
            path=path,
            next_step="export the recording as uncompressed WAV (PCM)",
        ) from error
    limit = float(np.iinfo(data.dtype).max) if np.issubdtype(data.dtype, np.integer) else 1.0
    signal = np.asarray(data, dtype=np.float64).reshape(len(data), -1)
    if data.dtype == np.uint8:
        signal, limit = signal - 128.0, 127.0
    _check_sound(path, signal / limit, float(rate))
    return Recording(signal / limit, float(rate), "sound")


def _check_file(path: Path) -> None:
    if not path.is_file():
        raise LogError("there is no such file", path=path, next_step="check the name")
    if path.stat().st_size > MOST_BYTES:
        raise LogError(
            "this recording is far too long", path=path, next_step="cut it to the ten seconds after a pluck"
        )


def _check_sound(path: Path, signal: Array, rate: float) -> None:
    if len(signal) < SHORTEST_S * rate:
        raise LogError(
            f"only {len(signal) / rate:.1f} s long; at least {SHORTEST_S:.0f} s are needed",
            path=path,
            next_step="record ten quiet seconds after one pluck",
        )
    if float(np.max(np.abs(signal - signal.mean(axis=0)))) < 1e-4:
        raise LogError(
            "the recording is silent",
            path=path,
            next_step="hold the microphone to the wire's lower end and check that recording is allowed",
        )
    clipped = float(np.mean(np.max(np.abs(signal), axis=1) >= 0.999))
    if clipped > CLIPPED_SHARE:
        raise LogError(
            f"the recording is clipped in {100 * clipped:.1f} % of its samples: overtones are not the wire's",
            path=path,
            next_step="pluck more softly, or move the phone away, and record again",
        )


def read_motion(path: Path) -> Recording:
    """Return a phone's motion-sensor CSV as an evenly sampled recording.

    Parameters
    ----------
    path : Path
        A header with a time column (`TIME_NAMES`) and one or more acceleration columns (`AXIS_NAMES`).

    Raises
    ------
    LogError
        No such columns, no numbers, time that does not rise, or too slow or too short; with the line
        where it applies.
    """
    _check_file(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise LogError("this is no text file in UTF-8", path=path, next_step="export as plain CSV") from error
    rows = list(csv.reader(io.StringIO(text)))
    if not rows:
        raise LogError("the file is empty", path=path, next_step="export the sensor log again")
    time_at, unit, axes = _columns(path, rows[0])
    table = _numbers(path, rows[1:], [time_at, *axes])
    return _even(path, unit * table[:, 0], table[:, 1:])


def _columns(path: Path, header: list[str]) -> tuple[int, float, list[int]]:
    names = [
        one.strip().lower().replace(" ", "_").removesuffix("_(s)").removesuffix("_(m/s^2)") for one in header
    ]
    times = [number for number, name in enumerate(names) if name in TIME_NAMES]
    axes = [number for number, name in enumerate(names) if name in AXIS_NAMES]
    if len(times) != 1 or not axes:
        raise LogError(
            f"columns found: {', '.join(names)}",
            path=path,
            line=1,
            next_step=f"name one time column ({', '.join(TIME_NAMES)}) "
            f"and accelerations ({', '.join(AXIS_NAMES)})",
        )
    return times[0], TIME_NAMES[names[times[0]]], axes


def _numbers(path: Path, rows: list[list[str]], columns: list[int]) -> Array:
    found = []
    for number, row in enumerate(rows, start=2):
        if not row:
            continue
        try:
            found.append([float(row[column]) for column in columns])
        except (ValueError, IndexError) as error:
            raise LogError(
                "a number is missing or is no number",
                path=path,
                line=number,
                next_step="mend or delete that line",
            ) from error
    table = np.array(found, dtype=np.float64).reshape(-1, len(columns))
    if not np.all(np.isfinite(table)):
        raise LogError("a number is not finite", path=path, next_step="export the sensor log again")
    return table


def _even(path: Path, time: Array, channels: Array) -> Recording:
    """Return channels on an even clock, straight lines between samples."""
    if len(time) < 50:
        raise LogError(
            f"only {len(time)} samples", path=path, next_step="log ten seconds at 50 a second or more"
        )
    step = np.diff(time)
    if np.any(step <= 0.0):
        line = int(np.flatnonzero(step <= 0.0)[0]) + 3
        raise LogError(
            "time does not rise", path=path, line=line, next_step="check that it is one log, not two joined"
        )
    rate = float(1.0 / np.median(step))
    if time[-1] - time[0] < SHORTEST_S or rate < 20.0:
        raise LogError(
            f"{time[-1] - time[0]:.1f} s at {rate:.0f} samples a second is too little",
            path=path,
            next_step="log ten seconds at 50 samples a second or more",
        )
    if np.max(np.std(channels, axis=0)) < 1e-6:
        raise LogError(
            "the sensor saw no motion", path=path, next_step="tape the phone to the wire and pluck again"
        )
    even = np.arange(time[0], time[-1], 1.0 / rate)
    return Recording(np.stack([np.interp(even, time, one) for one in channels.T], axis=1), rate, "motion")
