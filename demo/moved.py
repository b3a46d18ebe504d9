"""Move a play script in time: `moved.py SCRIPT NOW` prints it with its last line in the minute of NOW.

Every `at` and `sent_at` moves by the same whole minutes and keeps its offset. `{t:-10}` in a text is the
line's own moved local time less ten minutes, as HH:MM.
"""

import json
import re
import sys
from collections.abc import Iterable
from datetime import datetime, timedelta
from pathlib import Path

MINUTE = timedelta(minutes=1)
CLOCK_TIME = re.compile(r"\{t:([^}]*)\}")


def moved(lines: Iterable[str], now: datetime) -> list[str]:
    """The script's lines as JSON, its last `at` in the minute of `now` or the one before."""
    script = [json.loads(line) for line in lines if line.strip()]
    shift = (now - datetime.fromisoformat(script[-1]["at"])) // MINUTE * MINUTE
    return [json.dumps(_moved_line(line, shift)) for line in script]


def _moved_line(line: dict[str, object], shift: timedelta) -> dict[str, object]:
    times = {key: datetime.fromisoformat(str(line[key])) + shift for key in ("at", "sent_at") if key in line}
    filled = {key: _filled(value, times["at"]) for key, value in line.items()}
    return filled | {key: time.isoformat() for key, time in times.items()}


def _filled(value: object, at: datetime) -> object:
    if isinstance(value, dict):
        return {key: _filled(part, at) for key, part in value.items()}
    if isinstance(value, str):
        return CLOCK_TIME.sub(lambda match: f"{at + int(match[1]) * MINUTE:%H:%M}", value)
    return value


if __name__ == "__main__":
    path, now = sys.argv[1:]
    print(*moved(Path(path).read_text(encoding="utf-8").splitlines(), datetime.fromisoformat(now)), sep="\n")
