"""What the camera wrote goes, the picture stays."""

from __future__ import annotations

import io
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageOps
from PIL.PngImagePlugin import PngInfo

from cringle.errors import InputError
from cringle.output.picture_bare import bare_picture

JPEG_START, PNG_START = b"\xff\xd8", b"\x89PNG\r\n\x1a\n"
MAKER, ORIENTATION, PLACE = 0x010F, 0x0112, 0x8825
MOST_OFF = {"JPEG": 2, "PNG": 0}
"""Levels of 255 that a pixel may change: a JPEG is rounded once more with its own tables."""

SECRETS = (b"Cameramaker", b"54 deg north", b"Exif-words", b"after the end")


def picture() -> Image.Image:
    image = Image.new("RGB", (48, 32))
    image.putdata([(x * 5, y * 7, x + 3 * y) for y in range(32) for x in range(48)])
    return image


def exif(orientation: int) -> Image.Exif:
    made = Image.Exif()
    made[MAKER] = "Cameramaker"
    made[ORIENTATION] = orientation
    made.get_ifd(PLACE).update({1: "N", 2: (54.0, 12.0, 1.0), 29: "54 deg north"})
    return made


def jpeg(orientation: int, *, is_progressive: bool = False) -> bytes:
    out = io.BytesIO()
    picture().save(out, "JPEG", exif=exif(orientation), comment=b"Exif-words", progressive=is_progressive)
    return out.getvalue() + b"after the end"


def png(orientation: int) -> bytes:
    out, words = io.BytesIO(), PngInfo()
    words.add_text("Comment", "Exif-words")
    words.add_itxt("Where", "54 deg north")
    picture().save(out, "PNG", exif=exif(orientation), pnginfo=words)
    return out.getvalue() + b"after the end"


def progressive(orientation: int) -> bytes:
    return jpeg(orientation, is_progressive=True)


@pytest.mark.parametrize("held", [1, 3, 6])
@pytest.mark.parametrize("make", [jpeg, progressive, png])
def test_the_words_go_and_the_picture_stays_as_it_is_held(make: Callable[[int], bytes], held: int) -> None:
    before = make(held)
    after = bare_picture(before)
    assert any(one in before for one in SECRETS)
    assert not any(one in after for one in SECRETS)
    seen, bare = Image.open(io.BytesIO(before)), Image.open(io.BytesIO(after))
    assert np.abs(np.asarray(bare, dtype=int) - np.asarray(seen, dtype=int)).max() <= MOST_OFF[seen.format]
    assert bare.getexif().get(ORIENTATION, 1) == held
    assert not bare.getexif().get_ifd(PLACE)
    assert MAKER not in bare.getexif()
    assert ImageOps.exif_transpose(bare).size == ((32, 48) if held == 6 else (48, 32))


def test_the_colour_profile_stays() -> None:
    out = io.BytesIO()
    picture().save(out, "JPEG", icc_profile=b"a profile of colours", exif=exif(1))
    assert Image.open(io.BytesIO(bare_picture(out.getvalue()))).info["icc_profile"] == b"a profile of colours"


def test_of_several_pictures_in_one_file_the_first_is_taken() -> None:
    out = io.BytesIO()
    other = Image.new("RGB", (48, 32), (200, 30, 30))
    picture().save(out, "MPO", save_all=True, append_images=[other], exif=exif(6))
    assert Image.open(io.BytesIO(out.getvalue())).n_frames == 2  # type: ignore[attr-defined]
    bare = Image.open(io.BytesIO(bare_picture(out.getvalue())))
    assert (bare.format, bare.getexif().get(ORIENTATION)) == ("JPEG", 6)
    assert not any(one in bare_picture(out.getvalue()) for one in SECRETS)


@pytest.mark.parametrize("data", [b"", b"GIF89a", b"words", jpeg(6)[:400], png(6)[:300]])
def test_what_is_no_whole_picture_is_refused(data: bytes) -> None:
    with pytest.raises(InputError, match="damaged"):
        bare_picture(data)


@settings(max_examples=60)
@given(st.sampled_from([JPEG_START, PNG_START, jpeg(6)[:90], png(6)[:90]]), st.binary(max_size=80))
def test_a_damaged_file_lets_nothing_through(start: bytes, rest: bytes) -> None:
    with pytest.raises(InputError):
        bare_picture(start + rest)
