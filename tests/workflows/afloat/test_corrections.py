"""Correcting a log: said by a person, tried, kept, followed by the debrief, undone."""

from __future__ import annotations

import shutil
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from cringle.errors import InputError
from cringle.track.debrief.debrief import Debrief
from cringle.workflows.afloat.corrections import (
    Asked,
    asked_of,
    correct_log,
    corrections_of,
    leg_end_of,
    undo_in_log,
)
from cringle.workflows.afloat.logs import DebriefWishes, debrief_log

LOG = Path("evening")


def correct(book: Path, *asked: Asked, log: Path = LOG) -> Debrief:
    correct_log(book, log, asked, who="Ines", why="seen from the boat")
    return debrief_log(log, book=book)


def clock(at: datetime) -> str:
    """Return the local time of the boat's zone, an hour ahead of UTC that evening."""
    return f"{at + timedelta(hours=1):%H:%M:%S}"


def test_a_start_said_by_the_clock_on_the_wall(sailed_book: Path, raced: Debrief) -> None:
    assert raced.race is not None
    before = raced.race.structure.starts[0].at
    after = correct(sailed_book, Asked("move", "start", to=clock(before + timedelta(minutes=3))))
    assert after.race is not None
    assert after.race.structure.starts[0].at == before + timedelta(minutes=3)
    assert after.race.legs[0].leg.seconds == raced.race.legs[0].leg.seconds - 180
    assert after.corrections == (corrections_of(sailed_book, LOG).kept[0].correction,)
    undo_in_log(sailed_book, LOG, [1], who="Keo", why="it was right")
    again = debrief_log(LOG, book=sailed_book)
    assert again.race is not None
    assert again.race.structure == raced.race.structure
    (undone,) = corrections_of(sailed_book, LOG).kept
    assert undone.undone
    told = corrections_of(sailed_book, LOG).to_json()["corrections"][0]
    assert told["words"] == f"start moved from {clock(before)} to {clock(before + timedelta(minutes=3))}"


def test_a_manoeuvre_by_its_number_and_one_by_its_time(sailed_book: Path, raced: Debrief) -> None:
    assert raced.manoeuvres is not None
    tack = raced.manoeuvres[0]
    more = tack.at + timedelta(seconds=35)
    after = correct(
        sailed_book, Asked("remove", "manoeuvre", number=1), asked_of("add", f"gybe@{clock(more)}")
    )
    assert after.manoeuvres is not None
    assert (after.tacks, after.gybes) == (raced.tacks - 1, raced.gybes + 1)  # type: ignore[operator]
    assert after.manoeuvres[0].at == more
    moved = Asked("move", "manoeuvre", number=2, to=clock(raced.manoeuvres[1].at + timedelta(seconds=4)))
    assert correct(sailed_book, moved).manoeuvres[1].at == raced.manoeuvres[1].at + timedelta(seconds=4)  # type: ignore[index]


def test_the_end_of_a_leg_by_its_number(sailed_book: Path, raced: Debrief) -> None:
    assert raced.race is not None
    legs = [one.leg for one in raced.race.legs]
    run = next(number for number, one in enumerate(legs, start=1) if one.kind == "run")
    to = legs[run - 1].end_at - timedelta(seconds=20)
    sooner = legs[-1].end_at - timedelta(seconds=30)
    after = correct(sailed_book, leg_end_of(f"{run}={clock(to)}"), leg_end_of(f"{len(legs)}={clock(sooner)}"))
    assert after.race is not None
    assert after.race.legs[run - 1].leg.end_at == after.race.legs[run].leg.start_at == to
    assert after.race.structure.finishes[0].at == sooner
    given_up = correct(sailed_book, asked_of("remove", f"finish@{clock(sooner)}"))
    assert given_up.race is not None
    assert given_up.race.structure.abandoned == (1,)
    back = correct(sailed_book, leg_end_of(f"{len(legs)}={clock(sooner)}"))
    assert back.race is not None
    assert back.race.structure.finishes[0].at == sooner


