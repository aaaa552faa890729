from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.testing import assert_allclose

from cringle.track.reading.nmea import parse_block
from cringle.track.reading.nmea_sentences import SENTENCES, TRANSDUCERS
from cringle.track.reading.report import Tally

Read = Callable[..., tuple[dict[str, np.ndarray], dict[str, int]]]


@pytest.fixture
def read(seal: Callable[[str], str]) -> Read:
    def values(*bodies: str) -> tuple[dict[str, np.ndarray], dict[str, int]]:
        tally = Tally()
        parsed = parse_block("".join(seal(body) + "\r\n" for body in bodies).encode(), tally)
        table = next(iter(parsed.tables.values()), None)
        return ({} if table is None else table.values), tally.skipped

    return values


CASES = [
    (
        "GPRMC,194310,A,3748.784,N,12226.831,W,8.0,316.0,140708,015.0,E,A",
        {
            "clock": 70990.0,
            "day": 14074.0,
            "lat": 37.813066667,
            "lon": -122.44718333,
            "sog": 8.0,
            "cog": 316.0,
            "variation": 15.0,
        },
    ),
    (
        "GNGGA,094738,5251.0074,N,00518.8132,E,1,12,0.60,-4,M,46.8,M,,",
        {"clock": 35258.0, "lat": 52.85012333, "lon": 5.31355333},
    ),
    ("GPGLL,6005.071,N,02332.346,E,095559,A,D", {"clock": 35759.0, "lat": 60.08451667, "lon": 23.5391}),
    ("GPZDA,160012.71,11,03,2004,-1,00", {"clock": 57612.71, "day": 12488.0}),
    ("GPZDA,195719,16,04,14,-02,00", {"day": 16176.0}),
    ("GPVTG,235.1,T,233.7,M,5.8,N,10.7,K,A", {"cog": 235.1, "sog": 5.8}),
    ("HCHDG,98.3,1.5,E,12.6,W", {"hdg_mag": 99.8, "variation": -12.6}),
    ("HCHDG,359.0,2.0,E,,", {"hdg_mag": 1.0, "variation": np.nan}),
    ("IIHDM,360.0,M", {"hdg_mag": 0.0}),
    ("HEHDT,274.07,T", {"hdg": 274.07}),
    ("IIVHW,245.1,T,245.0,M,000.01,N,000.01,K", {"hdg": 245.1, "hdg_mag": 245.0, "stw": 0.01}),
    ("WIMWV,214.8,R,0.1,K,A", {"awa": -145.2, "aws": 0.1 / 1.852, "twa": np.nan, "tws": np.nan}),
    ("WIMWV,095.8,T,11.2,N,A", {"twa": 95.8, "tws": 11.2, "awa": np.nan}),
    ("02MWV,327.6,R,1.89,N", {"awa": -32.4, "aws": 1.89}),
    ("WIMWD,328.3,T,326.9,M,11.2,N,5.8,M", {"twd": 328.3, "twd_mag": 326.9, "tws": 11.2}),
    ("WIMWD,328.3,T,,M,,N,5.0,M", {"twd": 328.3, "tws": 5.0 * 3600 / 1852}),
    ("GPVTG,235.1,T,233.7,M,,N,18.52,K,A", {"sog": 10.0}),
    ("IIVHW,,T,,M,,N,9.26,K", {"stw": 5.0}),
    ("IIVWR,079,L,,N,10.0,M,,K", {"aws": 10.0 * 3600 / 1852}),
    ("IIVWT,079,L,,N,,M,18.52,K", {"tws": 10.0}),
    ("IIVWR,079,L,21.0,N,10.8,M,038.9,K", {"awa": -79.0, "aws": 21.0}),
    ("IIVWT,028,R,08.57,N,04.41,M,,", {"twa": 28.0, "tws": 8.57}),
    ("TIROT,-35.6,A", {"rot": -35.6}),
    ("IIRSA,10.5,A,,V", {"rudder": 10.5}),
    (
        "IIXDR,A,-2.8,D,HEEL,A,5.2,D,trim,P,,B,BARO,A,-4.1,D,RUDDER",
        {"roll": -2.8, "pitch": 5.2, "rudder": -4.1},
    ),
    ("YXXDR,A,3.5,D,PTCH,A,-7.0,D,ROLL", {"roll": -7.0, "pitch": 3.5, "rudder": np.nan}),
]


