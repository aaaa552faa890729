"""What pages receive of the models' answers: ready with their pictures, being worked out, or refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final
from urllib.parse import urlencode

from markupsafe import Markup

from cringle.settings.winds import height_ratio
from cringle.web.beside import begun, kept_work
from cringle.web.charts import Chart
from cringle.web.site import Site
from cringle.web.workers import Work
from cringle.workflows.speed.tonight import MODEL_HEIGHT_M

Json = dict[str, Any]
SERVER: Final = "server"
"""In whose name a study is asked for that writes nothing."""

HALF_KN: Final = 2.0
"""Half knots in a knot: winds of forms are said no finer."""

Heading = tuple[str, str]
"""Title of a picture, and what it shows."""


@dataclass(frozen=True)
class Studied:
    """One study on a page.

    Parameters
    ----------
    ask : str
        Address that works it out and says how far it is.
    words : str
        What is worked out.
    answer : dict or None
        The command's own answer, None while there is none.
    problem : dict or None
        What is wrong, and what to do next.
    charts : mapping
        Name to chart.
    drawings : mapping
        Name to a drawing in the page's colours.
    """

    ask: str
    words: str
    answer: Json | None = None
    problem: Json | None = None
    charts: Mapping[str, Chart] = field(default_factory=dict)
    drawings: Mapping[str, Markup] = field(default_factory=dict)


def study_work(site: Site, name: str, asked: Mapping[str, Any], who: str) -> Work:
    """Return the work on a study, begun now where nobody has asked it since the book last changed."""
    return begun(site, "study", {"study": name, **asked}, who)


def studied(
    site: Site,
    name: str,
    asked: Mapping[str, Any],
    *,
    ask: str,
    words: str,
    headings: Mapping[str, Heading] | None = None,
) -> Studied:
    """Return a study for a page; its work begins where it has not.

    Parameters
    ----------
    site : Site
        Where it is worked out.
    name : str
        One of `cringle.workflows.serving.studies.STUDIES`.
    asked : mapping
        What the answer depends on.
    ask : str
        Path of the API that gives it.
    words : str
        What is worked out, for who waits.
    headings : mapping, optional
        Chart to its title and what it shows.
    """
    work = kept_work(site, "study", {"study": name, **asked}) or study_work(site, name, asked, SERVER)
    address = f"{ask}?{urlencode(asked)}" if asked else ask
    if not work.is_over:
        return Studied(address, words)
    if work.result is None:
        return Studied(address, words, problem=work.problem)
    found = work.result
    charts = {
        key: site.charts.add(spec, *(headings or {})[key]) for key, spec in found.get("charts", {}).items()
    }
    drawings = {key: Markup(svg) for key, svg in found.get("svg", {}).items()}
    return Studied(address, words, found["answer"], None, charts, drawings)


def wind_of_tonight(site: Site) -> float:
    """Return tonight's mean wind at the height of the speed model, to half a knot."""
    request = site.served.evening().request
    table_m = site.served.files().boat_file.boat.wind_height_m
    measured_m = table_m if request.height_m is None else request.height_m
    return round(HALF_KN * request.mean_kn * height_ratio(measured_m, MODEL_HEIGHT_M)) / HALF_KN
