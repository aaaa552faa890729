"""Live changes: what is written into the book is told to every page that listens (server-sent events)."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from typing import Any, Final

from starlette.concurrency import run_in_threadpool

from cringle.errors import CringleError
from cringle.workflows.serving.served import Served, Stamp

LOOK_EVERY_S: Final = 0.2
BEAT_EVERY_S: Final = 5.0
"""A line without a message this often, so that a page notices a lost connection [s]."""

MOST_TOLD: Final = 200
MOST_WAITING: Final = 50
MOST_LISTENERS: Final = 500


class LiveHub:
    """Looks at the book and tells whoever listens.

    Parameters
    ----------
    served : Served
        The book.
    """

    def __init__(self, served: Served) -> None:
        self._served = served
        self._queues: set[asyncio.Queue[str]] = set()
        self._task: asyncio.Task[None] | None = None
        self._seen: Stamp | None = None
        self._trouble: str | None = None

    async def start(self) -> None:
        """Begin to look."""
        self._task = asyncio.create_task(self._watch())

    async def stop(self) -> None:
        """Look no longer."""
        if self._task is not None:
            self._task.cancel()
            await asyncio.gather(self._task, return_exceptions=True)

    @property
    def is_full(self) -> bool:
        """Whether nobody else can listen."""
        return len(self._queues) >= MOST_LISTENERS

    async def listen(self, still_welcome: Callable[[], bool], since: int | None) -> AsyncIterator[str]:
        """Yield events for one page until it goes, or is not welcome any more.

        Parameters
        ----------
        still_welcome : callable
            Asked at every beat.
        since : int or None
            Newest entry the page has seen, when it comes back after a lost connection.
        """
        queue: asyncio.Queue[str] = asyncio.Queue(MOST_WAITING)
        self._queues.add(queue)
        try:
            yield "retry: 1000\n" + await run_in_threadpool(self._hello, since)
            while True:
                try:
                    yield await asyncio.wait_for(queue.get(), BEAT_EVERY_S)
                except TimeoutError:
                    if not still_welcome():
                        yield event("out", {})
                        return
                    yield event("beat", {})
        finally:
            self._queues.discard(queue)

    def _hello(self, since: int | None) -> str:
        try:
            newest = self._served.stamp().newest
            missed = [] if since is None else self._served.changes_since(since)[-MOST_TOLD:]
        except CringleError as error:
            return event("trouble", {"message": error.message})
        return event("hello", {"newest": newest, "changes": missed}, newest)

    async def _watch(self) -> None:
        while True:
            for text in await run_in_threadpool(self.look):
                for queue in list(self._queues):
                    _tell(queue, text)
            await asyncio.sleep(LOOK_EVERY_S)

    def look(self) -> list[str]:
        """Return the events of what has changed since the last look."""
        try:
            now = self._served.stamp()
            before, self._seen = self._seen, now
            self._trouble, well = None, self._trouble is not None
            if before is None or (before == now and not well):
                return []
            if before.place != now.place or before.newest > now.newest:
                return [event("replaced", {"newest": now.newest}, now.newest)]
            changes = self._served.changes_since(before.newest)[-MOST_TOLD:]
            return [event("change", {"newest": now.newest, "changes": changes}, now.newest)]
        except CringleError as error:
            said, self._trouble = self._trouble, error.message
            return [] if said == error.message else [event("trouble", {"message": error.message})]


def _tell(queue: asyncio.Queue[str], text: str) -> None:
    """Put an event into a queue; a page too slow to read loses the oldest."""
    if queue.full():
        queue.get_nowait()
    queue.put_nowait(text)


def event(name: str, data: dict[str, Any], entry_id: int | None = None) -> str:
    """Return one event as it goes over the line (WHATWG HTML, server-sent events)."""
    head = "" if entry_id is None else f"id: {entry_id}\n"
    return f"{head}event: {name}\ndata: {json.dumps(data, ensure_ascii=False)}\n\n"
