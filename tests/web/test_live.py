from __future__ import annotations

import asyncio
import json
import shutil
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest

from cringle.web import live
from cringle.web.live import LiveHub, event
from cringle.workflows.numbers.settings import SettingChange, set_number
from cringle.workflows.serving.served import Served


def parsed(text: str) -> tuple[str, dict[str, Any]]:
    name = next(line.removeprefix("event: ") for line in text.splitlines() if line.startswith("event: "))
    data = next(line.removeprefix("data: ") for line in text.splitlines() if line.startswith("data: "))
    return name, json.loads(data)


def write(folder: Path, value: float) -> None:
    set_number(folder, SettingChange("vang", 10.0, value), who="Ines", why="felt slow")


def test_an_event_is_one_block() -> None:
    assert event("change", {"a": "line\nbreak"}, 7) == 'id: 7\nevent: change\ndata: {"a": "line\\nbreak"}\n\n'


def test_a_change_is_told_once(folder: Path) -> None:
    hub = LiveHub(Served(folder))
    assert hub.look() == []
    assert hub.look() == []
    write(folder, 2.0)
    name, data = parsed(hub.look()[0])
    assert name == "change"
    assert [one["who"] for one in data["changes"]] == ["Ines"]
    assert data["changes"][0]["entries"][0]["role"] == "vang"
    assert hub.look() == []


def test_a_changed_file_is_told(folder: Path) -> None:
    hub = LiveHub(Served(folder))
    hub.look()
    path = folder / "crew.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    assert parsed(hub.look()[0]) == ("change", {"newest": hub._served.stamp().newest, "changes": []})


def test_a_replaced_book_is_told(folder: Path, filled: Path, tmp_path: Path) -> None:
    hub = LiveHub(Served(folder))
    hub.look()
    shutil.copyfile(filled / "book.sqlite", tmp_path / "other")
    for name in ("book.sqlite-wal", "book.sqlite-shm"):
        (folder / name).unlink(missing_ok=True)
    (tmp_path / "other").replace(folder / "book.sqlite")
    assert parsed(hub.look()[0])[0] == "replaced"
    write(folder, 2.5)
    assert parsed(hub.look()[0])[0] == "change"


def test_a_book_that_has_gone_is_told_once_and_its_return_too(folder: Path) -> None:
    hub = LiveHub(Served(folder))
    hub.look()
    (folder / "book.sqlite").rename(folder / "away")
    assert parsed(hub.look()[0])[0] == "trouble"
    assert hub.look() == []
    (folder / "away").rename(folder / "book.sqlite")
    assert parsed(hub.look()[0])[0] == "change"


async def taken(events: AsyncIterator[str], count: int) -> list[tuple[str, dict[str, Any]]]:
    return [parsed(await anext(events)) for _ in range(count)]


def test_a_listener_hears_hello_then_the_change(folder: Path) -> None:
    async def run() -> list[tuple[str, dict[str, Any]]]:
        hub = LiveHub(Served(folder))
        await hub.start()
        events = hub.listen(lambda: True, None)
        first = await taken(events, 1)
        await asyncio.sleep(0.5)
        await asyncio.to_thread(write, folder, 2.0)
        second = await asyncio.wait_for(taken(events, 1), 2.0)
        await hub.stop()
        return first + second

    (hello, _), (change, data) = asyncio.run(run())
    assert (hello, change) == ("hello", "change")
    assert data["changes"][0]["why"] == "felt slow"


def test_who_comes_back_hears_what_was_missed(folder: Path) -> None:
    served = Served(folder)
    seen = served.stamp().newest
    write(folder, 2.0)

    async def run() -> list[tuple[str, dict[str, Any]]]:
        return await taken(LiveHub(served).listen(lambda: True, seen), 1)

    [(name, data)] = asyncio.run(run())
    assert name == "hello"
    assert len(data["changes"]) == 1


def test_who_is_put_out_hears_it(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live, "BEAT_EVERY_S", 0.01)
    answers = [True, True, False]

    async def run() -> list[str]:
        return [
            parsed(text)[0] async for text in LiveHub(Served(folder)).listen(lambda: answers.pop(0), None)
        ]

    assert asyncio.run(run()) == ["hello", "beat", "beat", "out"]


def test_a_slow_listener_loses_the_oldest() -> None:
    queue: asyncio.Queue[str] = asyncio.Queue(2)
    for text in ("a", "b", "c"):
        live._tell(queue, text)
    assert [queue.get_nowait(), queue.get_nowait()] == ["b", "c"]
