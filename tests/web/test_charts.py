"""Charts kept beside the server."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from cringle.output.palette import DARK, LIGHT
from cringle.web import charts
from cringle.web.charts import Charts, coloured
from cringle.web.workers import WorkError

SPEC = {"mark": "point", "width": 560, "title": "over it"}
DRAWN = b'<svg><path stroke="var(--ink)" fill="var(--on-tape)"/></svg>'


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[bytes]:
    """Return what the process beside the server was sent; it draws one picture whatever it is sent."""
    sent: list[bytes] = []

    def made(_self: Charts, _arguments: object, told: bytes) -> bytes:
        sent.append(told)
        return DRAWN

    monkeypatch.setattr(Charts, "_made", made)
    monkeypatch.setattr(Charts, "_draw_all", lambda _self, _name: None)
    return sent


def test_a_picture_is_drawn_once_and_kept_for_the_next_server(asked: list[bytes], tmp_path: Path) -> None:
    first = Charts(tmp_path)
    one = first.add(SPEC, "Targets", "by wind")
    assert first.svg(one.id, wide=False) == first.svg(one.id, wide=False) == DRAWN
    assert len(asked) == 1
    second = Charts(tmp_path)
    assert second.add(SPEC, "Targets", "by wind") == one
    assert second.svg(one.id, wide=False) == DRAWN
    assert len(asked) == 1
    second.svg(one.id, wide=True)
    assert len(asked) == 2
    assert asked[0] != asked[1]


def test_another_chart_has_another_name(asked: list[bytes], tmp_path: Path) -> None:
    found = Charts(tmp_path)
    assert found.add(SPEC, "a", "b").id != found.add({**SPEC, "mark": "line"}, "a", "b").id


def test_alone_it_carries_the_colours_of_a_theme(asked: list[bytes], tmp_path: Path) -> None:
    found = Charts(tmp_path)
    one = found.add(SPEC, "a", "b")
    text = found.svg(one.id, wide=False, theme=LIGHT).decode()
    assert "var(" not in text
    assert LIGHT.ink in text
    assert DARK.on_tape in coloured(DRAWN, DARK).decode()


def test_a_chart_of_no_page_is_refused_with_the_next_step(tmp_path: Path) -> None:
    with pytest.raises(WorkError) as caught:
        Charts(tmp_path).spec("0" * 32, wide=False)
    assert caught.value.status == 404
    assert caught.value.problem["next_step"] == "load the page again"


def test_the_oldest_chart_goes_first(
    asked: list[bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(charts, "MOST_HELD", 2)
    found = Charts(tmp_path)
    names = [found.add({"mark": "point", "height": tall}, "a", "b").id for tall in (1, 2, 3)]
    with pytest.raises(WorkError):
        found.spec(names[0], wide=False)
    assert found.spec(names[2], wide=False)["height"] == 3


def test_a_specification_tells_its_values_and_leaves_the_heading_out(
    asked: list[bytes], tmp_path: Path
) -> None:
    found = Charts(tmp_path)
    spec = found.spec(found.add(SPEC, "a", "b").id, wide=False)
    assert spec["config"]["mark"]["tooltip"] is True
    assert "title" not in spec


def test_what_cannot_be_drawn_is_said_and_not_kept(tmp_path: Path) -> None:
    found = Charts(tmp_path)
    one = found.add({"mark": {"type": "no such mark"}}, "a", "b")
    with pytest.raises(WorkError) as caught:
        found.svg(one.id, wide=False)
    assert caught.value.status == 503
    assert not list(tmp_path.rglob("*.svg"))


def test_the_scripts_are_packed_and_made_once(asked: list[bytes], tmp_path: Path) -> None:
    found = Charts(tmp_path)
    assert gzip.decompress(found.bundle()) == gzip.decompress(found.bundle()) == DRAWN
    assert len(asked) == 1
