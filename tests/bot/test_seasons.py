"""Whole runs with a farmer who answers, answers late, forgets, cancels and takes back, by a seeded die.

The farmer talks through inbox and worker; time jumps to the next bell or to the farmer's next word. What is
checked is read off the outbox and the reminders table alone: every attempt once, none early, none after the
end.
"""

from __future__ import annotations

import dataclasses
import heapq
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import count, pairwise
from pathlib import Path
from typing import Any

import pytest

from bot import inbox, knowledge, outbox, ringing
from bot.clock import HandClock
from bot.house import House
from bot.messages import Incoming, Outgoing
from bot.store import Store
from bot.worker import work
from core import reminders
from core.records import Reminder
from tests.counting import Count

SEED = 20260301
MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)
FIRST = datetime(2026, 3, 27, 12, 0, tzinfo=UTC)

# What the farmer may say -----------------------------------------------------------------------------------

WEIGHINGS = (
    ("catfish f 2.4 3.1 m 1.9",),
    ("catfish f 2.4 3.1 m 1.9",),
    ("catfish f 2.6",),
    ("carp f 3.2 m 2.1 2.4",),
    ("catfish tank 1 f 2.4 m 1.9", "tank 2 f 3.1 m 2.0"),
    ("catfish f 2.4 2.6 3.1 m 1.9 2.2",),
    *[(f"{slug} f 2.4 m 1.9 2.0",) for slug, card in knowledge.cards().items() if card.ways[0] == "hapa"],
)
FOR_STEP: dict[str, tuple[str, ...]] = {
    "get-ready": ("done", "ready", "later"),
    "inject": ("injected", "injected 20 min ago", "injected F1", "done", "later 20 min"),
    "check-females": ("not yet", "eggs run", "F1 running", "F1 310 g", "F1 200 more later", "F2 gave none",
                      "27", "F1 90 g watery", "F1 died", "310 g"),
    "check-nest": ("eggs on the mat", "no eggs yet", "not yet", "24"),
    "strip": ("F1 310 g", "310 g", "F1 200 more later", "F1 280 g, F2 not yet", "F1 none", "stripping"),
    "fertilise": ("milt in", "done", "milt in 10 min ago"),
    "load": ("loaded", "done"),
    "disinfect": ("done", "100 ppm iodine 10 L"),
    "rinse": ("rinsed", "done"),
    "remove-brood": ("brood fish out", "done"),
    "collect-eggs": ("3.5", "jar 1 2 L, jar 2 1.5 L", "2 buckets", "done", "not yet", "undo"),
    "check-fertilised": ("164 of 200 good", "82 % fertilised", "done", "not yet"),
    "check-hatch": ("150 of 200 hatched", "40000 larvae", "70 % hatched", "not yet", "hatched"),
    "check-brood": ("done", "F1 died"),
    "care": ("done", "whites out"),
    "set-live-food": ("done",),
    "first-feed": ("fed", "done", "not yet"),
    "remove-substrate": ("done",),
    "check-water": ("26", "no thermometer", "16"),
}  # fmt: skip
# What is told without being asked, and how long after what went before, in hours.
NIGHT = (
    ("injected", 2), ("27", 0.1), ("F1 310 g", 10), ("milt in", 0.2), ("164 of 200 good", 12),
    ("150 of 200 hatched", 14), ("fed", 72),
)  # fmt: skip
ANY_TIME = (
    "what next?", "when do we strip?", "undo", "undo", "done", "not yet", "27", "24.5", "16", "no, F1 is 2.6",
    "last hatch rate?", "power is off", "what did I give F1?", "injected 19:30", "rain all night", "skip",
    "eggs run", "F1 310 g", "F2 none", "150 of 200 hatched", "164 of 200 good", "later 45 min", "stop",
)  # fmt: skip
CANCELS = ("cancel", "cancel the run")


@dataclass(frozen=True)
class Temper:
    """How a farmer answers: how often, how late, how often by a press, and how readily the night is ended."""

    answers: float
    delays: tuple[timedelta, ...]
    presses: float
    cancels: float
    chatters: float


