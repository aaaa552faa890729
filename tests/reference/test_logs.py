"""Reading NMEA 0183 against another parser, published sentences and what recorded logs say of themselves."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pynmea2
import pytest
from geographiclib.geodesic import Geodesic

from cringle.track.reading.nmea import Parsed, parse_block
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.reading.report import Tally

LOGS = Path(__file__).parent.parent / "data" / "logs"
NAMES = (
    "upwind-tacks-2008.log",
    "reach-heel-2018.log",
    "motoring-2014.log",
    "malformed-xdr-2014.log",
    "numeric-talkers-2014.log",
    "lossy-line-2016.nmea",
)
PYNMEA2 = "pynmea2 1.19.0, field by field"


def short(name: str) -> str:
    return name.partition("-")[0]


def number(text: Any) -> float:
    return float("nan") if text in (None, "") else float(text)


def signed(angle: Any) -> float:
    value = number(angle)
    return value - 360.0 if value > 180.0 else value


def with_side(value: Any, letter: str, negative: str) -> float:
    return -number(value) if letter == negative and number(value) != 180.0 else number(value)


def clock(stamp: Any) -> float:
    if stamp in (None, ""):
        return float("nan")
    return stamp.hour * 3600.0 + stamp.minute * 60.0 + stamp.second + stamp.microsecond / 1e6


def days(stamp: Any) -> float:
    return float("nan") if stamp in (None, "") else float((stamp - date(1970, 1, 1)).days)


def zda_day(msg: Any) -> float:
    if not (msg.day and msg.month and msg.year):
        return float("nan")
    return days(
        date(int(msg.year) if int(msg.year) > 99 else 2000 + int(msg.year), int(msg.month), int(msg.day))
    )


def xdr(msg: Any, *names: str) -> float:
    fields = msg.data
    groups = [fields[place : place + 4] for place in range(0, len(fields) - 3, 4)]
    return next(
        (number(value) for kind, value, _, name in groups if kind == "A" and name in names), float("nan")
    )


def reference_wind(msg: Any, reference: str, value: float) -> float:
    return value if msg.reference == reference else float("nan")


EXPECTED: dict[str, dict[str, Callable[[Any], float]]] = {
    "RMC": {
        "clock": lambda m: clock(m.timestamp),
        "day": lambda m: days(m.datestamp),
        "lat": lambda m: m.latitude,
        "lon": lambda m: m.longitude,
        "sog": lambda m: number(m.spd_over_grnd),
        "cog": lambda m: number(m.true_course) % 360.0,
        "variation": lambda m: with_side(m.mag_variation, m.mag_var_dir, "W"),
    },
    "GGA": {"clock": lambda m: clock(m.timestamp), "lat": lambda m: m.latitude, "lon": lambda m: m.longitude},
    "GLL": {"clock": lambda m: clock(m.timestamp), "lat": lambda m: m.latitude, "lon": lambda m: m.longitude},
    "ZDA": {"clock": lambda m: clock(m.timestamp), "day": zda_day},
    "VTG": {"cog": lambda m: number(m.true_track) % 360.0, "sog": lambda m: number(m.spd_over_grnd_kts)},
    "HDG": {
        "hdg_mag": lambda m: number(m.heading),
        "variation": lambda m: with_side(m.variation, m.var_dir, "W"),
    },
    "HDM": {"hdg_mag": lambda m: number(m.heading) % 360.0},
    "HDT": {"hdg": lambda m: number(m.heading) % 360.0},
    "VHW": {
        "hdg": lambda m: number(m.heading_true) % 360.0,
        "hdg_mag": lambda m: number(m.heading_magnetic) % 360.0,
        "stw": lambda m: number(m.water_speed_knots),
    },
    "MWV": {
        "awa": lambda m: reference_wind(m, "R", signed(m.wind_angle)),
        "aws": lambda m: reference_wind(m, "R", number(m.wind_speed)),
        "twa": lambda m: reference_wind(m, "T", signed(m.wind_angle)),
        "tws": lambda m: reference_wind(m, "T", number(m.wind_speed)),
    },
    "MWD": {"twd": lambda m: number(m.direction_true) % 360.0, "tws": lambda m: number(m.wind_speed_knots)},
    "VWR": {"awa": lambda m: with_side(m.deg_r, m.l_r, "L"), "aws": lambda m: number(m.wind_speed_kn)},
    "VWT": {
        "twa": lambda m: with_side(m.wind_angle_vessel, m.direction, "L"),
        "tws": lambda m: number(m.wind_speed_knots),
    },
    "XDR": {
        "roll": lambda m: xdr(m, "HEEL"),
        "pitch": lambda m: xdr(m, "TRIM"),
        "rudder": lambda m: xdr(m, "RUDDER"),
    },
}
"""Sentence type to column to what the other parser says of it."""


def parsed(name: str) -> tuple[list[str], Parsed, Tally]:
    data, tally = (LOGS / name).read_bytes(), Tally()
    block = data if data.endswith(b"\n") else data + b"\n"
    return block.decode("latin-1").split("\n"), parse_block(block, tally), tally


@pytest.mark.parametrize("name", NAMES)
def test_every_field_of_every_sentence(outside: Any, name: str) -> None:
    lines, ours, _ = parsed(name)
    for kind, table in ours.tables.items():
        theirs = [pynmea2.parse(lines[line].strip(), check=True) for line in table.line]
        got = np.array([table.values[column] for column in EXPECTED[kind]])
        expected = np.array([[one(message) for message in theirs] for one in EXPECTED[kind].values()])
        np.testing.assert_array_equal(
            np.isnan(got), np.isnan(expected), err_msg=f"{name} {kind}: what is empty"
        )
        outside.close(
            id=f"LOG-{short(name)}-{kind}",
            what=f"{name}: {kind}, {len(theirs)} sentences, {', '.join(EXPECTED[kind])}",
            got=np.nan_to_num(got),
            expected=np.nan_to_num(expected),
            atol=1e-9,
            source=PYNMEA2,
        )


@pytest.mark.parametrize("name", NAMES)
def test_the_same_sentences_are_whole(outside: Any, name: str) -> None:
    lines, ours, tally = parsed(name)
    counts: dict[str, int] = defaultdict(int)
    for line in lines[:-1]:
        text = line.strip()
        try:
            message = pynmea2.parse(text, check=True)
        except pynmea2.ChecksumError:
            counts["wrong"] += 1
        except pynmea2.SentenceTypeError:
            counts["unknown"] += 1
        except pynmea2.ParseError:
            counts["unframed"] += 1
        else:
            known = getattr(message, "sentence_type", "") in EXPECTED and message.talker != ""
            counts["read" if known and "*" in text else "other"] += 1
    read = sum(len(table.line) for table in ours.tables.values())
    set_aside = tally.skipped.get("bad_field", 0) + tally.skipped.get("void_fix", 0)
    outside.close(
        id=f"LOG-{short(name)}-whole",
        what=f"{name}: sentences read, or set aside for a bad or void field",
        got=read + set_aside,
        expected=counts["read"],
        source=PYNMEA2,
    )


def test_good_wrong_and_unframed_lines_of_the_lossy_log(outside: Any) -> None:
    _, _, tally = parsed("lossy-line-2016.nmea")
    wrong, unframed = tally.skipped["bad_checksum"], tally.skipped["not_framed"]
    outside.close(
        id="LOG-lossy-lines",
        what="lossy-line-2016: good, wrong checksum, not framed",
        got=[tally.lines_read - wrong - unframed, wrong, unframed],
        expected=[3100, 303, 597],
        source="counted line by line with a regular expression, by another hand, when the extract was made",
    )


PUBLISHED = [
    ("$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47", "GGA", [48.1173, 11.516667]),
    ("$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A", "RMC", [48.1173, 11.516667]),
    ("$GPGLL,4916.45,N,12311.12,W,225444,A,*1D", "GLL", [49.274167, -123.185333]),
]


@pytest.mark.parametrize(("sentence", "kind", "position"), PUBLISHED)
def test_published_sentences(outside: Any, sentence: str, kind: str, position: list[float]) -> None:
    tally = Tally()
    values = parse_block(sentence.encode() + b"\r\n", tally).tables[kind].values
    outside.close(
        id=f"LOG-published-{kind}",
        what=f"checksum and position of a published {kind} sentence",
        got=[values["lat"][0], values["lon"][0]],
        expected=position,
        atol=5e-7,
        source="D. DePriest, NMEA data (the usual worked examples of the sentence layout)",
        memory=True,
    )


def speed_ratio(log: TrackLog) -> float:
    """Return speed from positions and the clock over the speed the receiver logged, where brisk."""
    track = log.track.drop_nulls(["lat", "lon", "sog"])[::15]
    place = track.select("lat", "lon").to_numpy()
    metres = np.array([Geodesic.WGS84.Inverse(*a, *b)["s12"] for a, b in pairwise(place)])
    seconds = track["time"].diff()[1:].dt.total_milliseconds().to_numpy() / 1000.0
    sog = track["sog"].to_numpy()
    steady = (np.abs(np.diff(sog)) < 0.5) & (sog[1:] > 5.0)
    knots = metres / seconds * 3600.0 / 1852.0
    return float(np.median(knots[steady] / ((sog[:-1] + sog[1:]) / 2.0)[steady]))


@pytest.mark.parametrize(
    ("name", "day"), [("upwind-tacks-2008.log", None), ("motoring-2014.log", date(2014, 6, 1))]
)
def test_positions_and_the_repaired_clock_give_the_speed_the_receiver_logged(
    outside: Any, name: str, day: date | None
) -> None:
    outside.within(
        id=f"LOG-{short(name)}-speed",
        what=f"{name}: geodesic distance over rebuilt time, divided by logged speed over ground",
        got=speed_ratio(read_log(LOGS / name, date=day)),
        low=0.97,
        high=1.03,
        source="the receiver's own speed in RMC or VTG; distances by geographiclib 2.1",
    )


def test_the_rebuilt_clock_is_a_straight_line(outside: Any) -> None:
    _, ours, _ = parsed("upwind-tacks-2008.log")
    stamp = ours.tables["RMC"].values["clock"]
    turns = np.flatnonzero(np.diff(stamp)) + 1
    slope, origin = np.polyfit(turns, stamp[turns], 1)
    track = read_log(LOGS / "upwind-tacks-2008.log").track
    seconds = track["time"].dt.epoch("us").to_numpy() / 1e6 % 86400.0
    outside.close(
        id="LOG-upwind-clock",
        what="upwind-tacks-2008: rebuilt times against a line through the changes of the clock [s]",
        got=seconds,
        expected=origin + slope * np.arange(len(seconds)),
        atol=0.01,
        source="least squares (numpy.polyfit) on the log's own stamps; 2.000 s a fix",
    )
