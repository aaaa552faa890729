from __future__ import annotations

from pathlib import Path

import pytest

from cringle.settings.records import TonightRequest
from cringle.workflows.speed import model_desk
from cringle.workflows.speed.model_desk import ModelDesk, compute

ASKED = TonightRequest(wind_kn=10.0, sea="flat")


class Child:
    """Stands in for a process that ends at once."""

    ended = 0
    started: list[TonightRequest]

    def __init__(self, target: object, args: tuple[Path, TonightRequest], daemon: bool) -> None:
        assert daemon
        self.started.append(args[1])
        self.exitcode = self.ended

    def start(self) -> None: ...

    def join(self) -> None: ...


@pytest.fixture
def child(monkeypatch: pytest.MonkeyPatch) -> type[Child]:
    class Own(Child):
        started: list[TonightRequest] = []  # noqa: RUF012 - a fresh class for each test

    class Context:
        Process = Own

    class Now:
        def __init__(self, target: object, args: tuple[object, ...], daemon: bool) -> None:
            self.target, self.args = target, args

        def start(self) -> None:
            self.target(*self.args)  # type: ignore[operator]  # a bound method

    monkeypatch.setattr(model_desk, "get_context", lambda _: Context)
    monkeypatch.setattr(model_desk, "Thread", Now)
    return Own


def test_it_asks_once_and_then_it_is_ready(tmp_path: Path, child: type[Child]) -> None:
    desk = ModelDesk(tmp_path)
    assert not desk.is_ready((1,), ASKED)
    assert desk.is_ready((1,), TonightRequest(wind_kn=20.0, sea="flat"))
    assert len(child.started) == desk.answered == 1


def test_other_files_sea_or_people_are_another_question(tmp_path: Path, child: type[Child]) -> None:
    desk = ModelDesk(tmp_path)
    desk.is_ready((1,), ASKED)
    for files, asked in (
        ((2,), ASKED),
        ((1,), TonightRequest(wind_kn=10.0, sea="waves")),
        ((1,), TonightRequest(wind_kn=10.0, sea="flat", aboard=("Ines",))),
    ):
        assert not desk.is_ready(files, asked)
    assert len(child.started) == 4


def test_a_failure_is_not_asked_again(tmp_path: Path, child: type[Child]) -> None:
    child.ended = 1
    desk = ModelDesk(tmp_path)
    assert not desk.is_ready((1,), ASKED)
    assert not desk.is_ready((1,), ASKED)
    assert (len(child.started), desk.answered) == (1, 0)


@pytest.mark.parametrize(("words", "status"), [("the speed model has no answer: x", 1), ("computing", 0)])
def test_the_process_says_whether_there_is_an_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: str, status: int
) -> None:
    monkeypatch.setattr(model_desk, "model_answers", lambda _folder, _request, *, tell: tell(words))
    with pytest.raises(SystemExit) as ended:
        compute(tmp_path, ASKED)
    assert ended.value.code == status
