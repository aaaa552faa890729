"""Errors become a page or JSON in one place; each says what is wrong and what to do next."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, RedirectResponse, Response
from pydantic import BaseModel
from starlette.exceptions import HTTPException

from cringle.errors import BookError, BookFileError, ConflictError, CringleError
from cringle.web.render import error_page
from cringle.web.workers import WorkError


class FieldProblem(BaseModel):
    """What is wrong with one field of a form."""

    field: str
    message: str


class ClashSeen(BaseModel):
    """What two people wrote in the same place."""

    key: str
    yours: str
    theirs: str
    who: str
    at: str
    base: str


class Problem(BaseModel):
    """An error, and what to do next."""

    message: str
    next_step: str | None = None
    fields: list[FieldProblem] = []
    clashes: list[ClashSeen] = []


class ProblemError(Exception):
    """Answer with a problem."""

    def __init__(self, status: int, message: str, next_step: str, *, wait_s: int | None = None) -> None:
        super().__init__(message)
        self.status, self.wait_s = status, wait_s
        self.problem = Problem(message=message, next_step=next_step)


MEANINGS = {
    400: "The request cannot be read.",
    401: "Join first.",
    403: "Not for this role, or not from our own page.",
    404: "There is no such thing.",
    409: "Somebody else changed it first; both values are kept.",
    413: "Too long.",
    422: "A field is wrong.",
    423: "Racing: the content is fixed.",
    429: "Too often.",
    503: "The book cannot be read or written now.",
}


def answers(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """Return what the API description says of some errors; 422 and 503 are always among them."""
    wanted = (400, 413, 422, 503, *statuses)
    return {status: {"model": Problem, "description": MEANINGS[status]} for status in sorted(set(wanted))}


def status_of(error: CringleError) -> int:
    """Return the status that says what kind of error it is."""
    if isinstance(error, ConflictError):
        return 409
    return 503 if isinstance(error, BookError | BookFileError) else 422


def problem_of(error: CringleError) -> Problem:
    """Return an error of the project as a problem."""
    found = error.findings if isinstance(error, BookFileError) else ()
    fields = [FieldProblem(field=one.field or "", message=one.message) for one in found]
    clashes = error.clashes if isinstance(error, ConflictError) else ()
    seen = [
        ClashSeen(key=one.key, yours=one.yours, theirs=one.theirs, who=one.who, at=one.at, base=one.base)
        for one in clashes
    ]
    return Problem(message=error.message, next_step=error.next_step, fields=fields, clashes=seen)


def install(app: FastAPI) -> None:
    """Answer every error as a page or as JSON."""
    app.add_exception_handler(CringleError, _known)
    app.add_exception_handler(ProblemError, _told)
    app.add_exception_handler(WorkError, _beside)
    app.add_exception_handler(RequestValidationError, _fields)
    app.add_exception_handler(HTTPException, _http)


async def _known(request: Request, error: Exception) -> Response:
    found = error if isinstance(error, CringleError) else CringleError(str(error))
    return _answer(request, status_of(found), problem_of(found))


async def _told(request: Request, error: Exception) -> Response:
    if not isinstance(error, ProblemError):
        raise error
    if error.status == 401 and not _is_api(request):
        return RedirectResponse("/join", status_code=303)
    headers = {} if error.wait_s is None else {"retry-after": str(error.wait_s)}
    return _answer(request, error.status, error.problem, headers)


async def _beside(request: Request, error: Exception) -> Response:
    if not isinstance(error, WorkError):
        raise error
    return _answer(request, error.status, Problem.model_validate(error.problem))


async def _fields(request: Request, error: Exception) -> Response:
    found = error.errors() if isinstance(error, RequestValidationError) else []
    broken = any(one["type"] == "json_invalid" for one in found)
    fields = [
        FieldProblem(field=".".join(str(part) for part in one["loc"][1:]), message=str(one["msg"]))
        for one in found
    ]
    message = "; ".join(f"{one.field}: {one.message}" for one in fields)[:500] or "a field is wrong"
    problem = Problem(message=message, next_step="correct it and send it again", fields=fields)
    return _answer(request, 400 if broken else 422, problem)


async def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    headers = error.headers if isinstance(error, HTTPException) else None
    words = MEANINGS.get(status, "This cannot be done here.")
    return _answer(request, status, Problem(message=words, next_step="go back to Tonight"), headers)


def _is_api(request: Request) -> bool:
    return request.url.path.startswith("/api")


def _answer(
    request: Request, status: int, problem: Problem, headers: Mapping[str, str] | None = None
) -> Response:
    if _is_api(request):
        return JSONResponse(problem.model_dump(), status, dict(headers or {}))
    return error_page(status, problem.message, problem.next_step, dict(headers or {}))
