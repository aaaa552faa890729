from __future__ import annotations

import gzip
import re

from cringle.output.palette import DARK, GLARE, LIGHT
from cringle.web.assets import assets, version


def test_packed_and_plain_are_the_same() -> None:
    for one in assets().values():
        assert gzip.decompress(one.packed) == one.body


def test_every_theme_is_in_the_style_sheet() -> None:
    text = assets()["page.css"].body.decode()
    for theme in (LIGHT, DARK, GLARE):
        assert f"--ground: {theme.ground}" in text
        assert f"--tape: {theme.tape}" in text
    assert "/*LIGHT*/" not in text


def test_nothing_is_asked_of_another_server() -> None:
    for name, one in assets().items():
        text = one.body.decode().replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"https?:|url\(|@import", text), name


def test_modules_import_only_what_is_here() -> None:
    for name, one in assets().items():
        for wanted in re.findall(r'from "\./([^"]+)"', one.body.decode()):
            assert wanted in assets(), (name, wanted)


def test_the_version_is_short() -> None:
    assert re.fullmatch(r"[0-9a-f]{10}", version())