TEMPERS = (
    Temper(0.95, (MINUTE, 2 * MINUTE, 5 * MINUTE), 0.6, 0.0, 0.02),
    Temper(0.6, (MINUTE, 7 * MINUTE, 25 * MINUTE, 2 * HOUR), 0.4, 0.01, 0.05),
    Temper(0.25, (3 * MINUTE, 11 * MINUTE, 50 * MINUTE, 7 * HOUR), 0.5, 0.01, 0.03),
    Temper(0.5, (0 * MINUTE, MINUTE, 6 * MINUTE), 0.3, 0.03, 0.2),
    Temper(0.06, (4 * MINUTE, 20 * HOUR), 0.5, 0.02, 0.01),
)


# The season ------------------------------------------------------------------------------------------------


@dataclass
class Season:
    """One farm's run as it was played: the messages sent, in order, and what the store holds at the end."""

    sent: list[Outgoing] = field(default_factory=list)
    bells: list[Reminder] = field(default_factory=list)
    always_up: bool = True
    troubles: int = 0


class Farmer:
    """Plays one run to its end. Every choice is the die's."""

    def __init__(self, path: Path, die: random.Random, patience: int = 28) -> None:
        self.store = Store.open(path)
        self.store.file.change("PRAGMA synchronous = OFF")  # nobody pulls the plug here
        self.die = die
        self.temper = die.choices(TEMPERS, (5, 4, 2, 4, 1))[0]
        self.house = House(self.store, HandClock(FIRST + die.randrange(1440) * MINUTE))
        self.offset = die.choice((0, 60, 330, 420, -180))
        self.words: list[tuple[datetime, int, dict[str, Any]]] = []
        self.number = count(1)
        self.patience = die.randrange(patience // 5, patience)
        self.season = Season(always_up=die.random() < 0.8)

    def play(self) -> Season:
        """From the first weighing until nothing is left to ring or to say."""
        now = self.house.clock.now()
        for place, text in enumerate(self.die.choice(WEIGHINGS)):
            self._will_say(now + place * MINUTE, text)
        self._think_ahead(now)
        while (until := self._next()) is not None:
            self._pass_time(until)
            while self.words and self.words[0][0] <= until:
                self._say(heapq.heappop(self.words)[2])
        numbers = {message.run for message in self.season.sent}
        self.season.bells = [bell for run in sorted(numbers) for bell in self.store.reminders(1, run)]
        trouble = self.store.file.value("SELECT count(*) FROM inbox WHERE state <> 'done' OR tries > 0")
        self.season.troubles = trouble
        return self.season

    def _think_ahead(self, now: datetime) -> None:
        """What a farmer does whether a bell rings or not: some of it, and told when there is time."""
        at = now + 5 * MINUTE
        for text, hours in NIGHT:
            at += hours * HOUR * self.die.uniform(0.8, 1.2)
            if self.die.random() < max(self.temper.answers, 0.4):
                self._will_say(at, text)

    def _next(self) -> datetime | None:
        """The next hour at which anything happens; where the computer was off, some time after it."""
        hours = [
            hour for hour in (ringing.next_due(self.house), *(word[0] for word in self.words[:1])) if hour
        ]
        if not hours:
            return None
        off = not self.season.always_up and self.die.random() < 0.03
        return min(hours) + (self.die.choice((3, 40, 600)) * MINUTE if off else timedelta(0))

    def _pass_time(self, until: datetime) -> None:
        """The bells due by then ring, at once; the farmer hears them."""
        self.house.clock.move_to(max(until, self.house.clock.now()))
        while ringing.ring_due(self.house, 1):
            self._hear()

    def _say(self, act: dict[str, Any]) -> None:
        now = self.house.clock.now()
        incoming = Incoming(
            key=f"m{next(self.number)}",
            chat="ada",
            private=True,
            user="ada",
            lang="en",
            at=now,
            offset_minutes=self.offset,
            name="ada",
            **act,
        )
        with self.store.transaction():
            inbox.receive(self.store, incoming)
        work(self.house)
        self._hear()

    def _hear(self) -> None:
        """Take what was sent, and think of an answer; after so many messages end it, or fall silent."""
        for message in sorted(outbox.unsent(self.store), key=lambda each: each.id):
            self.season.sent.append(message)
            with self.store.transaction():
                outbox.mark_sent(self.store, message.id, self.house.clock.now())
            self.patience -= 1
            if self.patience > 0:
                self._think(message)
            elif self.patience == 0 and self.die.random() < 0.8:
                self._will_say(self.house.clock.now() + self.die.randrange(120) * MINUTE, "cancel")

    def _think(self, message: Outgoing) -> None:
        temper, now = self.temper, self.house.clock.now()
        if self.die.random() < temper.chatters:
            self._will_say(now + self.die.randrange(90) * MINUTE, self.die.choice(ANY_TIME))
        if self.die.random() < temper.cancels:
            self._will_say(now + self.die.randrange(90) * MINUTE, self.die.choice(CANCELS))
        if self.die.random() > temper.answers:
            return
        at = now + self.die.choice(temper.delays)
        step = (message.reminder or {}).get("step") or message.facts.get("step") or ""
        presses = [button.action for button in message.buttons if button.action not in ("cancel", "undo")]
        if self.die.random() < 0.04:
            presses = [button.action for button in message.buttons]
        if presses and (self.die.random() < temper.presses or step not in FOR_STEP):
            likely = presses[0] if self.die.random() < 0.5 else self.die.choice(presses)
            self._will_press(at, message.id, likely)
        elif step in FOR_STEP:
            self._will_say(at, self.die.choice(FOR_STEP[step]))

    def _will_say(self, at: datetime, text: str) -> None:
        heapq.heappush(self.words, (at, next(self.number), {"what": "text", "text": text}))

    def _will_press(self, at: datetime, message: int, action: str) -> None:
        act = {"what": "tap", "message": message, "action": action}
        heapq.heappush(self.words, (at, next(self.number), act))


def season(folder: Path, seed: int, patience: int = 28) -> Season:
    """The run that this seed throws, with a farmer who answers so many messages at most."""
    farmer = Farmer(folder / f"season-{seed}.db", random.Random(seed), patience)
    with closing(farmer.store):
        return farmer.play()


# The checker -----------------------------------------------------------------------------------------------


@dataclass
class Tally:
    """What was counted, and what was found wrong, over seasons."""

    runs: int = 0
    bells: int = 0
    attempts: int = 0
    faults: Counter[str] = field(default_factory=Counter)
    first: list[str] = field(default_factory=list)

    def blame(self, what: str, detail: object) -> None:
        self.faults[what] += 1
        if len(self.first) < 5:
            self.first.append(f"{what}: {detail}")


def check(played: Season, tally: Tally) -> None:
    """Hold one season's messages against its bells."""
    rung = [message for message in played.sent if message.reminder is not None]
    tally.runs += 1
    tally.bells += sum(1 for bell in played.bells if bell.attempts)
    tally.attempts += len(rung)
    if played.troubles:
        tally.blame("not answered", f"{played.troubles} messages")
    for key, times in Counter(message.unique for message in rung).items():
        if times > 1:
            tally.blame("twice", key)
    known = {bell.id for bell in played.bells}
    for message in rung:
        if message.reminder_id not in known:
            tally.blame("unknown bell", message.reminder)
    for bell in played.bells:
        _check_bell(bell, [each for each in rung if each.reminder_id == bell.id], played, tally)
    for message in _after_the_end(played.sent):
        tally.blame("after cancel", (message.at, message.reminder))


def _check_bell(bell: Reminder, rung: Sequence[Outgoing], played: Season, tally: Tally) -> None:
    if bell.bell.key.step == "close":
        _check_quiet(bell, rung, tally)
        return
    if not rung and bell.attempts and _told_for_all_runs(bell, played):
        return
    _check_attempts(bell, rung, played, tally)
    times, apart = reminders.attempts(bell.bell)
    if bell.next_at is not None:
        tally.blame("still to ring", bell)
    elif bell.state == "waiting" or (not rung and bell.state != "withdrawn"):
        tally.blame("never rang", bell)
    elif rung and len(rung) < times and not _was_ended(bell, rung[-1], apart, played):
        tally.blame("too few", (bell, len(rung)))


def _told_for_all_runs(bell: Reminder, played: Season) -> bool:
    """The evening line is one for the farm: it was said of another run at that very time."""
    return bell.bell.key.step == "all-well" and any(
        message.at == bell.last_rung_at and message.reminder["step"] == "all-well"
        for message in played.sent
        if message.reminder is not None
    )


def _check_attempts(bell: Reminder, rung: Sequence[Outgoing], played: Season, tally: Tally) -> None:
    times, apart = reminders.attempts(bell.bell)
    numbers = [(message.reminder or {})["attempt"] for message in rung]
    if numbers != list(range(1, len(rung) + 1)) or len(rung) != bell.attempts or len(rung) > times:
        tally.blame("attempts", (bell, numbers))
    for number, message in enumerate(rung):
        if message.at < bell.bell.due_at + number * apart:
            tally.blame("early", (message.at, bell))
        if datetime.fromisoformat((message.reminder or {})["due"]) != bell.bell.due_at.replace(microsecond=0):
            tally.blame("moved after it rang", (message.reminder, bell))
    if played.always_up and rung and rung[0].at == bell.bell.due_at:
        for earlier, later in pairwise(rung):
            if later.at - earlier.at != apart:
                tally.blame("late", (earlier.at, later.at, bell))


def _check_quiet(bell: Reminder, rung: Sequence[Outgoing], tally: Tally) -> None:
    """The end of a run is kept as a bell, but says its word as a result."""
    if rung or bell.next_at is not None or bell.state not in ("answered", "withdrawn"):
        tally.blame("close", bell)


def _was_ended(bell: Reminder, last: Outgoing, apart: timedelta, played: Season) -> bool:
    """Before the next attempt the farmer was answered something, or the next look of the series rang."""
    key = bell.bell.key
    until = last.at + apart
    for message in played.sent:
        if message.id <= last.id or (message.at > until and played.always_up):
            continue
        if message.reminder is None and bell.state == "answered":
            return True
        told = message.reminder or {}
        same = (told.get("step"), told.get("group"), told.get("batch")) == (key.step, key.group, key.batch)
        if (
            same
            and told["look"] > key.look
            and message.run == last.run
            and bell.state in ("rung-out", "answered")
        ):
            return True
    return False


def _after_the_end(sent: Sequence[Outgoing]) -> Iterator[Outgoing]:
    """Bells of a run after it was cancelled or closed, unless that was taken back in between."""
    over: set[int] = set()
    for message in sent:
        if message.kind == "cancelled" or (message.kind == "result" and message.facts["closing"]):
            over.add(message.run)
        elif message.facts.get("what") == "undone" or message.kind == "corrected":
            over.discard(message.run)
        elif message.reminder is not None and message.reminder["run"] in over:
            yield message


def played_by(folder: Path, runs: int, seed: int, patience: int = 28) -> Tally:
    """So many seasons, each from its own throw."""
    tally = Tally()
    for number in range(runs):
        one = season(folder, seed + number, patience)
        before = sum(tally.faults.values())
        check(one, tally)
        if sum(tally.faults.values()) > before:
            tally.first.append(f"^ seed {seed + number}")
    return tally


# The tests -------------------------------------------------------------------------------------------------


def test_ten_runs_ring_every_attempt_once_and_never_early(tmp_path: Path) -> None:
    tally = played_by(tmp_path, 10, SEED, patience=90)
    assert not tally.faults, tally.first
    assert tally.runs == 10
    assert tally.bells > 10 * 5, "hardly a bell: the farmer does not get on"


@pytest.mark.long
def test_two_hundred_runs_ring_every_attempt_once_and_never_early(tmp_path: Path, counted: Count) -> None:
    seed = SEED + 1000
    tally = played_by(tmp_path, 200, seed)
    wrong = tally.faults
    counted(
        runs=tally.runs,
        bells_due=tally.bells,
        attempts=tally.attempts,
        early=wrong["early"],
        after_cancel=wrong["after cancel"],
        lost=wrong["never rang"] + wrong["too few"],
        doubled=wrong["twice"],
        seed=seed,
    )
    assert not tally.faults, tally.first
    assert tally.runs == 200


def test_the_die_throws_the_same_season_twice(tmp_path: Path) -> None:
    folders = [tmp_path / name for name in ("once", "again")]
    for folder in folders:
        folder.mkdir()
    first, second = (season(folder, SEED) for folder in folders)
    assert first.sent == second.sent
    assert first.bells == second.bells


# The checker finds what is wrong ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def unanswered(tmp_path_factory: pytest.TempPathFactory) -> Season:
    """A run whose farmer says nothing after the injection: every bell rings to its last attempt."""
    farmer = Farmer(tmp_path_factory.mktemp("silent") / "silent.db", random.Random(1))
    farmer.temper = Temper(0, (MINUTE,), 0, 0, 0)
    farmer.season.always_up, farmer.patience = True, 0
    farmer._will_say(farmer.house.clock.now(), "catfish f 2.4 3.1 m 1.9")
    farmer._will_say(farmer.house.clock.now() + MINUTE, "injected")
    farmer.die = random.Random(1)
    with closing(farmer.store):
        return farmer.play()


def spoilt(played: Season, **changed: Any) -> Counter[str]:
    tally = Tally()
    check(dataclasses.replace(played, **changed), tally)
    return tally.faults


def looks(played: Season) -> list[Outgoing]:
    return [each for each in played.sent if (each.reminder or {}).get("step") == "check-females"]


def test_a_night_without_a_word_rings_each_look_six_times(unanswered: Season) -> None:
    assert not spoilt(unanswered)
    times = Counter(message.reminder_id for message in looks(unanswered))
    assert len(times) >= 5
    assert set(times.values()) == {6}


def test_the_checker_misses_a_lost_attempt(unanswered: Season) -> None:
    lost = looks(unanswered)[5]
    assert spoilt(unanswered, sent=[each for each in unanswered.sent if each is not lost])["attempts"] == 1


def test_the_checker_sees_an_attempt_sent_twice(unanswered: Season) -> None:
    again = looks(unanswered)[3]
    assert spoilt(unanswered, sent=[*unanswered.sent, again])["twice"] == 1


def test_the_checker_sees_an_early_bell(unanswered: Season) -> None:
    early = looks(unanswered)[0]
    sent = [
        dataclasses.replace(each, at=each.at - timedelta(seconds=1)) if each is early else each
        for each in unanswered.sent
    ]
    assert spoilt(unanswered, sent=sent)["early"] == 1


def test_the_checker_sees_a_bell_after_the_end(unanswered: Season) -> None:
    end = next(each for each in unanswered.sent if each.kind == "result")
    late = looks(unanswered)[-1]
    moved = [each for each in unanswered.sent if each is not end]
    moved.insert(moved.index(late), end)
    assert spoilt(unanswered, sent=moved)["after cancel"] >= 1


def test_the_checker_sees_a_bell_that_gave_up_too_soon(unanswered: Season) -> None:
    last = looks(unanswered)[-1]
    bells = [
        dataclasses.replace(bell, attempts=5) if bell.id == last.reminder_id else bell
        for bell in unanswered.bells
    ]
    sent = [each for each in unanswered.sent if each is not last]
    assert spoilt(unanswered, sent=sent, bells=bells)["too few"] == 1


def test_the_checker_sees_a_bell_that_never_rang(unanswered: Season) -> None:
    gone = looks(unanswered)[0].reminder_id
    bells = [
        dataclasses.replace(bell, attempts=0, state="waiting") if bell.id == gone else bell
        for bell in unanswered.bells
    ]
    sent = [each for each in unanswered.sent if each.reminder_id != gone]
    assert spoilt(unanswered, sent=sent, bells=bells)["never rang"] == 1
