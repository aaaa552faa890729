"""Who does which action in their own role."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cringle.errors import BookFileError, InputError
from cringle.plays.crew import require_crew_size, starting_spot, usual_deal


def test_roles_go_to_their_people(make, act, as_text, hands):
    play = make([act("a", "helm"), act("b", "forward")])
    assert usual_deal(as_text(play), hands) == {"a": "ines", "b": "keo"}


def test_a_skill_goes_to_who_has_it(make, act, as_text, hands):
    play = make([act("a", None, skill="trims_kite")])
    assert usual_deal(as_text(play), hands) == {"a": "marit"}


def test_a_skill_that_two_have_goes_to_who_has_less_to_do(make, act, as_text, hands):
    both = [replace(one, skills=("packs",)) if one.role in ("jib", "main") else one for one in hands]
    play = make([act("x", "main"), act("y", "main"), act("a", None, skill="packs")])
    assert usual_deal(as_text(play), both)["a"] == "marit"


def test_a_role_nobody_has_is_named_with_its_line(library, hands):
    text = library["tack"]
    with pytest.raises(BookFileError) as caught:
        usual_deal(text, [one for one in hands if one.role != "forward"])
    lines = [one.line for one in caught.value.findings]
    assert len(lines) == 2
    assert all(one is not None and one > 1 for one in lines)
    assert "nobody aboard has the role 'forward'" in str(caught.value)
    assert "cringle play deal tack" in str(caught.value)


def test_a_role_without_the_skill_is_named(make, act, as_text, hands):
    play = make([act("a", "helm", skill="works_foredeck")])
    with pytest.raises(BookFileError, match="role 'helm' with the skill 'works_foredeck'"):
        usual_deal(as_text(play), hands)


def test_a_skill_nobody_has(make, act, as_text, hands):
    play = make([act("a", None, skill="juggles")])
    with pytest.raises(BookFileError, match="nobody aboard has the skill 'juggles'"):
        usual_deal(as_text(play), hands)


@pytest.mark.parametrize("count", [0, 1, 7])
def test_no_play_for_so_few_or_so_many(count):
    with pytest.raises(InputError, match="2 to 6"):
        require_crew_size(count)


def test_where_people_start(make, act, hands):
    play = make([act("a")])
    assert starting_spot(play, hands[0]).station == "rail_4"
    assert starting_spot(play, replace(hands[0], role="spare")) == hands[0].at


def test_can(make, act, hands):
    play = make([act("a", "jib"), act("b", "jib", skill="trims_kite")])
    tobias, marit = hands[1], hands[2]
    assert tobias.can(play.action("a"))
    assert not tobias.can(play.action("b"))
    assert marit.can(play.action("b"))
