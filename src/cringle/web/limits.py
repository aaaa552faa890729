"""Limits: how often a code may be tried, and how much may be sent."""

from __future__ import annotations

import json
import time
from collections import deque
from collections.abc import Callable
from typing import Final

from starlette.types import ASGIApp, Message, Receive, Scope, Send

WINDOW_S: Final = 60.0
MOST_PER_ADDRESS, MOST_TOGETHER = 5, 30
"""Wrong codes within `WINDOW_S` from one address, and from all of them."""

MOST_ADDRESSES: Final = 1000
MOST_BODY_BYTES: Final = 1_000_000
UPLOAD_PATHS: Final = {
    "/api/book/import": 64_000_000,
    "/api/pocket": 2_100_000,
    "/api/uploads/pocket": 2_100_000,
    "/api/uploads/history": 64_000_000,
    "/api/uploads/recording": 64_000_000,
    "/api/uploads/log": 256_000_000,
}
"""Longest body by path [bytes]; every other one takes `MOST_BODY_BYTES`."""


class JoinLimit:
    """Counts wrong codes by address and together, over a sliding minute.

    Parameters
    ----------
    clock : callable
        Seconds that only grow.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._wrong: dict[str, deque[float]] = {}
        self._all: deque[float] = deque()

    def wait_s(self, address: str) -> int:
        """Return how long an address must wait before it may try again; 0 when it may now [s]."""
        now = self._clock()
        waits = [
            _left(self._all, now, MOST_TOGETHER),
            _left(self._wrong.get(address, deque()), now, MOST_PER_ADDRESS),
        ]
        return max(waits)

    def wrong(self, address: str) -> None:
        """Count one wrong code."""
        now = self._clock()
        if len(self._wrong) >= MOST_ADDRESSES:
            self._wrong = {one: times for one, times in self._wrong.items() if times[-1] > now - WINDOW_S}
        self._all.append(now)
        self._wrong.setdefault(address, deque()).append(now)


def _left(times: deque[float], now: float, most: int) -> int:
    while times and times[0] <= now - WINDOW_S:
        times.popleft()
    return 0 if len(times) < most else int(times[0] + WINDOW_S - now) + 1


class BodyTooLongError(Exception):
    """More was sent than this path takes."""


class BodyLimit:
    """Refuse a body that is too long, by what it says and by what arrives."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, counting what it sends."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        most = UPLOAD_PATHS.get(scope["path"], MOST_BODY_BYTES)
        said = dict(scope["headers"]).get(b"content-length", b"0")
        if not said.isdigit() or int(said) > most:
            await too_long(send, most)
            return
        started = False

        async def watched(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, _counted(receive, most), watched)
        except BodyTooLongError:
            if not started:
                await too_long(send, most)


def _counted(receive: Receive, most: int) -> Receive:
    total = 0

    async def counted() -> Message:
        nonlocal total
        message = await receive()
        total += len(message.get("body", b""))
        if total > most:
            raise BodyTooLongError
        return message

    return counted


async def too_long(send: Send, most: int) -> None:
    """Answer that too much was sent."""
    problem = {
        "message": f"too long: accepted are {most // 1_000_000} MB",
        "next_step": "send a smaller file",
        "fields": [],
        "clashes": [],
    }
    body = json.dumps(problem).encode("utf-8")
    headers = [(b"content-type", b"application/json"), (b"connection", b"close")]
    await send({"type": "http.response.start", "status": 413, "headers": headers})
    await send({"type": "http.response.body", "body": body})
