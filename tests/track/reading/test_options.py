from __future__ import annotations

import dataclasses

import pytest

from cringle.track.reading.chunks import BLOCK_BYTES
from cringle.track.reading.options import ReadOptions


def test_nothing_is_assumed_unless_said() -> None:
    options = ReadOptions()
    assert (options.date, options.start, options.time_zone, options.wind_height_m) == (None, None, None, None)
    assert (options.columns, options.shift_weeks, options.accept_no_checksum) == ({}, 0, False)


def test_a_part_comes_from_at_most_16_mb() -> None:
    assert ReadOptions().block_bytes == BLOCK_BYTES <= 16_000_000


def test_options_do_not_change() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        ReadOptions().shift_weeks = 1  # type: ignore[misc]
