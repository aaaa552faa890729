"""An evening in any order: outing, signal, lock, race over, home; while locked no advice is reachable."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from cringle.book import store
from cringle.book.store import Book
from cringle.cli.common import book_for_advice
from cringle.errors import CringleError, RuleError
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.numbers.settings import SettingChange, set_number
from cringle.workflows.outings import moments
from cringle.workflows.outings.moments import lock, moment, set_signal, unlock
from cringle.workflows.outings.outing import Door, end_outing, start_outing
from cringle.workflows.round.between import between, keep, say, undo
from cringle.workflows.round.dock import dock
from cringle.workflows.round.home import HomeAsked, home

EXAMPLES = Path(__file__).parents[2] / "examples"
FIRST = datetime(2026, 6, 17, 12, 0, tzinfo=UTC)


class Stopped(datetime):
    """A clock that only the machine moves; each look takes a millisecond."""

    at = FIRST

    @classmethod
    def now(cls, tz: Any = None) -> datetime:
        """Return the machine's instant."""
        del tz
        Stopped.at += timedelta(milliseconds=1)
        return Stopped.at


@pytest.fixture(scope="module", autouse=True)
def one_clock(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Put the machine's clock under every door, and make the book that every evening starts from."""
    with pytest.MonkeyPatch.context() as patch:
        for module in (store, moments):
            patch.setattr(module, "datetime", Stopped)
        made = tmp_path_factory.mktemp("evening") / "book"
        made.mkdir()
        for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
            shutil.copyfile(EXAMPLES / name, made / name)
        Book.open(made, create=True).close()
        import_csv(made, EXAMPLES / "table.csv", who="coach")
        Evening.template = made
        yield


class Evening(RuleBasedStateMachine):
    """What a crew and a coach may do in any order, with a model of what must be so."""

    template = Path()

    @initialize()
    def new_book(self) -> None:
        Stopped.at = FIRST
        self.home = tempfile.TemporaryDirectory()
        self.folder = Path(self.home.name) / "book"
        shutil.copytree(self.template, self.folder)
        self.signal: datetime | None = None
        self.locked, self.open, self.ever = False, False, False
        self.fixed: Any = None
        self.shown: Any = None
        self.mark = 0

    def teardown(self) -> None:
        if hasattr(self, "home"):
            self.home.cleanup()

    def pass_time(self) -> None:
        """Take note when the signal has passed: then what was shown last is what stays."""
        if self.signal is not None and self.signal <= Stopped.at and not self.locked:
            self.locked = True

    def refused(self, do: Callable[[], object]) -> None:
        with pytest.raises(RuleError, match="RRS 41"):
            do()

    @rule(minutes=st.integers(1, 40))
    def wait(self, minutes: int) -> None:
        Stopped.at += timedelta(minutes=minutes)
        self.pass_time()

    @rule(minutes=st.integers(2, 30))
    def say_signal(self, minutes: int) -> None:
        self.pass_time()
        at = Stopped.at + timedelta(minutes=minutes)
        if self.locked:
            self.refused(lambda: set_signal(self.folder, at.isoformat(), who="Ines"))
            return
        set_signal(self.folder, at.isoformat(), who="Ines")
        self.signal = at

    @rule()
    def signal_by_hand(self) -> None:
        lock(self.folder, who="Ines")
        self.locked = True

    @rule()
    def race_over(self) -> None:
        unlock(self.folder, who="Ines")
        if self.signal is not None and self.signal <= Stopped.at:
            self.signal = None
        self.locked, self.fixed = False, None

    @rule()
    def begin_outing(self) -> None:
        if self.open:
            with pytest.raises(CringleError, match="still goes on"):
                start_outing(Door(self.folder))
            return
        start_outing(Door(self.folder))
        self.open = self.ever = True

    @precondition(lambda self: self.open)
    @rule()
    def finish_outing(self) -> None:
        end_outing(Door(self.folder))
        self.open = False

    @rule(value=st.sampled_from([3.0, 4.0, 5.0, 6.0]))
    def coach_moves_the_table(self, value: float) -> None:
        set_number(self.folder, SettingChange("vang", 10.0, value), who="coach", why="machine")

    @rule()
    def somebody_edits_the_boat_file(self) -> None:
        path, old = self.folder / "boat.toml", self.mark
        self.mark += 1
        text = path.read_text(encoding="utf-8")
        before = 'name = "Brindle' + ("" if old == 0 else f" {old}") + '"'
        path.write_text(text.replace(before, f'name = "Brindle {self.mark}"'), encoding="utf-8")

    @rule(wind_kn=st.sampled_from([6.0, 10.0, 16.0]))
    def look_between(self, wind_kn: float) -> None:
        self.pass_time()
        found = between(self.folder, TonightRequest(wind_kn=wind_kn))
        assert (found.tonight is None) == self.locked
        assert not self.locked or found.moves == ()

    @precondition(lambda self: self.open)
    @rule(wind_kn=st.sampled_from([6.0, 10.0, 16.0]))
    def keep_moves(self, wind_kn: float) -> None:
        self.pass_time()
        if self.locked:
            self.refused(lambda: keep(self.folder, TonightRequest(wind_kn=wind_kn), who="Ines"))
            self.refused(lambda: undo(self.folder, who="Ines"))
        else:
            keep(self.folder, TonightRequest(wind_kn=wind_kn), who="Ines")

    @precondition(lambda self: self.ever)
    @rule()
    def say_a_sentence(self) -> None:
        assert say(self.folder, "speed", good=True, who="Keo")

    @precondition(lambda self: self.ever)
    @rule()
    def go_home(self) -> None:
        self.pass_time()
        if self.locked:
            self.refused(lambda: home(self.folder, HomeAsked(no_guess=True), who="coach"))
        else:
            assert home(self.folder, HomeAsked(no_guess=True), who="coach").debrief is None

    @invariant()
    def no_advice_is_reachable_while_locked(self) -> None:
        if not hasattr(self, "folder"):
            return
        self.pass_time()
        assert moment(self.folder).is_locked == self.locked
        if not self.locked:
            book_for_advice(self.folder)
            return
        self.refused(lambda: book_for_advice(self.folder))
        seen = [dock(self.folder, TonightRequest(wind_kn=one)).tonight for one in (6.0, 16.0)]
        assert seen[0] == seen[1], "the wind asked for is not looked at"
        assert seen[0].moves == ()
        self.fixed = self.fixed or seen[0]
        assert seen[0] == self.fixed, "what is read while racing does not change"


Evening.TestCase.settings = settings(max_examples=12, stateful_step_count=14, deadline=None)
TestEvening = Evening.TestCase
