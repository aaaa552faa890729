"""A season in words."""

from __future__ import annotations

import pytest

from cringle.output.season_words import (
    MEASURES,
    SeasonView,
    axis_words,
    clear_trends,
    season_head,
    trend_sentence,
    unknown_sentences,
)
from cringle.track.season.trends import MEASURES as FOLLOWED
from cringle.track.season.trends import OTHER_LOSSES, Trend

LEG = {
    "leg": 1,
    "file": "a.csv",
    "day": "2026-05-06",
    "duration_s": 1800.0,
    "heel_in_band_share": 0.4,
    "wind_strength_source": "instruments",
}
MEAN = {"day": "2026-05-06", "crew": "Ines, Keo"}


def view(**changed: object) -> SeasonView:
    parts = {"boat": "Brindle", "rows": [LEG], "means": [MEAN], "trends": [], "groups": [], "files": 1}
    return SeasonView(**{**parts, **changed})  # type: ignore[arg-type]  # what a test leaves out is above


def test_everything_followed_has_words() -> None:
    assert set(FOLLOWED) <= set(MEASURES)
    assert {one for one in OTHER_LOSSES if "_set_" not in one and "_drop_" not in one} <= set(MEASURES)


def test_how_much_sailing_it_is() -> None:
    assert season_head(view()) == "1 log, 1 leg and 0.5 hours of racing on 1 day, 6 May 2026."
    two = view(rows=[LEG, LEG], means=[MEAN, {**MEAN, "day": "2026-06-17"}], files=3)
    assert season_head(two) == "3 logs, 2 legs and 1.0 hours of racing on 2 days, 6 May 2026 to 17 June 2026."
    assert season_head(view(rows=[], means=[], files=2)) == "2 logs, no leg of a race in any."


def test_what_the_data_cannot_tell() -> None:
    plain = unknown_sentences(view())
    assert plain[0].endswith("no proof of a cause. A trial is.")
    assert plain[1:] == ["Fewer than four logs with legs, or all alike: no trend can be told."]
    blind = {**LEG, "heel_in_band_share": None, "wind_strength_source": "inferred from the boat's speed"}
    said = unknown_sentences(view(rows=[LEG, blind], means=[{"day": "2026-05-06"}], failed=["bad.nmea: x"]))
    assert "On 1 of 2 legs the wind's speed is inferred" in said[2]
    assert said[3] == "On 1 of 2 legs heel, or its target, is not known."
    assert said[4] == "For 1 of 1 log nobody noted who was aboard."
    assert said[5] == "1 log could not be used: named at the end."


def test_how_many_lines_would_be_clear_by_chance() -> None:
    clear, unclear = Trend("tack_loss_m", "days", 1.0, 0.5, 1.5, 8), Trend("tack_loss_m", "days", 0, -1, 1, 8)
    said = unknown_sentences(view(trends=[clear] * 3 + [unclear] * 17))
    assert said[1] == (
        "20 lines were looked at and 3 are clear at nine chances in ten;"
        " about 2 would look so by chance alone."
    )


@pytest.mark.parametrize(
    ("trend", "words"),
    [
        (
            Trend("tack_loss_m", "days", -0.2, -0.3, -0.1, 8),
            "Lost in a tack: −1.4 m for each week that went by (nine chances in ten: −2.1 to −0.7; 8 logs).",
        ),
        (
            Trend("heel_in_band_share", "wind_kn", 0.02, 0.011, 0.029, 5),
            "Heel within 2° of its target: +2.0 % of the time for each knot more wind"
            " (nine chances in ten: +1.1 to +2.9; 5 logs).",
        ),
        (
            Trend("lost_angle_s_per_min", "setting backstay", 0.2, 0.004, 0.4, 4),
            "Lost to angle: +0.200 s a minute for each mark more on the backstay"
            " (nine chances in ten: +0.004 to +0.400; 4 logs).",
        ),
    ],
)
def test_a_trend_in_a_sentence(trend: Trend, words: str) -> None:
    assert trend_sentence(trend) == words


def test_what_it_is_held_against() -> None:
    assert axis_words("sail_hours") == ("for ten hours more on the most used sail", 10.0)
    assert axis_words("setting jib_halyard") == ("for each mark more on the jib halyard", 1.0)


def test_clear_trends_the_surest_first() -> None:
    sure, less = (
        Trend("tack_loss_m", "days", 1.0, 0.9, 1.1, 8),
        Trend("gybe_loss_m", "days", 1.0, 0.1, 1.9, 8),
    )
    assert clear_trends([less, Trend("tack_loss_m", "days", 0.0, -1, 1, 8), sure]) == [sure, less]


def test_a_value_with_its_unit() -> None:
    assert MEASURES["heel_in_band_share"].text(0.413) == "41 % of the time"
    assert MEASURES["heel_error_deg"].text(-0.46) == "−0.5 °"
    assert MEASURES["tack_loss_m"].text(None) == "–"
