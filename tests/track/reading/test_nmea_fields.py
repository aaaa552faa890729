from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cringle.track.reading.nmea_fields import Field, Sentences, decimals, windows
from cringle.track.reading.nmea_frame import frame_lines

NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)\Z")


def field_of(texts: list[str]) -> Field:
    block = "".join(f"$XX,{text},x*00\n" for text in texts).encode("latin-1")
    frames = frame_lines(block)
    return Sentences(frames, np.arange(len(texts))).field(1)


def read(texts: list[str]) -> tuple[list[float], list[bool]]:
    value, bad = decimals(field_of(texts))
    return value.tolist(), bad.tolist()


def test_numbers_as_instruments_send_them() -> None:
    texts = ["3748.784", "007", "-1.3", "+2", ".5", "5.", "0", "-0.0", "12226.831"]
    value, bad = read(texts)
    assert value == [float(text) for text in texts]
    assert not any(bad)


def test_empty_is_unknown_not_bad() -> None:
    value, bad = read(["", "1.0"])
    assert math.isnan(value[0])
    assert bad == [False, False]


@pytest.mark.parametrize(
    "text", ["-1.-3", "-4.-3", "1.2.3", "12a", "--3", "-", "+", ".", "-.", "1e5", "nan", " 1", "0x1", "1-"]
)
def test_malformed_numbers_are_bad(text: str) -> None:
    value, bad = read([text, "7"])
    assert bad == [True, False]
    assert math.isnan(value[0])
    assert value[1] == 7.0


def test_long_numbers_take_the_slow_path() -> None:
    texts = ["12345678901234567890", "-0.1234567890123456789", "1.5", "12345678901234567x"]
    value, bad = read(texts)
    assert value[:3] == [float(text) for text in texts[:3]]
    assert bad == [False, False, False, True]


@pytest.mark.parametrize("digits", range(14, 22))
def test_numbers_around_the_limit_of_the_fast_path(digits: int) -> None:
    texts = ["12345678901234567890123"[:digits], "-1." + "23456789012345678901234"[: digits - 3]]
    value, bad = read(texts)
    assert value == [float(text) for text in texts]
    assert bad == [False, False]


def test_a_field_that_is_not_there_is_empty() -> None:
    frames = frame_lines(b"$XX,1,2*00\n$XX*00\n")
    sentences = Sentences(frames, np.arange(2))
    assert sentences.field(2).empty.tolist() == [False, True]
    assert sentences.field(3).empty.tolist() == [True, True]
    assert sentences.field_count.tolist() == [2, 0]


def test_letters() -> None:
    assert field_of(["A", "", "AB"]).letter().tolist() == [ord("A"), 0, 255]


def test_windows_end_with_the_field() -> None:
    assert windows(field_of(["12.5"]))[0].tobytes().endswith(b"$XX,12.5")


def test_no_rows() -> None:
    value, bad = read([])
    assert value == []
    assert bad == []


@given(st.lists(st.text("0123456789.+-", max_size=20), min_size=1, max_size=20))
def test_same_as_float(texts: list[str]) -> None:
    value, bad = read(texts)
    for text, one, wrong in zip(texts, value, bad, strict=True):
        if NUMBER.match(text):
            assert not wrong
            assert one == float(text)
        else:
            assert wrong == (text != "")
            assert math.isnan(one)
