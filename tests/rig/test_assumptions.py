from cringle.rig.assumptions import ASSUMPTIONS, assumed


def test_every_assumption_has_a_spread_a_meaning_and_a_source():
    for name, one in ASSUMPTIONS.items():
        assert 0.0 < one.spread < 1.0, name
        assert one.meaning and one.source, name


def test_by_name():
    assert assumed("draft") == ASSUMPTIONS["draft"].value
