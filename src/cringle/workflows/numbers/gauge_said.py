"""What the newest study of each control said: can the crew set it again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from cringle.workflows.book_open import Records

GAUGE: Final = "gauge_study"


@dataclass(frozen=True)
class GaugeSaid:
    """The newest gauge study of a control: day, verdict and words, and what a change of hardware did."""

    control: str
    day: date
    verdict: str
    words: str
    change: str | None


def gauges_said(records: Records) -> Iterator[GaugeSaid]:
    """Yield the newest gauge study of each control that has one."""
    newest = {one.key.subject: one for one in records.book.history(GAUGE)}
    for control, one in newest.items():
        study, change = one.payload["study"], one.payload.get("change")
        day = one.at.astimezone(records.zone).date()
        said = None if change is None else str(change["words"])
        yield GaugeSaid(control, day, str(study["verdict"]), str(study["words"]), said)
