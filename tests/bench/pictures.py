"""What a picture costs: `python -m tests.bench.pictures`.

Each sample is drawn five times by a process of its own, as it is when a message is carried: the median of the
seconds from start to end and those its processor worked, the most memory it had resident (VmHWM), and the
bytes of the picture. `--to DIR` keeps the pictures, to be looked at. Never part of a check.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from tests.bot.test_pictures import JOBS

TIMES = 5


DRAW = """import runpy, sys
runpy.run_module("bot.pictures", run_name="__main__")
with open("/proc/self/status") as status:
    print(*[line.split()[1] for line in status if line.startswith("VmHWM")], file=sys.stderr)
"""


def once(job: dict[str, Any]) -> tuple[float, float, float, bytes]:
    """Seconds, seconds of the processor, MB and the picture."""
    told = json.dumps(job).encode()
    begun = time.perf_counter()
    before = os.times()
    done = subprocess.run([sys.executable, "-c", DRAW], input=told, capture_output=True, check=True)
    after = os.times()
    worked = after.children_user + after.children_system - before.children_user - before.children_system
    return time.perf_counter() - begun, worked, int(done.stderr.split()[-1]) / 1024, done.stdout


def main() -> None:
    folder = Path(sys.argv[2]) if sys.argv[1:2] == ["--to"] else None
    for name, job in JOBS.items():
        seconds, worked, memory, pictures = zip(*(once(job) for _ in range(TIMES)), strict=True)
        middle = f"{statistics.median(seconds):.2f} s, {statistics.median(worked):.2f} s worked"
        print(f"{name:40} {middle}; {max(memory):.0f} MB; {len(pictures[0]) / 1000:.0f} kB", flush=True)
        if folder is not None:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / f"{name.replace(' ', '-').replace(',', '')}.png").write_bytes(pictures[0])


if __name__ == "__main__":
    main()
