"""The description of the API against the API itself: every route, with a role and without."""

from __future__ import annotations

from typing import Any

import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from starlette.testclient import TestClient

from cringle.web.workers import Workers

CHECKS = (not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance)
ENDLESS = "/api/live"
EXAMPLES = 12


def operations(app: FastAPI) -> list[Any]:
    """Return every operation of the description but the one that never ends."""
    schema = schemathesis.openapi.from_dict(app.openapi())
    return [one.ok() for one in schema.get_all_operations() if one.ok().path != ENDLESS]


@pytest.mark.parametrize("who", ["here", "crew", "stranger"])
def test_every_route_does_what_it_says(
    app: FastAPI, who: str, request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Workers, "_attend", lambda _self, _work: None)
    client: TestClient = request.getfixturevalue(who)
    found = operations(app)
    assert len(found) >= 12
    for operation in found:
        _run(operation, client)


def _sendable(value: Any) -> Any:
    """Return a part of a form as something that a client can send."""
    if isinstance(value, tuple):
        return (value[0], _sendable(value[1]), *value[2:])
    return value if isinstance(value, bytes | str) else str(value)


def _run(operation: Any, client: TestClient) -> None:
    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy())
    def run(case: Any) -> None:
        told = case.as_transport_kwargs(base_url=str(client.base_url))
        told = {key: value for key, value in told.items() if key != "cookies"}
        told["files"] = [(name, _sendable(value)) for name, value in told.get("files") or []] or None
        if isinstance(told.get("data"), bytes):
            told["content"] = told.pop("data")
        headers = {**client.headers, **told.pop("headers", {})}
        headers["X-Cringle-Token"] = client.headers.get("X-Cringle-Token", "")
        answer = client.request(**told, headers=headers)
        answer.request.read()
        case.validate_response(schemathesis.Response.from_any(answer), checks=list(CHECKS))

    run()