@pytest.mark.parametrize(("body", "expected"), CASES)
def test_values(read: Read, body: str, expected: dict[str, float]) -> None:
    values, skipped = read(body)
    assert skipped == {}
    for name, number in expected.items():
        assert_allclose(values[name], [number], rtol=1e-8, err_msg=name)


BAD = [
    "GPRMC,194310,A,3748.784,N,12226.831,W,8.0,316.0,320708,015.0,E,A",
    "GPRMC,194310,A,3748.784,N,12226.831,W,8.0,316.0",
    "GPRMC,194310,Q,3748.784,N,12226.831,W,8.0,316.0,140708,,,A",
    "GPRMC,194310,A,3748.784,N,12226.831,W,-8.0,316.0,140708,,,A",
    "GPGGA,094738,5251.0074,N,00518.8132,E,x,12",
    "IIHDM,361,M",
    "WIMWV,214.8,X,0.1,K,A",
    "WIMWV,214.8,R,0.1,,A",
    "IIVWR,181,L,21.0,N",
    "IIVWR,079,X,21.0,N",
    "GPZDA,160012,31,02,2004,,",
    "IIXDR,C,C,10.7,C,AIRTEMP,A,0.5,D,HEEL,A,-1.-3,D,TRIM,P,1.026,B,BARO,A,A,-4.-3,D,RUDDER",
    "IIXDR,A,-1.-3,D,TRIM",
    "IIXDR,A,1.0,D,ROLL,A",
    "IIXDR,",
    "IIXDR,A,200,D,HEEL",
    "TIROT,fast,A",
]


@pytest.mark.parametrize("body", BAD)
def test_bad_fields(read: Read, body: str) -> None:
    _, skipped = read(body)
    assert skipped == {"bad_field": 1}


VOID = [
    "GPRMC,194310,V,3748.784,N,12226.831,W,8.0,316.0,140708,,,N",
    "GPRMC,194310,V,,,,,,,140708,,,N",
    "GPGGA,094738,5251.0074,N,00518.8132,E,0,00,,,M,,M,,",
    "GPGLL,,,,,095559,V",
    "GPGLL,0000.000,N,00000.000,E,095559,A,A",
    "WIMWV,,R,,N,V",
    "TIROT,-35.6,V",
    "IIRSA,10.5,V,,V",
]


@pytest.mark.parametrize("body", VOID)
def test_void_sentences(read: Read, body: str) -> None:
    _, skipped = read(body)
    assert skipped == {"void_fix": 1}


def test_empty_fields_are_unknown_not_bad(read: Read) -> None:
    values, skipped = read("IIHDT,,T")
    assert skipped == {}
    assert np.isnan(values["hdg"]).all()


def test_one_shifted_xdr_does_not_spoil_its_neighbours(read: Read) -> None:
    values, skipped = read("IIXDR,A,-2.8,D,HEEL", "IIXDR,C,A,-2.8,D,HEEL", "IIXDR,A,3.0,D,HEEL")
    assert skipped == {"bad_field": 1}
    assert_allclose(values["roll"], [-2.8, 3.0])


def test_every_sentence_of_the_list_is_read() -> None:
    wanted = [
        "RMC",
        "GGA",
        "GLL",
        "VTG",
        "HDG",
        "HDM",
        "HDT",
        "VHW",
        "MWV",
        "MWD",
        "VWR",
        "VWT",
        "ROT",
        "XDR",
        "RSA",
        "ZDA",
    ]
    assert sorted(SENTENCES) == sorted(wanted)
    assert {body.split(",")[0][2:] for body, _ in CASES} == set(wanted)
    assert {column for column, _ in TRANSDUCERS.values()} == {"roll", "pitch", "rudder"}
