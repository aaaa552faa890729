"""A photo without what the camera wrote into it: place, time, maker and words go, the picture stays.

The picture is written anew by Pillow, a JPEG with its own tables, so that next to nothing is lost. Only the
colour profile and the way the picture is held remain. Anything after its end, where phones keep films and
second pictures, goes too.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any, Final

from cringle.errors import InputError

if TYPE_CHECKING:
    from PIL.Image import Exif, Image

ORIENTATION: Final = 0x0112
"""Exif tag: how the picture is held (Exif 2.3, from memory)."""

UPRIGHT: Final = 1
JPEG_FORMATS: Final = ("JPEG", "MPO")
"""One picture, and several in one file, of which the first is taken."""


def bare_picture(data: bytes) -> bytes:
    """Return a JPEG or PNG file without what the camera wrote into it.

    Parameters
    ----------
    data : bytes
        The file.

    Raises
    ------
    InputError
        It is no such picture, or a damaged one: nothing could be said of what is in it.
    """
    from PIL import Image

    out = io.BytesIO()
    try:
        with Image.open(io.BytesIO(data), formats=("JPEG", "PNG")) as image:
            how = _as_it_was(image) if image.format in JPEG_FORMATS else {"format": "PNG"}
            image.save(out, icc_profile=image.info.get("icc_profile"), exif=_held(image), **how)
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        raise InputError(
            "no picture, or a damaged one: accepted are JPEG and PNG",
            next_step="save it anew as .jpg or .png",
        ) from error
    return out.getvalue()


def _as_it_was(image: Image) -> dict[str, Any]:
    """Return how a JPEG is written again with its own tables, without words."""
    from PIL.JpegImagePlugin import JpegImageFile, get_sampling

    if not isinstance(image, JpegImageFile):
        raise TypeError(f"{image.format} is no JPEG")
    return {
        "format": "JPEG",
        "qtables": image.quantization,
        "subsampling": get_sampling(image),
        "comment": b"",
        "xmp": b"",
    }


def _held(image: Image) -> Exif:
    """Return an Exif block that says only how the picture is held, empty for an upright one."""
    from PIL.Image import Exif

    held, found = image.getexif().get(ORIENTATION, UPRIGHT), Exif()
    if held != UPRIGHT:
        found[ORIENTATION] = held
    return found
