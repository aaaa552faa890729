from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from cringle.book.identifiers import RANDOM_BITS, uuid7

INSTANTS = st.datetimes(
    min_value=datetime(1971, 1, 1), max_value=datetime(2200, 1, 1), timezones=st.just(UTC)
)


@given(INSTANTS, st.integers(0, 2**RANDOM_BITS - 1))
def test_version_variant_and_time_are_in_their_places(at: datetime, noise: int) -> None:
    made = uuid7(at, noise)
    assert made.version == 7
    assert made.variant == "specified in RFC 4122"
    milliseconds = made.int >> 80
    assert (
        timedelta(0)
        <= at - (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=milliseconds))
        < timedelta(milliseconds=1)
    )
    assert ((made.int >> 64 & 0xFFF) << 62 | made.int & (1 << 62) - 1) == noise


def test_later_ones_sort_later_and_never_meet() -> None:
    start = datetime(2026, 5, 1, tzinfo=UTC)
    made = [uuid7(start + timedelta(milliseconds=step)) for step in range(500)]
    assert made == sorted(made)
    assert [str(one) for one in made] == sorted(str(one) for one in made)
    assert len({uuid7(start) for _ in range(5000)}) == 5000
