"""A book against a plain model of it: any order of writes, conflicts, restores and imports."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from cringle.book.entries import REGARDLESS, NewEntry
from cringle.book.exchange import from_json_lines, to_json_lines
from cringle.book.store import Book
from cringle.errors import ConflictError

CELLS = st.integers(0, 3)
VALUES = st.integers(0, 9)
Table = dict[int, int]


def entry(cell: int, value: int | None, base_id: object = None) -> NewEntry:
    made = NewEntry("setting", "table", {"value": value}, wind_kn=float(cell))
    return replace(made, base_id=base_id)  # type: ignore[arg-type]


class BookMachine(RuleBasedStateMachine):
    """`tables[n]` is the table just after entry n, for every n."""

    @initialize()
    def start(self) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.book = Book.open(self.folder / "ours", create=True)
        self.other = Book.open(self.folder / "theirs", create=True, who="other")
        self.tables: list[Table] = [{}]
        self.newest: dict[int, int] = {}

    def note(self, cell: int, value: int | None) -> None:
        table = {key: kept for key, kept in self.tables[-1].items() if key != cell}
        self.tables.append(table if value is None else {**table, cell: value})
        self.newest[cell] = len(self.tables) - 1

    def same(self) -> None:
        """Note an entry that is about something else."""
        self.tables.append(self.tables[-1])

    @rule(cell=CELLS, value=st.none() | VALUES)
    def write_having_seen(self, cell: int, value: int | None) -> None:
        self.book.write([entry(cell, value, self.newest.get(cell))], why="x")
        self.note(cell, value)

    @rule(values=st.dictionaries(CELLS, VALUES, min_size=1))
    def write_a_batch_regardless(self, values: Table) -> None:
        self.book.write([entry(cell, value, REGARDLESS) for cell, value in values.items()], why="x")
        for cell, value in values.items():
            self.note(cell, value)

    @rule(cell=CELLS, other=CELLS, value=VALUES, data=st.data())
    def write_having_seen_something_older(
        self, cell: int, other: int, value: int, data: st.DataObject
    ) -> None:
        stale = data.draw(st.integers(-2, len(self.tables)).filter(lambda one: one != self.newest.get(cell)))
        batch = [entry(cell, value, stale)]
        if other != cell:
            batch.append(entry(other, value, self.newest.get(other)))
        with pytest.raises(ConflictError):
            self.book.write(batch, why="x")
        self.same()

    @rule(data=st.data())
    def restore(self, data: st.DataObject) -> None:
        at = data.draw(st.integers(0, len(self.tables) - 1))
        then, now = self.tables[at], dict(self.tables[-1])
        written = self.book.restore("setting", at)
        for one in written:
            cell = int(one.key.wind_kn or 0)
            assert then.get(cell) != now.get(cell), "only what differs is written"
            self.note(cell, then.get(cell))
        assert self.tables[-1] == then

    @rule()
    def send_to_the_other(self) -> None:
        self.other.import_entries(from_json_lines(to_json_lines(self.book.export_entries())), prefer="theirs")
        shown = {int(one.key.wind_kn or 0): one.value for one in self.other.current("setting")}
        known = self.tables[-1]
        assert {cell: shown[cell] for cell in known} == known or self.changed_there

    changed_there = False

    @rule(cell=CELLS, value=VALUES)
    def the_other_changes_a_cell_and_sends_it_back(self, cell: int, value: int) -> None:
        self.other.import_entries(self.book.export_entries(), prefer="ours")
        self.other.write([entry(cell, value, REGARDLESS)], why="there")
        self.changed_there = True
        before = self.book.newest()
        sent = self.other.export_entries()
        self.book.import_entries(sent, prefer="theirs")
        taken = self.book.history(until=None)[before:]
        for one in taken:
            if one.key.kind == "setting":
                self.note(int(one.key.wind_kn or 0), one.value)
            else:
                self.same()
        assert self.book.import_entries(sent, prefer="theirs").added == 0
        assert self.tables[-1][cell] == value

    @invariant()
    def every_table_is_as_the_model_says(self) -> None:
        shown = {int(one.key.wind_kn or 0): one.value for one in self.book.current("setting")}
        assert shown == self.tables[-1]
        assert self.book.newest() == len(self.tables) - 1
        middle = len(self.tables) // 2
        then = {int(one.key.wind_kn or 0): one.value for one in self.book.as_of(middle, "setting")}
        assert then == self.tables[middle]

    def teardown(self) -> None:
        assert self.book.check() == []
        assert self.other.check() == []
        self.book.close()
        self.other.close()
        shutil.rmtree(self.folder)


BookMachine.TestCase.settings = settings(max_examples=25, stateful_step_count=20, deadline=None)
TestBook = BookMachine.TestCase
