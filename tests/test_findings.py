"""A number shows its unit, interval and source."""

from __future__ import annotations

from cringle.findings import PROVENANCE_LETTER, Number, Source


def test_repr_has_unit_interval_and_source() -> None:
    assert repr(Number(4.5, "mark", Source.ENTERED)) == "Number(4.5 mark, entered)"
    assert repr(Number(12, "deg", Source.COMPUTED, 10, 14)) == "Number(12 deg [10, 14], computed)"


def test_every_source_has_its_own_letter() -> None:
    assert set(PROVENANCE_LETTER) == set(Source)
    assert len(set(PROVENANCE_LETTER.values())) == len(Source)
