"""Cut fields out of framed sentences and turn them into numbers, a whole column at once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cringle.track.reading.nmea_frame import Bytes, Frames, Index, Mask

Floats = NDArray[np.float64]

WINDOW: Final = 16
"""Numbers narrower than this take the fast path, where every digit string is below 2**53 and so exact."""

_PLUS, _MINUS, _DOT, _ZERO = (np.uint8(ord(c)) for c in "+-.0")


@dataclass(frozen=True)
class Field:
    """The same field of many sentences: where it starts and ends in the block."""

    data: Bytes
    start: Index
    end: Index

    @property
    def width(self) -> Index:
        """Bytes in each field."""
        return self.end - self.start

    @property
    def empty(self) -> Mask:
        """Whether each field is empty."""
        return self.start >= self.end

    def letter(self) -> Bytes:
        """Return the one letter of each field; 0 when it is empty, 255 when it is longer."""
        return np.where(
            self.empty, np.uint8(0), np.where(self.width == 1, self.data[self.start], np.uint8(255))
        )


@dataclass(frozen=True)
class Sentences:
    """Good sentences of one type in one block.

    Parameters
    ----------
    frames : Frames
        The block.
    rows : array of int64
        Lines of the block that hold this type.
    """

    frames: Frames
    rows: Index

    @cached_property
    def field_count(self) -> Index:
        """Number of fields after the address."""
        return self.frames.comma_count[self.rows]

    @cached_property
    def _first_comma(self) -> Index:
        return self.frames.first_comma[self.rows]

    @cached_property
    def _star(self) -> Index:
        return self.frames.star[self.rows]

    def field(self, number: int) -> Field:
        """Return field `number`, counted from 1 after the address; one that is not there is empty."""
        commas, count, star = self.frames.commas, self.field_count, self._star
        least = int(count.min(initial=number + 1))
        first = self._first_comma + (number - 1)
        if least > number:
            return Field(self.frames.data, commas[first] + 1, commas[first + 1])
        last = len(commas) - 1
        start = np.where(count >= number, commas[np.minimum(first, last)] + 1, star)
        end = np.where(count > number, commas[np.minimum(first + 1, last)], star)
        return Field(self.frames.data, start, end)


def windows(field: Field, width: int = WINDOW) -> Bytes:
    """Return the last `width` bytes before the end of each field, shape (n, width)."""
    data = field.data
    view = np.ndarray((len(data) - width + 1,), dtype=np.dtype((np.void, width)), buffer=data, strides=(1,))
    return view[field.end - width].view(np.uint8).reshape(-1, width)


def decimals(field: Field) -> tuple[Floats, Mask]:
    """Return the numbers in a field, and which fields are malformed.

    Parameters
    ----------
    field : Field
        Digits with at most one dot and at most one leading sign; or empty.

    Returns
    -------
    value : array of float64
        The number, exactly as Python's ``float`` reads it; NaN where empty or malformed.
    bad : array of bool
        Where something stands that is not a number.
    """
    width = field.width
    widest = int(width.max(initial=0))
    if widest == 0:
        return np.full(len(width), np.nan), np.zeros(len(width), dtype=np.bool_)
    columns = min(widest, WINDOW)
    text = windows(field)[:, WINDOW - columns :].copy()
    position = np.arange(columns - 1, -1, -1)
    text[position >= width[:, None]] = _ZERO
    lead = text[np.arange(len(text)), columns - np.clip(width, 1, columns)]
    negative, signed = lead == _MINUS, (lead == _MINUS) | (lead == _PLUS)
    text[signed, (columns - np.clip(width, 1, columns))[signed]] = _ZERO
    value, bad = _unsigned(text)
    bad |= (width - signed) <= 0
    bad |= (width == 1 + signed) & _only_dot(text)
    long = width >= WINDOW
    if long.any():
        value[long], bad[long] = _slow(field, np.flatnonzero(long))
        negative = negative & ~long
    value = np.where(negative, -value, value)
    empty = width <= 0
    value[bad | empty] = np.nan
    return value, bad & ~empty


def _unsigned(text: Bytes) -> tuple[Floats, Mask]:
    """Return numbers from zero-filled digits with at most one dot, and which rows are not that."""
    columns = text.shape[1]
    dots = text == _DOT
    dot_count = dots.sum(axis=1)
    digits = text - _ZERO
    digits[dots] = 0
    bad = (dot_count > 1) | (digits > 9).any(axis=1)
    after_dot = np.where(dot_count > 0, columns - 1 - dots.argmax(axis=1), -1)
    value = np.zeros(len(text))
    power = 10.0 ** np.arange(columns - 1, -1, -1)
    for places in np.unique(after_dot):
        rows = slice(None) if (after_dot == places).all() else after_dot == places
        weight = power.copy()
        if places >= 0:
            weight[: columns - 1 - places] /= 10.0
        value[rows] = digits[rows] @ weight / 10.0 ** max(places, 0)
    return value, bad


def _only_dot(text: Bytes) -> Mask:
    only: Mask = text[:, -1] == _DOT
    return only


def _slow(field: Field, rows: Index) -> tuple[Floats, Mask]:
    """Read the few numbers too long for the fast path, one at a time."""
    value = np.full(len(rows), np.nan)
    for place, row in enumerate(rows):
        text = field.data[field.start[row] : field.end[row]].tobytes()
        if text.strip(b"0123456789+-.") == b"":
            try:
                value[place] = float(text)
            except ValueError:
                continue
    return value, np.isnan(value)
