"""Identifiers and digests of the records against the standards that define them."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from cringle.book.files import sha256_of
from cringle.book.identifiers import uuid7
from cringle.book.local_time import instant_of
from cringle.constants import INCH_M
from cringle.units import metres_to_millimetres
from cringle.workflows.start.new_files import USUAL_PITCH_MM, USUAL_THREAD_MM


def test_uuid_version_7_test_vector(outside: Any) -> None:
    made = uuid7(datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC), (0xCC3 << 62) | 0x18C4DC0C0C07398F)
    expected = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    outside.true(
        id="B01",
        what="UUID version 7 test vector",
        ok=str(made) == expected,
        got=str(made),
        source="RFC 9562 (2024), appendix A.6",
        kind="evidence",
        memory=True,
    )


def test_sha256_test_vector(outside: Any, tmp_path: Path) -> None:
    path = tmp_path / "abc"
    path.write_bytes(b"abc")
    found = sha256_of(path)
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    outside.true(
        id="B02",
        what="SHA-256 of 'abc'",
        ok=found == expected,
        got=found,
        source="FIPS 180-4, NIST example 'abc'",
        kind="evidence",
        memory=True,
    )


def test_the_clocks_change_when_the_law_says(outside: Any) -> None:
    zone = ZoneInfo("Europe/London")
    before = instant_of("00:59", date(2026, 3, 29), zone)
    after = instant_of("02:00", date(2026, 3, 29), zone)
    outside.close(
        id="B03",
        what="summer time begins on the last Sunday of March at 01:00 UTC: minutes from 00:59 to 02:00 local",
        got=(after - before).total_seconds() / 60.0,
        expected=1.0,
        atol=0.0,
        source="Directive 2000/84/EC, article 2 (the United Kingdom keeps the same rule)",
        kind="evidence",
        memory=True,
    )


def test_the_usual_rigging_screw(outside: Any) -> None:
    inch_mm = metres_to_millimetres(INCH_M)
    outside.close(
        id="B04",
        what="pitch and diameter of a 5/16-24 thread [mm]",
        got=[USUAL_PITCH_MM, USUAL_THREAD_MM],
        expected=[inch_mm / 24.0, inch_mm * 5.0 / 16.0],
        atol=5e-5,
        source="ASME B1.1, unified fine series 5/16-24",
        kind="arithmetic",
        memory=True,
    )
