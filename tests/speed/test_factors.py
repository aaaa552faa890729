import pytest

from cringle.errors import OutOfRangeError
from cringle.speed.factors import Factors


def test_no_fit_is_all_ones():
    assert set(vars(Factors()).values()) == {1.0}


@pytest.mark.parametrize("name", list(vars(Factors())))
@pytest.mark.parametrize("value", [0.0, -1.0, 6.0, float("nan")])
def test_a_wild_factor_is_refused_by_name(name, value):
    with pytest.raises(OutOfRangeError, match=name):
        Factors(**{name: value})
