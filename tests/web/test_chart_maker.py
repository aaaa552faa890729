"""The process that draws one chart."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from types import SimpleNamespace

import pytest

from cringle.web import chart_maker

SPEC = {
    "$schema": "https://vega.github.io/schema/vega-lite/v6.json",
    "data": {"values": [{"a": 1, "b": 2}]},
    "mark": {"type": "point", "color": "var(--ink)"},
    "encoding": {"x": {"field": "a", "type": "quantitative"}, "y": {"field": "b", "type": "quantitative"}},
}


def test_it_draws_what_it_is_sent(monkeypatch: pytest.MonkeyPatch) -> None:
    sent, out = io.BytesIO(json.dumps(SPEC).encode()), io.BytesIO()
    monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=sent))
    monkeypatch.setattr(sys, "stdout", SimpleNamespace(buffer=out))
    monkeypatch.setattr(sys, "argv", ["chart_maker"])
    monkeypatch.setattr("os.nice", lambda _by: 0)
    assert chart_maker.main() == 0
    assert out.getvalue().startswith(b"<svg")
    assert b"var(--ink)" in out.getvalue()


def test_what_is_no_specification_ends_in_failure() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "cringle.web.chart_maker"], input=b"nothing", capture_output=True, check=False
    )
    assert done.returncode != 0
    assert done.stdout == b""


def test_the_scripts_come_out_of_the_installed_package() -> None:
    found = chart_maker.made([chart_maker.BUNDLE], b"")
    assert b"vegaEmbed" in found
    assert len(found) > 100_000
