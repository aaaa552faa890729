"""Charts of the pages: the reports' own specifications, drawn beside the server in the page's colours."""

from __future__ import annotations

import gzip
import hashlib
import json
import subprocess
import sys
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import version as installed
from pathlib import Path
from threading import BoundedSemaphore, Lock, Thread
from typing import Any, Final

from cringle.boat.write import write_atomically
from cringle.book.names import CACHE_NAME
from cringle.output.chart_shape import fitted, touchable
from cringle.output.palette import LIGHT, Theme
from cringle.web.chart_maker import BUNDLE
from cringle.web.workers import WorkError, trouble_line

MOST_HELD: Final = 400
AT_ONCE: Final = 2
LONGEST_S: Final = 60.0
FOLDER: Final = "charts"
ENGINE: Final = "vl-convert-python"
MAKER: Final = (sys.executable, "-m", "cringle.web.chart_maker")
SHAPES: Final = (False, True)

Json = dict[str, Any]


@dataclass(frozen=True)
class Chart:
    """A chart as a page holds it.

    Parameters
    ----------
    id : str
        By which the picture is asked for: a hash of all that is drawn.
    title : str
        Over it.
    words : str
        What it shows, for who does not see it and for who does.
    """

    id: str
    title: str
    words: str


class Charts:
    """The charts of the pages now shown.

    Parameters
    ----------
    folder : Path
        The book; pictures are kept under its cache, which can be deleted at any time.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._specs: OrderedDict[str, Json] = OrderedDict()
        self._lock = Lock()
        self._turns = BoundedSemaphore(AT_ONCE)
        self._drawing: dict[Path, Lock] = {}

    def add(self, spec: Json, title: str, words: str) -> Chart:
        """Hold a specification and return what the page shows of it; drawing begins at once."""
        text = json.dumps(spec, sort_keys=True) + installed(ENGINE)
        found = hashlib.sha256(text.encode("utf-8")).hexdigest()[:32]
        with self._lock:
            fresh = found not in self._specs
            self._specs[found] = spec
            self._specs.move_to_end(found)
            while len(self._specs) > MOST_HELD:
                self._specs.popitem(last=False)
        if fresh:
            Thread(target=self._draw_all, args=(found,), daemon=True).start()
        return Chart(found, title, words)

    def spec(self, name: str, *, wide: bool) -> Json:
        """Return a specification that tells its values when touched.

        Raises
        ------
        WorkError
            No page that is shown now has this chart.
        """
        return touchable(fitted(self._held(name), wide=wide))

    def svg(self, name: str, *, wide: bool, theme: Theme | None = None) -> bytes:
        """Return the picture, in the colours of the page, or of one theme where it stands alone.

        Raises
        ------
        WorkError
            No page that is shown now has this chart, or it cannot be drawn.
        """
        found = self._drawn(name, self._held(name), wide=wide)
        return found if theme is None else coloured(found, theme)

    def _held(self, name: str) -> Json:
        with self._lock:
            found = self._specs.get(name)
        if found is None:
            raise WorkError(trouble_line("this chart is of an older page", "load the page again", 404))
        return found

    def _draw_all(self, name: str) -> None:
        """Draw a chart for phones, then for wide pages, before anybody asks."""
        try:
            for wide in SHAPES:
                self._drawn(name, self._held(name), wide=wide)
        except WorkError:
            return

    def _drawn(self, name: str, spec: Json, *, wide: bool) -> bytes:
        path = self._folder / CACHE_NAME / FOLDER / f"{name}-{'wide' if wide else 'narrow'}.svg"
        return self._kept(path, [], json.dumps(fitted(spec, wide=wide)).encode("utf-8"))

    def bundle(self) -> bytes:
        """Return the scripts that show charts, packed; made of the installed package once and kept."""
        path = self._folder / CACHE_NAME / FOLDER / f"{ENGINE}-{installed(ENGINE)}.js"
        return packed(self._kept(path, [BUNDLE], b""))

    def _kept(self, path: Path, arguments: Sequence[str], sent: bytes) -> bytes:
        with self._lock:
            own = self._drawing.setdefault(path, Lock())
        with own:
            try:
                return path.read_bytes()
            except OSError:
                found = self._made(arguments, sent)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, found)
        return found

    def _made(self, arguments: Sequence[str], sent: bytes) -> bytes:
        with self._turns:
            try:
                done = subprocess.run(
                    [*MAKER, *arguments], input=sent, capture_output=True, timeout=LONGEST_S, check=True
                )
            except (OSError, subprocess.SubprocessError) as error:
                step = "the numbers beside it are whole; load the page again later"
                raise WorkError(trouble_line("this chart cannot be drawn now", step, 503)) from error
        return done.stdout


@lru_cache(maxsize=2)
def packed(body: bytes) -> bytes:
    """Return bytes packed."""
    return gzip.compress(body, 9)


def coloured(svg: bytes, theme: Theme = LIGHT) -> bytes:
    """Return a picture with the colours of a theme instead of the page's names of them."""
    text = svg.decode("utf-8")
    for role in ("ground", "ink", "fog", "tape", "on_tape", "kelp", "rust"):
        text = text.replace(f"var(--{role.replace('_', '-')})", getattr(theme, role))
    return text.encode("utf-8")
