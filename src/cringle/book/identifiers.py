"""Identifiers that sort by time and never meet twice, on any device (UUID version 7)."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime
from uuid import UUID

RANDOM_BITS = 74
"""Random bits of a version 7 UUID: 12 in `rand_a` and 62 in `rand_b` (RFC 9562, section 5.7)."""

_VERSION, _VARIANT = 0x7, 0b10


def uuid7(at: datetime, random_bits: int | None = None) -> UUID:
    """Return a version 7 UUID for an instant.

    Parameters
    ----------
    at : datetime
        The instant, with a time zone. Its whole milliseconds since 1970 fill the first 48 bits.
    random_bits : int, optional
        The 74 random bits, for tests; drawn from the system's generator when left out.

    Returns
    -------
    UUID
        Sorts after every UUID made in an earlier millisecond.

    References
    ----------
    .. [1] Davis, Peabody, Leach, "Universally Unique IDentifiers (UUIDs)", RFC 9562, 2024, section 5.7.
    """
    noise = secrets.randbits(RANDOM_BITS) if random_bits is None else random_bits
    rand_a, rand_b = noise >> 62, noise & ((1 << 62) - 1)
    milliseconds = round((at - datetime(1970, 1, 1, tzinfo=UTC)).total_seconds() * 1e6) // 1000
    return UUID(int=(milliseconds << 80) | (_VERSION << 76) | (rand_a << 64) | (_VARIANT << 62) | rand_b)
