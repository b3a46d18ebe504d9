"""How long three questions take on a farm with one run and with a hundred: `python -m tests.bench.answers`.

The season of `tests/year/told.py` is played into a store of its own, and one night with as many tagged
females into another, so that both answers are as long. Then each question is asked again and again, each in a
commit as it is served; the middle time counts.
"""

from __future__ import annotations

import gc
import tempfile
import time
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from statistics import median

from bot import inbox
from bot.clock import HandClock
from bot.house import House
from bot.messages import Incoming
from bot.recording import opened
from bot.worker import work
from tests.bot.playing import STORE, played
from tests.year import told

ASKED = (
    "what was the last hatch rate?",
    "which females are ready?",
    "enough hormone for tomorrow?",
    "what next?",
)
TIMES, GOAL = 60, 1.2


def one_night() -> told.Season:
    """A single run of ten females, six of which gave eggs."""
    night, at = told.Season(), told.BEGIN + timedelta(hours=17)
    tags = [f"A{number}" for number in range(21, 31)]
    night.says(at, f"african catfish {' '.join(f'f {tag} 2.4' for tag in tags)} m B1 1.9")
    night.says(at + timedelta(minutes=1), "bottle 20 ug/ml + 10 mg/ml 30 ml lot K1 exp 2028-10")
    night.says(at + timedelta(hours=3), "injected")
    night.says(at + timedelta(hours=13), " ".join(f"{tag} 200 g" for tag in tags[:6]))
    night.says(at + timedelta(hours=14), " ".join(f"{tag} none" for tag in tags[6:]))
    night.says(at + timedelta(hours=40), "120 of 200 hatched of all")
    night.says(at + timedelta(days=5), "fed")
    return night


def times(season: told.Season) -> dict[str, float]:
    """Seconds to an answer on disk, by question."""
    with tempfile.TemporaryDirectory() as folder:
        played(season.lines, Path(folder))
        gc.collect()
        gc.freeze()  # a bot that serves has no season's worth of talk in its memory
        with closing(opened(Path(folder) / STORE)) as store:
            clock = HandClock(told.moment(season.lines[-1]) + timedelta(hours=1))
            house = House(store, clock)
            return {question: _asked(house, clock, question) for question in ASKED}


def _asked(house: House, clock: HandClock, question: str) -> float:
    taken = []
    for number in range(TIMES):
        clock.move_to(clock.now() + timedelta(seconds=90))
        said = Incoming(
            key=f"{question}-{number}",
            what="text",
            text=question,
            chat="ines",
            private=True,
            user="ines",
            lang="en",
            at=clock.now(),
            name="ines",
        )
        with house.store.transaction():
            inbox.receive(house.store, said)
        begun = time.perf_counter()
        work(house)
        taken.append(time.perf_counter() - begun)
    return median(taken[TIMES // 3 :])


def main() -> None:
    one, hundred = times(one_night()), times(told.season(100))
    for question in ASKED:
        ratio = hundred[question] / one[question]
        word = "reached" if ratio <= GOAL else "missed"
        spans = f"{one[question] * 1000:.2f} ms, {hundred[question] * 1000:.2f} ms"
        print(f"{question} one run, a hundred: {spans}, ratio {ratio:.2f}, goal {GOAL} {word}")


if __name__ == "__main__":
    main()
