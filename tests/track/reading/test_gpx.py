from __future__ import annotations

import hashlib
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from cringle.errors import CringleError, LogError
from cringle.track.reading.chunks import Source
from cringle.track.reading.gpx import EXTENSIONS, GpxPass
from cringle.track.reading.options import ReadOptions
from cringle.track.reading.read import TrackLog, read_log
from cringle.track.schema import TRACK_COLUMNS

Read = Callable[..., TrackLog]
SPACE = 'xmlns="http://www.topografix.com/GPX/1/1"'


def point(second: int, inside: str = "") -> str:
    time = f"<time>2026-05-03T17:00:{second:02d}Z</time>"
    return f'<trkpt lat="{54 + second / 1000}" lon="10.5">{time}{inside}</trkpt>'


def gpx(points: str, space: str = SPACE, version: str = "1.1") -> str:
    head = f'<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="{version}" creator="test" {space}>'
    return f"{head}<trk><trkseg>{points}</trkseg></trk></gpx>"


@pytest.fixture
def read(tmp_path: Path) -> Read:
    def from_text(text: str | bytes, **options: object) -> TrackLog:
        path = tmp_path / "evening.gpx"
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return read_log(path, options=ReadOptions(**options))  # type: ignore[arg-type]

    return from_text


def test_points_become_fixes(read: Read) -> None:
    log = read(gpx(point(0) + point(1)))
    assert log.track["time"].to_list() == [datetime(2026, 5, 3, 17, 0, one, tzinfo=UTC) for one in (0, 1)]
    assert log.track["lat"].to_list() == [54.0, 54.001]
    assert (log.report.format, log.report.lines_read, log.report.rows) == ("gpx", 2, 2)


@pytest.mark.parametrize(
    ("space", "version"), [("", "1.1"), ('xmlns="http://www.topografix.com/GPX/1/0"', "1.0")]
)
def test_other_namespaces(read: Read, space: str, version: str) -> None:
    inside = "<course>45</course><speed>5.144444</speed>"
    log = read(gpx(point(0, inside), space, version))
    assert_allclose(log.track["sog"].to_list(), [10.0], rtol=1e-6)
    assert log.track["cog"].to_list() == [45.0]


def test_extensions_by_local_name_however_deep(read: Read) -> None:
    inside = (
        '<extensions xmlns:x="urn:x"><x:point><x:speed>2.0</x:speed><x:course>360</x:course></x:point>'
        "<heel>-12.5</heel><pitch>1</pitch><x:heading>7</x:heading><x:depth>3</x:depth></extensions>"
    )
    log = read(gpx(point(0, inside) + point(1)))
    assert_allclose(log.track["sog"][0], 3.887689, rtol=1e-6)
    assert [log.track[name][0] for name in ("cog", "roll", "pitch", "hdg")] == [0.0, -12.5, 1.0, 7.0]
    assert log.side["attitude"]["roll"].to_list() == [-12.5]
    assert log.track["sog"][1] == log.track["sog"][0]


def test_instruments_in_extensions(read: Read) -> None:
    """Speeds in m/s like the track's own; the wind's angle from either way round to starboard positive."""
    inside = (
        '<extensions xmlns:x="urn:x"><x:water_speed>3.0</x:water_speed>'
        "<x:apparent_wind_angle>330</x:apparent_wind_angle>"
        "<x:apparent_wind_speed>6</x:apparent_wind_speed></extensions>"
    )
    log = read(gpx(point(0, inside) + point(1)))
    assert_allclose([log.track[one][0] for one in ("stw", "aws", "awa")], [5.831533, 11.663067, -30.0])
    assert log.side["apparent_wind"]["awa"].to_list() == [-30.0]
    assert log.report.lines_skipped.get("bad_field", 0) == 0


def test_an_impossible_wind_is_a_bad_field(read: Read) -> None:
    inside = "<extensions><apparent_wind_speed>-1</apparent_wind_speed></extensions>"
    assert read(gpx(point(0, inside) + point(1))).report.lines_skipped == {"bad_field": 1}


def test_fractional_seconds_zones_and_remarks(read: Read) -> None:
    time = "<time> 2026-05-03T19:00:00.25+02:00 </time>"
    odd = f'<trkpt lat="54" lon="-180"><!-- remark --><ele>1</ele>{time}</trkpt>'
    log = read(gpx(odd))
    assert log.track["time"][0] == datetime(2026, 5, 3, 17, 0, 0, 250_000, tzinfo=UTC)
    assert log.track["lon"][0] == -180.0


