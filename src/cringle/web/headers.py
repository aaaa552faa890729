"""Headers of every answer, and the refusal of a host or an origin that is not ours."""

from __future__ import annotations

import json
from typing import Final

from starlette.types import ASGIApp, Message, Receive, Scope, Send

CONTENT_POLICY: Final = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
"""Nothing but our own files; nothing inside a page runs (W3C, Content Security Policy Level 3)."""

SECURITY_HEADERS: Final = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}
CHANGES: Final = frozenset({"POST", "PUT", "PATCH", "DELETE"})


class Headers:
    """Refuse strange hosts and origins; put the security headers on every answer.

    Parameters
    ----------
    app : ASGIApp
        What answers.
    hosts : frozenset of str
        Host headers that are ours, with the port.
    """

    def __init__(self, app: ASGIApp, hosts: frozenset[str]) -> None:
        self.app = app
        self.hosts = hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = [(name.lower(), value) for name, value in message.get("headers", [])]
                names = {name for name, _ in own}
                more = {**SECURITY_HEADERS, "cache-control": "no-store"}
                own += [
                    (name.encode("ascii"), value.encode("ascii"))
                    for name, value in more.items()
                    if name.encode("ascii") not in names
                ]
                message = {**message, "headers": own}
            await send(message)

        problem = self._strange(scope)
        if problem is None:
            await self.app(scope, receive, dressed)
        else:
            await _refuse(dressed, problem)

    def _strange(self, scope: Scope) -> str | None:
        headers = {name.lower(): value.decode("latin-1") for name, value in scope["headers"]}
        host = headers.get(b"host", "")
        if host not in self.hosts:
            return f"this server is not {host[:80]!r}"
        origin = headers.get(b"origin")
        if scope["method"] in CHANGES and origin is not None and origin != f"http://{host}":
            return f"a page of {origin[:80]!r} may change nothing here"
        return None


async def _refuse(send: Send, message: str) -> None:
    step = "open the address that `cringle serve` printed"
    body = json.dumps({"message": message, "next_step": step, "fields": [], "clashes": []}).encode("utf-8")
    headers = [(b"content-type", b"application/json")]
    await send({"type": "http.response.start", "status": 421, "headers": headers})
    await send({"type": "http.response.body", "body": body})
