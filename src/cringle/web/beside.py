"""Questions answered beside the server: asked once for everybody, kept until what they rest on changes."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import Any, Final

from cringle.web.site import Site
from cringle.web.workers import Work
from cringle.workflows.serving.errands import Errand

OF_TRIALS: Final = frozenset({"evidence", "suggest"})
"""Kinds that rest on what the trials said as well."""

OF_EVERYTHING: Final = frozenset({"visit"})
"""Kinds that rest on whatever was written."""


def begun(site: Site, kind: str, asked: Mapping[str, Any], who: str) -> Work:
    """Return the work that answers a question, begun now where nobody has asked it yet."""
    errand = Errand(kind, site.settings.folder, who, asked=asked)
    return site.workers.joined(_key(site, kind, asked), errand)


def kept_work(site: Site, kind: str, asked: Mapping[str, Any]) -> Work | None:
    """Return that work where somebody has asked already, else None."""
    return site.workers.kept(_key(site, kind, asked))


def kept_result(site: Site, kind: str, asked: Mapping[str, Any]) -> dict[str, Any] | None:
    """Return what came of that work, None while it is not done."""
    work = kept_work(site, kind, asked)
    return None if work is None else work.result


def _key(site: Site, kind: str, asked: Mapping[str, Any]) -> Hashable:
    if kind in OF_EVERYTHING:
        return kind, tuple(sorted(asked.items(), key=str)), site.served.stamp().newest
    rests_on = site.served.evidence(of_trials=kind in OF_TRIALS)
    return kind, tuple(sorted(asked.items(), key=str)), rests_on
