from __future__ import annotations

import polars as pl

from cringle.track.schema import (
    CHANNELS,
    DIRECTIONS,
    SIGNED_ANGLES,
    TIME,
    TRACK_COLUMNS,
    TRACK_SCHEMA,
    empty_track,
    side_schema,
)


def test_columns_in_their_order() -> None:
    wanted = "time lat lon sog stw aws tws cog hdg twd awa twa roll pitch rot rudder hdg_mag"
    assert list(TRACK_COLUMNS) == wanted.split()
    assert list(TRACK_SCHEMA) == list(TRACK_COLUMNS)
    assert TRACK_SCHEMA["time"] == TIME
    assert all(kind == pl.Float64 for name, kind in TRACK_SCHEMA.items() if name != "time")


def test_every_column_but_the_fix_belongs_to_a_channel() -> None:
    carried = {name for names in CHANNELS.values() for name in names}
    assert carried == set(TRACK_COLUMNS) - {"time", "lat", "lon"}
    assert carried > DIRECTIONS | SIGNED_ANGLES


def test_side_tables() -> None:
    assert list(side_schema("attitude")) == ["time", "roll", "pitch", "source"]
    assert empty_track().height == 0
