from __future__ import annotations

import json

import numpy as np
import pytest

from cringle.book.store import Book
from cringle.errors import InputError
from cringle.workflows.afloat.logs import read_into_book
from cringle.workflows.speed.fit import (
    fit_json,
    forget_fit,
    log_stretches,
    read_stretches_csv,
    speed_fit,
)
from cringle.workflows.speed.open import open_speed

ROWS = """tws_kn,twa_deg,speed_kn,heel_deg,seconds,case,note
8,48,4.9,3,60,up,smooth
10,46,5.4,5,90,,
12,-44,5.6,11,60,up,
14,43,5.7,14,60,up,
8,148,5.5,,60,soak furled,
10,150,5.9,,60,soak furled,
"""


@pytest.fixture
def stretches(tmp_path):
    path = tmp_path / "steady.csv"
    path.write_text(ROWS, encoding="utf-8")
    return path


@pytest.fixture
def folder(book_folder):
    with Book.open(book_folder, create=True, who="coach"):
        pass
    return book_folder


def test_a_csv_is_read_with_defaults(stretches):
    found = read_stretches_csv(stretches)
    assert len(found) == 6
    assert (found[1].case, found[1].seconds) == ("up", 90.0)
    assert found[4].heel_deg is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("tws_kn,twa_deg\n8,45\n", "no column speed_kn"),
        ("tws_kn,twa_deg,speed_kn\n8,fast,5\n", r":2, twa_deg: found 'fast'"),
        ("tws_kn,twa_deg,speed_kn\n8,140,5\n", r":2, case: empty at 140"),
        ("tws_kn,twa_deg,speed_kn\n", "no rows"),
    ],
)
def test_bad_files_are_refused_with_the_line(tmp_path, text, words):
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=words):
        read_stretches_csv(path)


def test_bytes_that_are_no_text_are_refused(tmp_path):
    path = tmp_path / "bad.csv"
    path.write_bytes(b"\xff\xfe\x00tws")
    with pytest.raises(InputError, match="UTF-8"):
        read_stretches_csv(path)


def test_a_fit_is_only_tried_unless_it_is_kept(folder, stretches):
    found = speed_fit(folder, str(stretches))
    assert found.kept is None
    assert found.report.after_percent < found.report.before_percent
    assert open_speed(folder).fitted is None
    json.dumps(fit_json(found), allow_nan=False)


def test_a_kept_fit_moves_the_model_and_carries_the_data_hash(folder, stretches):
    found = speed_fit(folder, str(stretches), keep=True)
    book = open_speed(folder)
    assert book.fit.found.data_sha256 == found.sha256
    assert book.model.around.factors == found.report.fitted.factors
    assert book.model.around.factors.sail_power != 1.0


def test_forgetting_keeps_the_history(folder, stretches):
    speed_fit(folder, str(stretches), keep=True)
    forget_fit(folder)
    book = open_speed(folder)
    assert book.fitted is None
    assert book.model.around.factors.sail_power == 1.0
    assert book.fit.id == 2


def test_the_second_fit_starts_from_the_plain_model(folder, stretches):
    first = speed_fit(folder, str(stretches), keep=True)
    second = speed_fit(folder, str(stretches))
    np.testing.assert_allclose(second.report.before_percent, first.report.before_percent)


def test_a_log_of_the_book_gives_steady_stretches(folder, examples):
    read_into_book([examples / "evening.nmea"], book=folder, who="coach")
    found, sha256 = log_stretches(folder, "evening", "soak furled")
    assert len(sha256) == 64
    assert len(found) >= 5
    assert {one.case for one in found} <= {"up", "soak furled"}


def test_an_unknown_source_names_the_logs(folder):
    with pytest.raises(InputError, match="no such file, and no single log"):
        speed_fit(folder, "nowhere")
