"""What the camera wrote goes, the picture stays; read back by a general imaging library."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageOps
from PIL.PngImagePlugin import PngInfo

from cringle.output.picture_bare import JPEG_START, PNG_START, bare_picture

MAKER, ORIENTATION, PLACE = 0x010F, 0x0112, 0x8825
SECRETS = (b"Cameramaker", b"54 deg north", b"Exif-words", b"after the end")


def picture() -> Image.Image:
    image = Image.new("RGB", (48, 32))
    image.putdata([(x * 5, y * 7, (x * y) % 251) for y in range(32) for x in range(48)])
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
    assert bare.tobytes() == seen.tobytes()
    assert bare.getexif().get(ORIENTATION, 1) == held
    assert not bare.getexif().get_ifd(PLACE)
    assert MAKER not in bare.getexif()
    assert ImageOps.exif_transpose(bare).size == ((32, 48) if held == 6 else (48, 32))
    assert bare_picture(after) == after


def test_the_colour_profile_stays() -> None:
    out = io.BytesIO()
    picture().save(out, "JPEG", icc_profile=b"a profile of colours", exif=exif(1))
    assert Image.open(io.BytesIO(bare_picture(out.getvalue()))).info["icc_profile"] == b"a profile of colours"


def test_another_file_is_left_alone() -> None:
    assert bare_picture(b"GIF89a") == b"GIF89a"


@settings(max_examples=60)
@given(st.sampled_from([JPEG_START, PNG_START, jpeg(6)[:90], png(6)[:90]]), st.binary(max_size=80))
def test_a_damaged_file_never_stops_it(start: bytes, rest: bytes) -> None:
    assert bare_picture(start + rest)[:2] == start[:2]
