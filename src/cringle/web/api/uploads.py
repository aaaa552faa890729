"""Files in: streamed to the disk, parsed beside the server, asked for by the id of the work."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Query, Request
from pydantic import BaseModel, Field

from cringle.web.guards import CoachChange, CrewChange, Reader, SiteHere
from cringle.web.problems import Problem, answers
from cringle.web.uploads import received
from cringle.web.workers import Work
from cringle.workflows.serving.errands import Errand

router = APIRouter(prefix="/api", tags=["files in"])
Kind = Literal["log", "recording", "history", "gauge"]
LONGEST_VALUE: Final = 80
FileName = Annotated[str, Query(max_length=200)]
BODY: Final[dict[str, Any]] = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    }
}


class WorkSeen(BaseModel):
    """Where the work on a file stands: ``result`` when it is done, ``problem`` when it failed."""

    schema_: Annotated[int, Field(alias="schema")] = 1
    id: str
    kind: str
    state: Literal["waiting", "running", "done", "failed", "stopped"]
    done: int
    total: int
    result: dict[str, Any] | None
    problem: Problem | None


def seen(work: Work) -> WorkSeen:
    """Return where a piece of work stands."""
    problem = None if work.problem is None else Problem.model_validate(work.problem)
    return WorkSeen.model_validate(
        {
            "schema": 1,
            "id": work.id,
            "kind": work.errand.kind,
            "state": work.state if work.is_over or work.state == "waiting" else "running",
            "done": work.done,
            "total": work.total,
            "result": work.result,
            "problem": problem if work.is_over else None,
        }
    )


@router.post("/uploads/pocket", status_code=202, responses=answers(401, 403, 429), openapi_extra=BODY)
async def pocket(request: Request, site: SiteHere, visitor: CrewChange, name: FileName = "notes") -> WorkSeen:
    """Take in what a pocket page gave out; a second time changes nothing."""
    path = await received(request.stream(), name)
    return seen(site.workers.begin(Errand("pocket", site.settings.folder, visitor.name, path)))


@router.post("/uploads/{kind}", status_code=202, responses=answers(401, 403, 429), openapi_extra=BODY)
async def upload(
    kind: Kind, request: Request, site: SiteHere, visitor: CoachChange, name: FileName = "sent"
) -> WorkSeen:
    """Take in a log, a recording of a plucked wire, a history, or the readings of a gauge study."""
    path = await received(request.stream(), name)
    asked = {key: value[:LONGEST_VALUE] for key, value in request.query_params.items() if key != "name"}
    return seen(site.workers.begin(Errand(kind, site.settings.folder, visitor.name, path, asked)))


@router.get("/errands/{errand}", responses=answers(401, 403, 404))
async def errand(errand: str, site: SiteHere, _visitor: Reader) -> WorkSeen:
    """Say how far it is, and what came of it."""
    return seen(site.workers.find(errand))


@router.delete("/errands/{errand}", responses=answers(401, 403, 404))
async def stop(errand: str, site: SiteHere, _visitor: CrewChange) -> WorkSeen:
    """Stop it; what is not written yet is left out."""
    found = site.workers.find(errand)
    site.workers.stop(found)
    return seen(found)
