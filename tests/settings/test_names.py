from __future__ import annotations

import pytest

from cringle.errors import InputError
from cringle.settings.names import known_name, nearest


def test_nearest_name():
    assert nearest("Jib_Sheat_leeward", ["vang", "jib_sheet_leeward"]) == "jib_sheet_leeward"
    assert nearest("zzz", ["vang"]) is None


def test_known_name_or_an_error_that_helps():
    assert known_name("chop", ["flat", "chop"], what="sea") == "chop"
    with pytest.raises(InputError, match=r"no sea 'choppy'; accepted: flat, chop; did you mean 'chop'\?"):
        known_name("choppy", ["flat", "chop"], what="sea")
    with pytest.raises(InputError, match="accepted: none yet"):
        known_name("choppy", [], what="sea")
