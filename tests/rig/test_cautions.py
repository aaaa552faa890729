from cringle.rig.cautions import LOAD_CAUTIONS, RACING_CAUTION, RIG_CAUTIONS, SCREW_CAUTIONS


def test_everything_that_can_hurt_is_said():
    said = " ".join((*RIG_CAUTIONS, *LOAD_CAUTIONS))
    for words in (
        "Slacken the wire before",
        "thread diameter",
        "pin",
        "loaded wire",
        "aloft",
        "swaged",
        "qualified rigger",
    ):
        assert words in said


def test_lists_hold_one_another():
    assert set(SCREW_CAUTIONS) < set(RIG_CAUTIONS) < set(LOAD_CAUTIONS)
    assert "RRS 41" in RACING_CAUTION