def test_the_same_file_elsewhere_is_the_same_log(sailed_book: Path, tmp_path: Path, examples: Path) -> None:
    copy = tmp_path / "copied.nmea"
    shutil.copyfile(examples / "evening.nmea", copy)
    after = correct(sailed_book, Asked("remove", "manoeuvre", number=1), log=copy)
    assert debrief_log(LOG, book=sailed_book).corrections == after.corrections != ()
    assert debrief_log(copy).corrections == ()


@pytest.mark.parametrize(
    ("asked", "match"),
    [
        (Asked("move", "start", to="22:00"), "outside the log, which goes from 18:30:00 to 19:06:44"),
        (Asked("move", "start", to="soon"), "'soon' is no time"),
        (Asked("remove", "manoeuvre", number=99), "no manoeuvre 99"),
        (Asked("remove", "manoeuvre", number=0), "no manoeuvre 0"),
        (Asked("move", "leg end", number=40, to="18:40"), "no leg 40"),
        (Asked("remove", "tack", at="18:31"), "no tack within 30 s"),
        (Asked("remove", "wave", at="18:31"), "correction of 'wave'"),
        (Asked("move", "recall", to="18:31"), "no recall was found"),
    ],
)
def test_what_means_nothing_is_refused_and_nothing_is_kept(
    sailed_book: Path, asked: Asked, match: str
) -> None:
    good = Asked("remove", "manoeuvre", number=1)
    with pytest.raises(InputError, match=match):
        correct_log(sailed_book, LOG, [good, asked], who="Ines", why="a slip")
    assert corrections_of(sailed_book, LOG).kept == ()


def test_a_log_nobody_knows(sailed_book: Path) -> None:
    with pytest.raises(InputError, match="no such file, and no log of that name"):
        corrections_of(sailed_book, Path("nowhere"))


def test_times_with_a_date_and_a_zone(sailed_book: Path, raced: Debrief) -> None:
    assert raced.race is not None
    to = raced.race.structure.starts[0].at + timedelta(seconds=15)
    for text in (to.isoformat(), f"{to + timedelta(hours=1):%Y-%m-%d %H:%M:%S}"):
        tried = correct(sailed_book, Asked("move", "start", to=text))
        assert tried.race is not None
        assert tried.race.structure.starts[0].at == to


@pytest.mark.parametrize(
    ("action", "text", "asked"),
    [
        ("add", "tack@18:12:30", Asked("add", "tack", at="18:12:30")),
        ("add", "windward@18:20", Asked("add", "rounding", at="18:20", kind="windward")),
        ("rename", "offset@18:20", Asked("rename", "rounding", at="18:20", kind="offset")),
        ("remove", "windward@18:20", Asked("remove", "rounding", at="18:20")),
        ("move", "rounding@18:20=18:21", Asked("move", "rounding", at="18:20", to="18:21")),
        ("add", "up@18:05=18:20", Asked("add", "leg", at="18:05", to="18:20", kind="up")),
    ],
)
def test_what_is_typed(action: str, text: str, asked: Asked) -> None:
    assert asked_of(action, text) == asked


def test_what_is_typed_wrong() -> None:
    for text in ("tack", "wave@18:00", "tack@", "@18:00"):
        with pytest.raises(InputError, match="names no detection"):
            asked_of("add", text)
    with pytest.raises(InputError, match="is no end of a leg"):
        leg_end_of("two=18:00")


def test_corrections_may_be_tried_without_a_book(examples: Path) -> None:
    log = examples / "evening.nmea"
    plain = debrief_log(log)
    assert plain.manoeuvres is not None
    from cringle.track.race.correction import Correction

    said = (Correction("tack", "remove", plain.manoeuvres[0].at),)
    tried = debrief_log(log, wishes=DebriefWishes(corrections=said))
    assert tried.corrections == said
    assert tried.tacks == plain.tacks - 1  # type: ignore[operator]  # the log has wind
