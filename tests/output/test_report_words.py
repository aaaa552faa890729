from datetime import UTC, datetime

import pytest

from cringle.output.report_words import (
    SKIPPED_WORDS,
    bearing,
    clock,
    counted,
    day,
    duration,
    headings,
    heel_sentence,
    lines_read,
    number,
    thousands,
    what_happened,
    wind_angle,
)
from cringle.track.debrief.debrief import Debrief
from cringle.track.reading.report import SKIP_REASONS
from cringle.track.sailing.heel import HeelBand, HeelPart

AT = datetime(2026, 6, 17, 17, 30, 5, tzinfo=UTC)


def test_numbers() -> None:
    assert [number(-1.25), number(None), number(2.5, 0), number(3.14159, 2)] == ["−1.2", "–", "2", "3.14"]
    assert thousands(59887) == "59\N{NARROW NO-BREAK SPACE}887"


def test_bearings_have_three_figures() -> None:
    assert [bearing(5.2), bearing(359.7), bearing(None)] == ["005°", "000°", "–"]


def test_sides_are_words() -> None:
    assert [wind_angle(42.4), wind_angle(-42.6)] == ["42° starboard", "43° port"]


def test_clock_is_local() -> None:
    assert clock(AT, "Europe/London") == "18:30:05"
    assert clock(AT, "UTC", seconds=False) == "17:30"
    assert day(datetime(2026, 6, 17, 23, 30, tzinfo=UTC), "Europe/London") == "18 June 2026"


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(40, "40 s"), (89, "89 s"), (2204, "37 min"), (14845, "4 h 07 min"), (3599, "1 h 00 min")],
)
def test_durations(seconds: float, words: str) -> None:
    assert duration(seconds) == words


def test_counts() -> None:
    assert [counted(0, "tack"), counted(1, "tack"), counted(6, "tack")] == ["no tacks", "1 tack", "6 tacks"]


def test_headings_say_what_they_are() -> None:
    assert headings("magnetic heading") == "Headings are magnetic."
    assert headings(None) == "Headings are not known."


def test_every_skip_reason_has_words() -> None:
    assert set(SKIPPED_WORDS) == set(SKIP_REASONS)


def test_heel_with_and_without_band() -> None:
    band = HeelBand(13.0, 17.0, "given")
    with_band = heel_sentence("upwind", HeelPart(600, 14.2, 2.7, 10.0, 17.0, band, 0.59))
    assert with_band == (
        "Upwind you heeled 14.2° on average, standard deviation 2.7°; "
        "59 % of the time was between 13° and 17°."
    )
    without = heel_sentence("downwind", HeelPart(600, -1.0, 2.0, -3.0, 1.0, None, None))
    assert without == "Downwind you heeled −1.0° on average, standard deviation 2.0°."


def test_sentences_of_the_evening(evening: Debrief) -> None:
    said = what_happened(evening)
    assert said[0].startswith("From 18:30 to 19:06 (37 min) you covered 3.1 nautical miles over ground")
    assert "You made 8 tacks and 6 gybes." in said
    assert any(one.startswith("The true wind was 10.7 kn from 235°") for one in said)
    assert any("tacks, speed went from 5.0 kn to 2.1 kn" in one for one in said)


def test_sentences_of_a_log_under_engine(motoring: Debrief) -> None:
    said = " ".join(what_happened(motoring))
    assert "You made no tacks and no gybes." in said
    assert "without a tack or gybe: " in said
    assert "In the middle one" not in said


def test_sentences_without_wind(windless: Debrief) -> None:
    said = what_happened(windless)
    assert "You made 1 turn of 60° or more." in said
    assert not any("wind" in one for one in said)


def test_lines(evening: Debrief, windless: Debrief) -> None:
    assert lines_read(evening).endswith("Skipped: 4 wrong checksum.")
    assert lines_read(windless).endswith("none skipped.")
