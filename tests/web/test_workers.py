"""Work beside the server: done, failed, stopped, too late, too much; nothing is left lying about."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cringle.web import workers as module
from cringle.web.workers import Work, WorkError, Workers
from cringle.workflows.serving.errands import Errand

SLEEPS = "import sys, time; sys.stdin.readline(); time.sleep(60)"


@pytest.fixture
def workers() -> Any:
    made = Workers()
    yield made
    made.close()


@pytest.fixture
def instead(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Return a function: another program than the worker is started."""

    def swap(code: str) -> None:
        def other() -> Any:
            command = [module.sys.executable, "-c", code]
            return module.subprocess.Popen(
                command,
                stdin=module.subprocess.PIPE,
                stdout=module.subprocess.PIPE,
                encoding="utf-8",
                start_new_session=True,
            )

        monkeypatch.setattr(module, "_started", other)

    return swap


def sent(tmp_path: Path, data: bytes, name: str = "evening.nmea") -> Path:
    own = tmp_path / "sent"
    own.mkdir(exist_ok=True)
    (own / name).write_bytes(data)
    return own / name


def test_a_log_is_read_and_its_file_taken_away(
    workers: Workers, folder: Path, examples: Path, tmp_path: Path
) -> None:
    path = sent(tmp_path, (examples / "evening.nmea").read_bytes())
    work = workers.begin(Errand("log", folder, "coach", path))
    assert work.finished.wait(60)
    assert (work.state, work.done) == ("done", work.total)
    assert work.answer()["logs"][0]["rows"] > 2000
    assert workers.find(work.id) is work
    assert not path.parent.exists()


def test_a_problem_comes_back_as_one(workers: Workers, folder: Path, tmp_path: Path) -> None:
    with pytest.raises(WorkError) as found:
        workers.run(Errand("history", folder, "coach", sent(tmp_path, b"%PDF")))
    assert found.value.status == 422
    assert found.value.problem["next_step"]


def test_it_can_be_stopped(
    workers: Workers, folder: Path, tmp_path: Path, instead: Callable[[str], None]
) -> None:
    instead(SLEEPS)
    path = sent(tmp_path, b"x")
    work = workers.begin(Errand("log", folder, "coach", path))
    while work.process is None:
        time.sleep(0.01)
    workers.stop(work)
    assert work.finished.wait(10)
    assert work.state == "stopped"
    assert work.process.returncode != 0
    assert not path.parent.exists()
    workers.stop(work)


def test_what_waits_can_be_stopped_too(
    workers: Workers, folder: Path, instead: Callable[[str], None]
) -> None:
    instead(SLEEPS)
    works = [workers.begin(Errand("log", folder, "coach")) for _ in range(3)]
    for one in reversed(works):
        workers.stop(one)
    for one in works:
        assert one.finished.wait(10)
        assert one.state == "stopped"


def test_too_long_is_said(
    workers: Workers, folder: Path, instead: Callable[[str], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    instead(SLEEPS)
    monkeypatch.setattr(module, "USUAL_S", 0.2)
    with pytest.raises(WorkError) as found:
        workers.run(Errand("log", folder, "coach"))
    assert "longer than" in found.value.problem["message"]


def test_a_process_that_dies_is_said(workers: Workers, folder: Path, instead: Callable[[str], None]) -> None:
    instead("import os; os.abort()")
    with pytest.raises(WorkError) as found:
        workers.run(Errand("log", folder, "coach"))
    assert "without an answer" in found.value.problem["message"]


def test_too_many_are_refused(
    workers: Workers, folder: Path, tmp_path: Path, instead: Callable[[str], None]
) -> None:
    instead(SLEEPS)
    for _ in range(module.MOST_WAITING):
        workers.begin(Errand("log", folder, "coach"))
    path = sent(tmp_path, b"x")
    with pytest.raises(WorkError) as found:
        workers.begin(Errand("log", folder, "coach", path))
    assert found.value.status == 429
    assert not path.parent.exists()


def test_an_unknown_work_is_404(workers: Workers) -> None:
    with pytest.raises(WorkError) as found:
        workers.find("nothing")
    assert found.value.status == 404


def test_old_work_is_forgotten(workers: Workers, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_REMEMBERED", 1)
    monkeypatch.setattr(Workers, "_attend", lambda _self, work: setattr(work, "result", {}))
    first, second = (workers.begin(Errand("log", folder, "coach")) for _ in range(2))
    assert second.finished.wait(5)
    assert workers.find(second.id) is second
    with pytest.raises(WorkError):
        workers.find(first.id)


def test_a_work_without_result_raises_its_problem(folder: Path) -> None:
    work = Work(Errand("log", folder, "coach"))
    work.problem = {"message": "no", "next_step": "yes", "fields": [], "clashes": []}
    work.status = 409
    with pytest.raises(WorkError) as found:
        work.answer()
    assert (found.value.status, found.value.problem["message"]) == (409, "no")
