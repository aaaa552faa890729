"""Files that are sent: written to the disk block by block, under a plain name, whole or not at all."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Final

from starlette.concurrency import run_in_threadpool

from cringle.web.problems import ProblemError

BLOCK_BYTES: Final = 1 << 20
LONGEST_NAME: Final = 80


async def received(stream: AsyncIterator[bytes], name: str) -> Path:
    """Write what is sent into a folder of its own, block by block, and return the file.

    Parameters
    ----------
    stream : async iterator of bytes
        The body; when the connection is lost nothing is left.
    name : str
        Name of the file as the sender has it; only plain characters of it are used.

    Raises
    ------
    ProblemError
        Nothing was sent, or the disk takes no more.
    """
    folder = Path(await run_in_threadpool(tempfile.mkdtemp, prefix="cringle-sent-"))
    path = folder / plain_name(name)
    try:
        if not await _written(stream, path):
            raise ProblemError(422, "an empty file was sent", "choose another file")
    except OSError as error:
        shutil.rmtree(folder, ignore_errors=True)
        raise ProblemError(503, f"the file cannot be kept ({error.strerror})", "free some space") from error
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    return path


async def _written(stream: AsyncIterator[bytes], path: Path) -> int:
    total, block = 0, bytearray()
    with path.open("wb") as out:
        async for chunk in stream:
            block += chunk
            total += len(chunk)
            if len(block) >= BLOCK_BYTES:
                await run_in_threadpool(out.write, bytes(block))
                block.clear()
        await run_in_threadpool(out.write, bytes(block))
    return total


def plain_name(name: str) -> str:
    """Return the last part of a name with plain characters only; ``sent`` where nothing is left."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    kept = "".join(one if one.isalnum() or one in "._- " else "_" for one in last).strip(". ")
    return kept[-LONGEST_NAME:] or "sent"
