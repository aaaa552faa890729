from __future__ import annotations

import math

import pytest

from cringle.errors import InputError, OutOfRangeError
from cringle.settings.records import TonightRequest


def test_mean_of_a_range_and_its_own():
    assert TonightRequest(wind_kn=11).mean_kn == 11
    assert TonightRequest(low_kn=8, high_kn=14).mean_kn == 11
    assert TonightRequest(wind_kn=10, low_kn=8, high_kn=14).mean_kn == 10
    assert TonightRequest(wind_kn=0).mean_kn == 0


@pytest.mark.parametrize("wind_kn", [-1, 81, math.nan, math.inf])
def test_refuses_a_wind_that_cannot_be(wind_kn):
    with pytest.raises(OutOfRangeError, match="wind: found"):
        TonightRequest(wind_kn=wind_kn)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({}, "no wind given"),
        ({"low_kn": 8}, "two ends"),
        ({"low_kn": 14, "high_kn": 8}, "upside down"),
        ({"wind_kn": 20, "low_kn": 8, "high_kn": 14}, "accepted 8 to 14"),
        ({"wind_kn": 12, "gust_kn": 9}, "less than the mean"),
        ({"low_kn": 8, "high_kn": 14, "gust_kn": 200}, "gust: found 200"),
    ],
)
def test_refuses_what_does_not_fit_together(given, words):
    with pytest.raises(InputError, match=words):
        TonightRequest(**given)
