from __future__ import annotations

import json
from datetime import UTC, datetime

from cringle.track.reading.report import (
    EXAMPLES_PER_REASON,
    SKIP_REASONS,
    BadLine,
    Gap,
    ReadReport,
    Tally,
    WeekShift,
    report_from_dict,
    report_to_dict,
)

START = datetime(2026, 5, 3, 17, tzinfo=UTC)


def test_a_report_survives_json() -> None:
    report = ReadReport(
        format="nmea",
        sha256="ab",
        bytes_read=10,
        lines_read=3,
        lines_good=1,
        lines_skipped={"bad_field": 2},
        first_bad=(BadLine(2, "bad_field", "$x"),),
        sentences={"RMC": 3},
        rows=1,
        gaps=(Gap(START, 30.0),),
        gap_count=1,
        shifted_weeks=WeekShift(START, START, 1024),
        start=START,
        end=START,
        channels={"heading": 1.0},
        notes=("a note",),
    )
    assert report_from_dict(json.loads(json.dumps(report_to_dict(report)))) == report
    bare = ReadReport("csv", "ab", 0, 0, 0, {})
    assert report_from_dict(json.loads(json.dumps(report_to_dict(bare)))) == bare


def test_a_tally_keeps_the_first_examples_and_the_order_of_reasons() -> None:
    tally = Tally()
    for line in range(10):
        tally.example(line, "unknown", "x")
    tally.skip("other_text", 1)
    tally.skip("not_framed", 2)
    tally.skip("not_framed", 3)
    tally.skip("ais", 0)
    assert len(tally.first_bad()) == EXAMPLES_PER_REASON
    assert tally.ordered_skips() == {"not_framed": 5, "other_text": 1}
    assert list(tally.ordered_skips()) == [reason for reason in SKIP_REASONS if reason in tally.skipped]
