"""Identifiers and digests of the records against the standards that define them."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from cringle.book.files import sha256_of
from cringle.book.identifiers import uuid7


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
