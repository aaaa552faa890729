from __future__ import annotations

from cringle.book import names


def test_no_two_parts_of_a_book_share_a_name() -> None:
    found = [getattr(names, name) for name in vars(names) if name.endswith("_NAME")]
    assert len(found) == len(set(found)) == 4
