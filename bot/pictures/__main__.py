"""Draws one picture and ends: a job as JSON on standard input, a PNG on standard output.

Memory goes with the process. Short of memory it is the first that goes, and it works behind the bells.
"""

from __future__ import annotations

import json
import os
import sys
from contextlib import suppress
from pathlib import Path


def main() -> None:
    with suppress(OSError):  # a hardened service may not
        os.nice(5)
    with suppress(OSError):
        Path("/proc/self/oom_score_adj").write_text("500", encoding="ascii")
    from bot.pictures.drawing import drawn

    sys.stdout.buffer.write(drawn(json.load(sys.stdin)))


if __name__ == "__main__":
    main()
