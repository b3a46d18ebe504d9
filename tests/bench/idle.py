"""What `serve` costs while nothing happens: `python -m tests.bench.idle`.

Cold start: from the start of the process to its first getUpdates. Idle memory: what stays resident ten
seconds after that (VmRSS). Prints the median of three. Never part of a check.
"""

from __future__ import annotations

import asyncio
import os
import re
import statistics
import sys
import tempfile
from pathlib import Path

from bot.clock import SystemClock
from tests.bot.botapi import TOKEN, BotApi

LATER, TIMES = 10.0, 3
RESIDENT = re.compile(r"VmRSS:\s+(\d+) kB")


async def one(folder: Path) -> tuple[float, float]:
    """Seconds to the first getUpdates, and MB ten seconds later."""
    async with BotApi(now=SystemClock().now) as api:
        env = {**os.environ, "HATCHBELL_TOKEN": TOKEN, "HATCHBELL_API_URL": api.url}
        env["HATCHBELL_DB"] = str(folder / "farm.db")
        begun = asyncio.get_running_loop().time()
        process = await asyncio.create_subprocess_exec(
            *(sys.executable, "-m", "bot", "serve"), env=env, stderr=asyncio.subprocess.DEVNULL
        )
        try:
            await api.until(lambda: bool(api.calls("getUpdates")))
            start = api.calls("getUpdates")[0].at - begun
            await asyncio.sleep(LATER)
            status = Path(f"/proc/{process.pid}/status").read_text("ascii")
            found = RESIDENT.search(status)
            assert found is not None
            return start, int(found[1]) / 1024
        finally:
            process.kill()
            await process.wait()


async def main() -> None:
    rounds = []
    for _ in range(TIMES):
        with tempfile.TemporaryDirectory() as folder:
            rounds.append(await one(Path(folder)))
    starts, sizes = zip(*rounds, strict=True)
    print(f"cold start {statistics.median(starts):.2f} s, idle memory {statistics.median(sizes):.0f} MB")


if __name__ == "__main__":
    asyncio.run(main())
