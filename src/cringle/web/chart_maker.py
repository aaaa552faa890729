"""The process beside the server that draws one chart: what draws takes more memory than the server.

It is started as ``python -m cringle.web.chart_maker``, reads a specification from standard input and writes
the picture as SVG; with ``--bundle`` it writes the scripts that show charts in a browser, out of the
installed package.
"""

from __future__ import annotations

import json
import os
import sys
from contextlib import suppress
from typing import Final

BUNDLE: Final = "--bundle"
SNIPPET: Final = "window.vegaEmbed = vegaEmbed;"


def made(arguments: list[str], sent: bytes) -> bytes:
    """Return the picture of a specification, or the scripts."""
    import vl_convert

    if BUNDLE in arguments:
        return str(vl_convert.javascript_bundle(SNIPPET)).encode("utf-8")
    return str(vl_convert.vegalite_to_svg(json.loads(sent))).encode("utf-8")


def main() -> int:
    """Draw what standard input asks for; return the exit status."""
    with suppress(OSError):
        os.nice(5)
    arguments = sys.argv[1:]
    sent = b"" if BUNDLE in arguments else sys.stdin.buffer.read()
    sys.stdout.buffer.write(made(arguments, sent))
    return 0


if __name__ == "__main__":
    sys.exit(main())
