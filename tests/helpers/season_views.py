"""A small season as it is shown."""

from __future__ import annotations

from cringle.output.season_words import SeasonView
from cringle.track.season.trends import groups, log_means, trends


def leg(day: int, number: int, **changed: object) -> dict[str, object]:
    """Return a row of a season: the leg of a day in May."""
    up = number % 2 == 1
    return {
        "file": f"/logs/<w{day}>.csv",
        "sha256": f"{day:064d}",
        "day": f"2026-05-{day:02d}",
        "leg": number,
        "name": f"{'beat' if up else 'run'} {(number + 1) // 2}",
        "start": f"2026-05-{day:02d}T17:30:00+00:00",
        "duration_s": 480.0,
        "tws_kn": 8.0 + day / 4.0,
        "twd_deg": 226.0,
        "wind_strength_source": "instruments",
        "heel_in_band_share": 0.4 + day / 100.0,
        "heel_error_deg": 1.0,
        "tacks": 6 if up else 0,
        "gybes": 0 if up else 4,
        "tack_loss_m": 16.0 - day / 5.0 if up else None,
        "gybe_loss_m": None if up else 9.0,
        "lost_s": 64.0,
        "lost_s_per_min": 8.0,
        "lost_heel_s": 4.0,
        "lost_trim_s": 12.0,
        "crew": "Ines, Keo",
        "sail_hours": 10.0 + day,
        "settings": {"backstay": 4.5, "jib_halyard": 3.0},
        **changed,
    }


def season_view() -> SeasonView:
    """Return a season of five days, one log without a leg, one that could not be read."""
    rows = [leg(day, number) for day in (6, 13, 14, 20, 27) for number in (1, 2)]
    rows.append({**dict.fromkeys(rows[0]), "file": "drift.csv", "day": "2026-05-30", "duration_s": 900.0})
    means = log_means(rows)
    return SeasonView("Brindle & co", rows, means, trends(means), groups(means), ["bad.nmea: no <log>"], 7)