def test_bad_points_are_counted(read: Read) -> None:
    bad = [
        '<trkpt lat="91" lon="10"><time>2026-05-03T17:00:00Z</time></trkpt>',
        '<trkpt lat="54,1" lon="10"><time>2026-05-03T17:00:00Z</time></trkpt>',
        '<trkpt lat="-90.1" lon="10"><time>2026-05-03T17:00:00Z</time></trkpt>',
        '<trkpt lat="54" lon="180.1"><time>2026-05-03T17:00:00Z</time></trkpt>',
        '<trkpt lon="10"><time>2026-05-03T17:00:00Z</time></trkpt>',
        '<trkpt lat="54" lon="10"/>',
        '<trkpt lat="54" lon="10"><time>yesterday</time></trkpt>',
        point(5, "<extensions><speed>fast</speed></extensions>"),
        point(6, "<extensions><speed>inf</speed></extensions>"),
    ]
    log = read(gpx("".join(bad) + point(9)))
    assert log.report.lines_skipped == {"bad_field": 9}
    assert (log.report.lines_read, log.report.lines_good) == (10, 1)
    assert len(log.report.first_bad) == 3


def test_waypoints_and_routes_are_no_fixes(read: Read) -> None:
    text = gpx(point(0)).replace("<trk>", '<wpt lat="1" lon="1"/><rte><rtept lat="1" lon="1"/></rte><trk>')
    assert read(text).report.lines_read == 1


BOMB = '<!DOCTYPE gpx [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'


@pytest.mark.parametrize(
    "definition",
    [
        BOMB,
        '<!DOCTYPE gpx SYSTEM "file:///etc/passwd">',
        '<!DOCTYPE gpx [<!ENTITY e SYSTEM "file:///etc/passwd">]>',
    ],
)
def test_entity_bombs_and_outside_entities_are_refused(read: Read, definition: str) -> None:
    text = gpx(point(0, "<name>&b;</name>")).replace("<gpx ", definition + "<gpx ")
    with pytest.raises(LogError, match="document type"):
        read(text)
    wide = text.replace("UTF-8", "UTF-16").encode("utf-16")
    with pytest.raises(LogError, match="document type"):
        read(wide)


def test_utf16_is_read(read: Read) -> None:
    assert read(gpx(point(0)).replace("UTF-8", "UTF-16").encode("utf-16")).report.rows == 1


def test_a_broken_end_keeps_what_came_before(read: Read) -> None:
    log = read(gpx(point(0) + point(1) + point(2))[:-90])
    assert log.report.rows == 2
    assert log.report.lines_skipped == {"not_framed": 1}
    assert log.report.lines_read == log.report.lines_good + 1
    assert "breaks at line" in log.report.notes[0]


@pytest.mark.parametrize(
    "text",
    ["<gpx", "<html><body/></html>", "<gpx><trk>", "<\x00", "<?xml version='1.0' encoding='no-such'?><gpx/>"],
)
def test_what_is_not_gpx_is_refused(read: Read, text: str) -> None:
    with pytest.raises(LogError):
        read(text)


def test_no_points(read: Read) -> None:
    with pytest.raises(LogError, match="no position fix"):
        read(gpx(""))


def test_the_hash_covers_the_whole_file(read: Read, tmp_path: Path) -> None:
    log = read(gpx(point(0)) + "\n" * 100_000)
    assert log.report.sha256 == hashlib.sha256((tmp_path / "evening.gpx").read_bytes()).hexdigest()


def test_many_points_come_in_pieces(read: Read, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("cringle.track.reading.gpx.POINTS_PER_PIECE", 7)
    log = read(gpx("".join(point(one) for one in range(60))))
    assert log.track["lat"].to_list() == [54 + one / 1000 for one in range(60)]


@pytest.mark.parametrize("every", [1, 3, 10])
def test_points_done_with_are_freed_and_none_is_lost(
    read: Read, monkeypatch: pytest.MonkeyPatch, every: int
) -> None:
    monkeypatch.setattr("cringle.track.reading.gpx.RELEASE_EVERY", every)
    points = [point(one) + ("</trkseg><trkseg>" if one % 4 == 0 else "") for one in range(60)]
    points[30] += "</trkseg></trk><trk><name>second</name><trkseg>"
    log = read(gpx("".join(points)))
    assert log.track["lat"].to_list() == [54 + one / 1000 for one in range(60)]


def test_extensions_go_to_track_columns() -> None:
    assert set(EXTENSIONS.values()) < set(TRACK_COLUMNS)


@given(
    st.text(st.sampled_from("<>/&;\"'=abtrkp \n\x00é"), max_size=60),
    st.integers(0, 400),
)
def test_any_damage_is_read_or_refused_clearly(
    tmp_path_factory: pytest.TempPathFactory, text: str, place: int
) -> None:
    whole = gpx(point(0) + point(1))
    path = tmp_path_factory.mktemp("gpx") / "evening.gpx"
    path.write_text(whole[:place] + text + whole[place:], encoding="utf-8")
    work = GpxPass(Source(path), ReadOptions())
    try:
        list(work.pieces())
    except CringleError:
        return
    report = work.report()
    assert report.lines_read == report.lines_good + sum(report.lines_skipped.values())


def test_xml_of_another_kind_is_named(read: Read) -> None:
    with pytest.raises(LogError, match="root element is 'html'"):
        read("<html><body><trkpt lat='54' lon='10'/></body></html>")
