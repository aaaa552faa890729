from __future__ import annotations

from dataclasses import replace

import pytest

from cringle.web.sessions import Sessions, Visitor
from cringle.workflows.books.access import Access, CodeHash


@pytest.fixture
def sessions() -> Sessions:
    return Sessions(Access("ab" * 32, {"crew": CodeHash(), "coach": CodeHash(generation=3)}), 8040)


def test_a_session_comes_back_as_it_was_written(sessions: Sessions) -> None:
    begun = sessions.begin("crew", "Márit")
    found = sessions.read(sessions.written(begun))
    assert found == replace(begun, fresh=False)


@pytest.mark.parametrize("cookie", [None, "", "nonsense", "WyJjb2FjaCJd.x.y", "é" * 20])
def test_what_is_no_session_is_nobody(sessions: Sessions, cookie: str | None) -> None:
    assert sessions.read(cookie) is None


def test_a_session_of_another_key_is_nobody(sessions: Sessions) -> None:
    other = Sessions(replace(sessions.access, secret="cd" * 32), 8040)
    assert sessions.read(other.written(other.begin("coach", "Ines"))) is None


def test_one_changed_letter_ends_it(sessions: Sessions) -> None:
    cookie = sessions.written(sessions.begin("crew", "Keo"))
    for place in range(0, len(cookie), 7):
        letter = "A" if cookie[place] != "A" else "B"
        changed = cookie[:place] + letter + cookie[place + 1 :]
        found = sessions.read(changed)
        assert found is None or found.role == "crew"
        assert found is None or changed == cookie or place == len(cookie) - 1


def test_who_was_put_out_stays_out(sessions: Sessions) -> None:
    cookie = sessions.written(sessions.begin("coach", "Ines"))
    assert sessions.read(cookie) is not None
    sessions.use(replace(sessions.access, codes={**sessions.access.codes, "coach": CodeHash(generation=4)}))
    assert sessions.read(cookie) is None


def test_a_session_ends_after_two_weeks(sessions: Sessions, monkeypatch: pytest.MonkeyPatch) -> None:
    cookie = sessions.written(sessions.begin("crew", "Keo"))
    monkeypatch.setattr("cringle.web.sessions.LONGEST_S", -1)
    assert sessions.read(cookie) is None


def test_a_token_belongs_to_one_session(sessions: Sessions) -> None:
    mine, yours = sessions.begin("crew", "Keo"), sessions.begin("crew", "Keo")
    assert sessions.token_is_right(mine, sessions.token(mine))
    assert not sessions.token_is_right(mine, sessions.token(yours))
    assert not sessions.token_is_right(Visitor("crew", "Keo", ""), sessions.token(Visitor("crew", "Keo", "")))
    assert not sessions.token_is_right(mine, "é")


@pytest.mark.parametrize(
    ("role", "wanted", "may"),
    [(None, "crew", False), ("crew", "crew", True), ("crew", "coach", False), ("coach", "crew", True)],
)
def test_what_a_role_may(role: str | None, wanted: str, may: bool) -> None:
    assert Visitor(role).may(wanted) is may
