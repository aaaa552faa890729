"""Corrections followed by a whole debrief, and said in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from cringle.track.debrief.as_json import as_json
from cringle.track.debrief.correct import (
    NO_WIND,
    corrected_found,
    correction_words,
    missed_sentences,
    missed_without_race,
)
from cringle.track.debrief.debrief import Debrief, DebriefOptions, debrief
from cringle.track.debrief.race import RaceOptions
from cringle.track.frozen_polar import sketch_polar
from cringle.track.race.correct import Missed
from cringle.track.race.correction import Correction
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.track.simulator.simulate import simulate
from cringle.track.simulator.write import write_csv

AT = datetime(2026, 6, 17, 17, 5, tzinfo=UTC)
OPTIONS = RaceOptions(sketch_polar())


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> TrackLog:
    sensors = SimSensors(rate_hz=1.0, heel=True, instruments=True)
    boat = simulate(SimOptions(leg_m=700.0, sensors=sensors), sketch_polar(), 1).boats[0]
    path = tmp_path_factory.mktemp("boat") / "boat.csv"
    path.write_bytes(write_csv(boat.fixes, boat.name))
    return read_log(path)


def of(log: TrackLog, *corrections: Correction) -> Debrief:
    options = DebriefOptions(race=replace(OPTIONS, corrections=corrections), time_zone="Europe/London")
    return debrief(log, name="boat.csv", options=options)


def test_everything_follows_a_correction(log: TrackLog) -> None:
    plain = of(log)
    assert plain.race is not None
    assert plain.race.ledger is not None
    assert plain.manoeuvres is not None
    start = plain.race.structure.starts[0].at
    tack = next(one for one in plain.manoeuvres if one.kind == "tack")
    said = (
        Correction("start", "move", start, start + timedelta(seconds=30)),
        Correction("tack", "remove", tack.at),
    )
    found = of(log, *said)
    assert found.race is not None
    assert found.race.ledger is not None
    assert found.corrections == said
    assert found.tacks == plain.tacks - 1  # type: ignore[operator]  # the log has wind
    assert found.race.legs[0].leg.seconds == plain.race.legs[0].leg.seconds - 30
    assert found.race.ledger.sailed_s == plain.race.ledger.sailed_s - 30
    assert len(found.race.manoeuvres) == len(plain.race.manoeuvres) - 1
    values = as_json(found)
    assert values["corrections"] == [one.to_json() for one in said]
    assert len(values["manoeuvres"]) == found.tacks + found.gybes  # type: ignore[operator]  # as above


def test_what_fits_nothing_is_named_and_changes_nothing(log: TrackLog) -> None:
    plain = of(log)
    stale = Correction("gybe", "remove", AT - timedelta(days=1))
    other = Correction("leg", "remove", AT - timedelta(days=1))
    found = of(log, stale, other)
    assert found.corrections == ()
    assert found.unknown[:2] == (
        "A correction fits nothing in this log any more and was left out: no gybe at 18:05:00.",
        "A correction fits nothing in this log any more and was left out: no leg at 18:05:00.",
    )
    assert [one.correction for one in found.missed] == [stale, other]
    assert found.missed[0].why.startswith("no gybe within 30 s of")
    assert found.manoeuvres == plain.manoeuvres
    assert found.unknown[2:] == plain.unknown


def test_without_wind_no_correction_fits(log: TrackLog) -> None:
    one = Correction("tack", "add", AT)
    assert corrected_found(None, [one], None) == (None, (Missed(one, NO_WIND),))  # type: ignore[arg-type]  # not looked at
    assert len(missed_sentences([Missed(one, NO_WIND)], "UTC")) == 1
    assert missed_without_race([one, Correction("leg", "remove", AT)]) == (
        Missed(Correction("leg", "remove", AT), NO_WIND),
    )


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (("start", "move", AT, AT + timedelta(seconds=70)), "start moved from 17:05:00 to 17:06:10"),
        (("tack", "remove", AT), "no tack at 17:05:00"),
        (("tack", "add", AT), "tack added at 17:05:00"),
        (("rounding", "add", AT, None, "windward"), "windward mark rounded added at 17:05:00"),
        (("rounding", "rename", AT, None, "offset"), "rounding at 17:05:00 was the offset mark"),
        (("leg", "add", AT, AT + timedelta(minutes=5), "up"), "up leg added from 17:05:00 to 17:10:00"),
        (("recall", "remove", AT), "start at 17:05:00 was not recalled"),
        (("recall", "add", AT), "start at 17:05:00 was recalled"),
        (
            ("recall", "add", AT, AT + timedelta(minutes=5)),
            "start at 17:05:00 was recalled, the one that counted was at 17:10:00",
        ),
    ],
)
def test_in_words(one: tuple[object, ...], words: str) -> None:
    assert correction_words(Correction(*one), "UTC") == words  # type: ignore[arg-type]  # from the table
