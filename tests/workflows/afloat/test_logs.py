"""Logs into the book and out again as a debrief."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from cringle.book.entries import NewEntry, number_payload
from cringle.book.store import Book
from cringle.errors import CringleError, InputError, LogError
from cringle.findings import Number, Source
from cringle.track.debrief.as_json import as_json
from cringle.track.race.correction import Correction
from cringle.track.reading.options import ReadOptions
from cringle.workflows.afloat.logs import (
    DebriefWishes,
    debrief_beside,
    debrief_days,
    debrief_log,
    list_logs,
    read_into_book,
    write_report,
)
from cringle.workflows.outings.outing import Door, show_outing, start_outing

REAL = Path(__file__).parents[2] / "data" / "logs"


@pytest.fixture
def log(examples: Path) -> Path:
    return examples / "evening.nmea"


def entries(book: Path) -> int:
    with Book.open(book) as records:
        return len(records.history("log"))


def test_a_log_is_kept_byte_for_byte_and_once(book_folder: Path, log: Path) -> None:
    (first,) = read_into_book([log], book=book_folder, who="Ines")
    (again,) = read_into_book([log], book=book_folder, who="Ines")
    assert (first.already_there, again.already_there) == (False, True)
    assert entries(book_folder) == 1
    (kept,) = list_logs(book_folder)
    assert (kept.name, kept.rows, kept.outing) == ("evening.nmea", first.rows, None)
    original = book_folder / "logs" / kept.sha256 / "original.nmea"
    assert original.read_bytes() == log.read_bytes()


def test_a_log_goes_to_the_outing_of_its_local_day(book_folder: Path, log: Path) -> None:
    start_outing(Door(book_folder, at="2026-06-17T18:00"))
    (kept,) = read_into_book([log], book=book_folder, who="Ines")
    assert kept.outing == "2026-06-17"
    assert [one.name for one in show_outing(book_folder, "2026-06-17").logs] == ["evening.nmea"]


def test_an_outing_made_later_gets_the_log_when_it_is_read_again(book_folder: Path, log: Path) -> None:
    read_into_book([log], book=book_folder, who="Ines")
    start_outing(Door(book_folder, at="2026-06-17T18:00"))
    for _ in range(2):
        (kept,) = read_into_book([log], book=book_folder, who="Ines")
        assert kept.outing == "2026-06-17"
    assert entries(book_folder) == 2


def two_days(log: Path, tmp_path: Path) -> Path:
    """Write a file of two evenings: the log, and its first twenty minutes again two days later."""
    lines = log.read_text(encoding="latin-1").splitlines()
    again = [line for line in lines if line.startswith("$")][: len(lines) // 2]
    path = tmp_path / "both.nmea"
    later = [seal(line.split("*")[0].replace(",170626,", ",190626,")) for line in again]
    path.write_text("\n".join([*lines, *later]) + "\n", encoding="latin-1")
    return path


def seal(body: str) -> str:
    total = 0
    for letter in body[1:]:
        total ^= ord(letter)
    return f"{body}*{total:02X}"


def test_two_days_in_one_file_are_debriefed_one_by_one(book_folder: Path, log: Path, tmp_path: Path) -> None:
    both = two_days(log, tmp_path)
    longest, other = debrief_days(both, book=book_folder)
    assert (longest.day, other.day) == (date(2026, 6, 17), date(2026, 6, 19))
    assert longest.days == other.days == (date(2026, 6, 17), date(2026, 6, 19))
    assert longest.unknown[0].startswith("The file holds 2 days of sailing. This is 2026-06-17")
    alone = debrief_log(log, book=book_folder)
    assert (longest.tacks, longest.gybes) == (alone.tacks, alone.gybes)
    assert longest.race is not None
    assert alone.race is not None
    assert longest.race.ledger == alone.race.ledger
    wishes = DebriefWishes(day=date(2026, 6, 19))
    (asked,) = debrief_days(both, book=book_folder, wishes=wishes)
    assert as_json(asked) == as_json(other) == as_json(debrief_log(both, book=book_folder, wishes=wishes))
    assert asked.tacks is not None
    assert 0 < asked.tacks < alone.tacks  # type: ignore[operator]  # the log has wind
    for day, found in ((date(2026, 6, 19), other), (date(2026, 6, 18), longest)):
        preferred = debrief_log(both, book=book_folder, wishes=DebriefWishes(prefer=day))
        assert preferred.day == found.day
    with pytest.raises(InputError, match="no sailing on 2026-06-18"):
        debrief_log(both, book=book_folder, wishes=DebriefWishes(day=date(2026, 6, 18)))


def test_a_correction_belongs_to_its_day(log: Path, tmp_path: Path) -> None:
    both = two_days(log, tmp_path)
    first, second = debrief_days(both)
    assert first.manoeuvres is not None
    said = (Correction("tack", "remove", first.manoeuvres[0].at),)
    first, second = debrief_days(both, wishes=DebriefWishes(corrections=said))
    assert (first.corrections, first.missed) == (said, ())
    assert (second.corrections, second.missed) == ((), ())


def test_a_bad_log_keeps_nothing(book_folder: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.nmea"
    bad.write_bytes(b"")
    with pytest.raises(LogError):
        read_into_book([bad], book=book_folder, who="Ines")
    assert list_logs(book_folder) == []


def test_a_kept_log_is_debriefed_by_name_stem_or_key(book_folder: Path, log: Path) -> None:
    (kept,) = read_into_book([log], book=book_folder, who="Ines")
    fresh = as_json(debrief_log(log, book=book_folder))
    for name in ("evening.nmea", "evening", kept.sha256[:12]):
        assert as_json(debrief_log(Path(name), book=book_folder)) == fresh


def test_an_unknown_name_says_what_there_is(book_folder: Path, log: Path) -> None:
    with pytest.raises(InputError, match="it has: none yet"):
        debrief_log(Path("nothing"), book=book_folder)
    read_into_book([log], book=book_folder, who="Ines")
    with pytest.raises(InputError, match=r"it has: evening\.nmea"):
        debrief_log(Path("nothing"), book=book_folder)


def test_two_logs_of_one_name_are_told_apart_by_key(book_folder: Path, log: Path, tmp_path: Path) -> None:
    other = tmp_path / "evening.nmea"
    other.write_bytes(log.read_bytes()[: log.stat().st_size // 2])
    read_into_book([log, other], book=book_folder, who="Ines")
    with pytest.raises(InputError, match="2 logs are called 'evening'"):
        debrief_log(Path("evening"), book=book_folder)


def test_without_a_book_a_missing_file_is_the_readers_error(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="no such file"):
        debrief_log(tmp_path / "absent.nmea")


def test_the_book_gives_name_and_zone(book_folder: Path, log: Path) -> None:
    found = debrief_log(log, book=book_folder)
    assert (found.boat, found.time_zone) == ("Brindle", "Europe/London")
    mine = debrief_log(log, book=book_folder, wishes=DebriefWishes(time_zone="UTC", boat="Other"))
    assert (mine.boat, mine.time_zone) == ("Other", "UTC")
    assert debrief_log(log).boat is None


def test_a_wrong_zone_is_refused(log: Path) -> None:
    with pytest.raises(InputError, match="no time zone 'Tarrow/Water'"):
        debrief_log(log, wishes=DebriefWishes(time_zone="Tarrow/Water"))


def test_given_heel_targets_make_bands(log: Path) -> None:
    found = debrief_log(log, wishes=DebriefWishes(heel_targets_deg={"upwind": 14.0}))
    assert found.heel is not None
    up = found.heel.by_point_of_sail["upwind"]
    assert up is not None
    assert up.band is not None
    assert found.race is not None
    assert found.race.heel is not None
    assert found.race.heel.upwind is not None
    over = up.mean_deg - 0.5 * (up.band.low_deg + up.band.high_deg)
    assert found.race.heel.upwind.error_mean_deg == pytest.approx(over, abs=1.0)  # one target on every part
    assert (up.band.low_deg, up.band.high_deg) == (12.0, 16.0)
    down = found.heel.by_point_of_sail["downwind"]
    assert down is not None
    assert down.band is not None
    assert (up.band.source, down.band.source) == ("given", "computed")


def test_an_unknown_point_of_sail_is_refused(log: Path) -> None:
    with pytest.raises(InputError, match="upwind, reaching, downwind"):
        debrief_log(log, wishes=DebriefWishes(heel_targets_deg={"sideways": 14.0}))


def test_the_books_heel_targets_make_bands_for_the_wind_of_the_day(book_folder: Path, log: Path) -> None:
    rows = [
        NewEntry(
            "heel_target",
            "table",
            number_payload(Number(heel, "deg", Source.ENTERED)),
            unit="deg",
            sail_set=sails,
            sea="chop",
            wind_kn=wind,
            gear=gear,
        )
        for sails, gear, wind, heel in (
            ("main+jib", "settled", 8.0, 12.0),
            ("main+jib", "settled", 12.0, 16.0),
            ("main+kite", "soak", 10.0, 6.0),
        )
    ]
    with Book.open(book_folder, create=True, who="Ines") as book:
        book.write(rows, why="targets")
    found = debrief_log(log, book=book_folder)
    assert found.heel is not None
    up, down = (found.heel.by_point_of_sail[name] for name in ("upwind", "downwind"))
    assert up is not None
    assert down is not None
    assert up.band is not None
    assert down.band is not None
    assert (up.band.low_deg, up.band.high_deg, up.band.source) == (13.0, 17.0, "entered")
    assert (down.band.low_deg, down.band.high_deg) == (4.0, 8.0)
    assert found.heel.in_band_share is not None


def test_where_the_book_has_no_target_the_polars_stands_in(
    book_folder: Path, log: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from cringle.workflows.afloat import logs_told

    def refuse(*_: object) -> None:
        raise CringleError("no table")

    monkeypatch.setattr(logs_told, "tonight", refuse)
    found = debrief_log(log, book=book_folder)
    assert found.heel is not None
    bands = [part.band for part in found.heel.by_point_of_sail.values() if part and part.band]
    assert {band.source for band in bands} == {"computed"}


def test_a_heel_record_is_merged_by_time(tmp_path: Path) -> None:
    heel = tmp_path / "phone.csv"
    rows = [
        f"2008-07-14T20:{minute:02d}:{second:02d}Z,18.0" for minute in range(8, 20) for second in range(60)
    ]
    heel.write_text("\n".join(["time,roll_deg", *rows]) + "\n", encoding="utf-8")
    found = debrief_log(REAL / "upwind-tacks-2008.log", wishes=DebriefWishes(heel_csv=heel))
    assert found.heel is not None
    up = found.heel.by_point_of_sail["upwind"]
    assert up is not None
    assert_allclose(up.mean_deg, 18.0, atol=0.5)


def test_an_undated_log_needs_its_date() -> None:
    with pytest.raises(InputError, match="date"):
        debrief_log(REAL / "motoring-2014.log")
    options = replace(ReadOptions(), date=date(2014, 6, 1))
    assert debrief_log(REAL / "motoring-2014.log", wishes=DebriefWishes(options)).tacks == 0


def test_found_beside_noted() -> None:
    found = debrief_log(REAL / "upwind-tacks-2008.log")
    pairs = debrief_beside(found, REAL / "upwind-tacks-2008-tacks.csv")
    assert all(pair.late_s is not None and abs(pair.late_s) <= 2.0 for pair in pairs)


def test_progress_is_told(log: Path) -> None:
    seen: list[tuple[int, int]] = []
    debrief_log(log, progress=lambda done, total: seen.append((done, total)))
    assert seen[-1] == (log.stat().st_size, log.stat().st_size)


def test_the_report_is_written(log: Path, tmp_path: Path) -> None:
    write_report(debrief_log(log), tmp_path / "report.html")
    assert "You made 8 tacks and 6 gybes." in (tmp_path / "report.html").read_text(encoding="utf-8")
