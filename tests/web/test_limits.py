from __future__ import annotations

import asyncio

import pytest
from starlette.types import Message, Receive, Scope, Send

from cringle.web.limits import (
    MOST_BODY_BYTES,
    MOST_PER_ADDRESS,
    MOST_TOGETHER,
    UPLOAD_PATHS,
    BodyLimit,
    JoinLimit,
)


class Clock:
    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def test_five_wrong_codes_make_an_address_wait_a_minute() -> None:
    clock = Clock()
    limit = JoinLimit(clock)
    for _ in range(MOST_PER_ADDRESS):
        assert limit.wait_s("a") == 0
        limit.wrong("a")
    assert 59 <= limit.wait_s("a") <= 61
    assert limit.wait_s("b") == 0
    clock.now += 61
    assert limit.wait_s("a") == 0


def test_many_addresses_together_wait_too() -> None:
    limit = JoinLimit(Clock())
    for number in range(MOST_TOGETHER):
        limit.wrong(f"phone {number}")
    assert limit.wait_s("somebody else") > 0


def test_addresses_are_forgotten() -> None:
    clock = Clock()
    limit = JoinLimit(clock)
    for number in range(1000):
        limit.wrong(f"phone {number}")
        clock.now += 61
    limit.wrong("last")
    assert len(limit._wrong) < 5


def send_body(path: str, chunks: list[bytes], said: bytes | None = None) -> tuple[int, int]:
    """Return the status and how many bytes the application saw."""
    seen = 0
    answers: list[Message] = []

    async def application(_scope: Scope, receive: Receive, send: Send) -> None:
        nonlocal seen
        while True:
            message = await receive()
            seen += len(message.get("body", b""))
            if not message.get("more_body"):
                break
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b""})

    messages = [{"type": "http.request", "body": one, "more_body": True} for one in chunks]
    messages.append({"type": "http.request", "body": b"", "more_body": False})

    async def receive() -> Message:
        return messages.pop(0)

    async def send(message: Message) -> None:
        answers.append(message)

    headers = [] if said is None else [(b"content-length", said)]
    scope = {"type": "http", "path": path, "headers": headers}
    asyncio.run(BodyLimit(application)(scope, receive, send))
    return answers[0]["status"], seen


def test_what_fits_goes_through() -> None:
    assert send_body("/api/notes", [b"x" * 1000]) == (200, 1000)


def test_a_body_that_says_it_is_too_long_is_not_read() -> None:
    assert send_body("/api/notes", [b"x"], said=str(2_000_000_000).encode()) == (413, 0)
    assert send_body("/api/notes", [b"x"], said=b"a lot") == (413, 0)


def test_a_body_that_lies_about_its_length_is_cut_off() -> None:
    status, seen = send_body("/api/notes", [b"x" * 300_000] * 20)
    assert status == 413
    assert seen <= MOST_BODY_BYTES


@pytest.mark.parametrize("path", UPLOAD_PATHS)
def test_uploads_may_be_longer(path: str) -> None:
    assert send_body(path, [b"x" * 400_000] * 4) == (200, 1_600_000)
