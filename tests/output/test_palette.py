from __future__ import annotations

import re

import pytest

from cringle.errors import InputError
from cringle.output.palette import (
    DARK,
    GLARE,
    LIGHT,
    THEMES,
    Theme,
    contrast_ratio,
    css_variables,
    relative_luminance,
    theme_named,
)


def test_black_on_white_is_the_most_contrast_there_is() -> None:
    assert contrast_ratio("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast_ratio("#B8430A", "#B8430A") == 1.0
    assert relative_luminance("#FFFFFF") == pytest.approx(1.0)


@pytest.mark.parametrize("theme", THEMES.values(), ids=lambda theme: theme.name)
def test_text_and_figures_are_readable(theme: Theme) -> None:
    assert contrast_ratio(theme.ink, theme.ground) >= 7.0
    assert contrast_ratio(theme.on_tape, theme.tape) >= 4.5
    for colour in (theme.kelp, theme.rust):
        assert contrast_ratio(colour, theme.ground) >= 4.5
    assert contrast_ratio(theme.fog, theme.ground) >= 3.0


def test_the_glare_theme_is_black_and_white() -> None:
    assert {GLARE.ground, GLARE.on_tape} == {"#FFFFFF"}
    assert {GLARE.ink, GLARE.tape, GLARE.kelp, GLARE.rust} == {"#000000"}


def test_css_has_every_role() -> None:
    css = css_variables(LIGHT)
    assert "--tape: #B8430A;" in css
    assert "--on-tape:" in css
    assert len(re.findall(r"--[a-z-]+: #[0-9A-F]{6};", css)) == 7


def test_themes_by_name() -> None:
    assert theme_named("dark") is DARK
    with pytest.raises(InputError, match="light, dark, glare"):
        theme_named("sepia")
