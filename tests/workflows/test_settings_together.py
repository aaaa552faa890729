"""Two people at one table, and files that were damaged on the way: nothing is lost, nothing half-written."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cringle.book.store import Book
from cringle.errors import ConflictError, CringleError
from cringle.workflows.numbers.csv import export_csv, import_csv
from cringle.workflows.numbers.settings import SettingChange, set_number, show_table


@pytest.fixture
def folder(book_folder, examples):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    import_csv(book_folder, examples / "table.csv", examples / "cues.csv", who="Ines")
    return book_folder


def stands(folder, wind_kn=10.0, role="vang"):
    column = show_table(folder).table.column("main+jib", "chop", "settled", role)
    return next(cell for cell in column if cell.wind_kn == wind_kn)


def test_of_two_who_saw_the_same_number_one_wins_and_one_is_told(folder):
    seen = stands(folder).entry_id

    def change(number):
        wanted = SettingChange("vang", 10.0, number / 2, base_id=seen)
        try:
            return set_number(folder, wanted, who=f"P{number}", why="race").cell.number.value
        except ConflictError as error:
            return error

    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(change, range(4, 8)))
    won = [one for one in found if isinstance(one, float)]
    assert len(won) == 1
    assert stands(folder).number.value == won[0]
    assert all(f"{won[0]:g} mark" in str(one) for one in found if isinstance(one, ConflictError))


def test_two_imports_at_once_end_as_one_of_them(folder, examples, tmp_path):
    text = (examples / "table.csv").read_text(encoding="utf-8")
    old = "main+jib,chop,12,settled,vang,2,mark,entered,"
    paths = []
    for value in ("3", "4"):
        paths.append(tmp_path / f"{value}.csv")
        paths[-1].write_text(text.replace(old, old.replace(",2,", f",{value},")), encoding="utf-8")

    def take_in(path):
        try:
            return import_csv(folder, path, None, who="x").written
        except ConflictError:
            return "conflict"

    with ThreadPoolExecutor(2) as pool:
        assert set(pool.map(take_in, paths)) <= {1, "conflict"}
    assert stands(folder, 12.0).number.value in (3.0, 4.0)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(data=st.data())
def test_a_damaged_file_is_read_whole_or_refused_whole(folder, tmp_path, data):
    before = export_csv(folder)[0]
    lines = before.splitlines(keepends=True)[:30]
    raw = bytearray("".join(lines).encode())
    for _ in range(data.draw(st.integers(1, 6))):
        place = data.draw(st.integers(0, len(raw) - 1))
        raw[place] = data.draw(st.integers(0, 255))
    path = tmp_path / "damaged.csv"
    path.write_bytes(bytes(raw[: data.draw(st.integers(0, len(raw)))]))
    try:
        import_csv(folder, path, None, who="x")
    except CringleError as error:
        assert str(error)
        assert export_csv(folder)[0] == before
    else:
        import_csv(folder, _file(tmp_path, before), None, who="x")


def _file(tmp_path, text):
    path = tmp_path / "whole.csv"
    path.write_text(text, encoding="utf-8")
    return path


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=8)
@given(
    changes=st.lists(
        st.tuples(st.sampled_from([8.0, 10.0, 12.0]), st.integers(0, 24)), min_size=1, max_size=6
    )
)
def test_any_earlier_table_can_be_seen(folder, changes):
    history = []
    for wind_kn, halves in changes:
        done = set_number(folder, SettingChange("vang", wind_kn, halves / 2), who="x", why="x")
        history.append(
            (done.cell.entry_id, {wind: stands(folder, wind).number.value for wind in (8.0, 10.0, 12.0)})
        )
    for entry_id, values in history:
        view = show_table(folder, as_of=f"#{entry_id}")
        then = {
            cell.wind_kn: cell.number.value
            for cell in view.table.column("main+jib", "chop", "settled", "vang")
            if cell.wind_kn in values
        }
        assert then == values
