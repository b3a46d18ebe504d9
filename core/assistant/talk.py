"""One turn of the talk: what lies on the desk, what is decided, and the small words every handler uses."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone, tzinfo
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from core.baths import Shelf
from core.commands import Awaiting, Command
from core.crew import CrewChange, Member, Role
from core.errors import HatchError
from core.notebook import Columns
from core.records import (
    BOOK,
    Advice,
    Event,
    Farm,
    Group,
    Happening,
    Mark,
    Person,
    Reminder,
    Retracted,
    Run,
    RunRow,
    StepKey,
)
from core.replies import Ask, Button, Fact, Reply
from core.results import row_of
from core.runs import batch_of, fold, group_of, is_live, mothers, standing
from core.species import Card, Citation

T = TypeVar("T")
NIGHT = timedelta(hours=14)
SKEW = timedelta(minutes=20)
CLOCK_WAITS = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class Knowledge:
    """The cards, by slug, the sources they cite, by id, what baths are mixed of, and the columns of an old
    notebook."""

    cards: Mapping[str, Card]
    sources: Mapping[str, Citation]
    shelf: Shelf = field(default_factory=Shelf)
    columns: Columns = field(default_factory=lambda: Columns({}, {}))


@dataclass(frozen=True, slots=True)
class Paper:
    """A file that was sent: what it is called and what stands in it. `meanings` are the species that cells of
    it name, by the cell: its slug, or the word that may fit several."""

    name: str
    text: str
    meanings: Mapping[str, tuple[str | None, str | None]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Figured:
    """A message that was sent: its kind and run, what its figure leaned on where it says so, and its fact,
    `None` where it was written in a form that is read no more."""

    kind: str
    run: int
    basis: tuple[str, ...] = ()
    mark: Mark | None = None
    fact: Fact | None = None


@dataclass(frozen=True, slots=True)
class Desk:
    """All that a decision may rest on, gathered from the store for one message.

    `said_at` is when the words were said, `now` when they are answered. `runs` holds the events of every run
    that is not over, `rows` the results book, `book` what was told of the farm itself, `edited` the standing
    events that an edited message once told. `ringing` are the bells that wait for an answer, `bell` the one a
    reply or tap belongs to. `figure` is the newest message of this chat that held a figure. `next_event` and
    `next_run` are the farm's counters. `role` is what the speaker is on the farm, `crew` everybody who is or
    was to be something there, `has_room` whether it has a group chat, `private` whether this is said in none,
    `farms` the number and name of each of the speaker's, where there are several. `extra` are the kinds of
    files that can be made beside CSV: `pdf`, `xlsx`. `paper` is the file that a command speaks of, `imported`
    what stands of the notebook that was told last, or that a button speaks of.
    """

    farm: Farm
    person: Person
    said_at: datetime
    now: datetime
    source: str
    next_event: int
    next_run: int
    runs: Mapping[int, tuple[Event, ...]] = field(default_factory=dict)
    rows: Sequence[RunRow] = ()
    book: Sequence[Event] = ()
    ringing: tuple[Reminder, ...] = ()
    bell: Reminder | None = None
    awaiting: Awaiting | None = None
    advised: frozenset[Advice] = frozenset()
    edited: tuple[Event, ...] | None = None
    figure: Figured | None = None
    role: Role = "owner"
    crew: tuple[Member, ...] = ()
    has_room: bool = False
    private: bool = True
    farms: tuple[tuple[int, str], ...] = ()
    extra: frozenset[str] = frozenset()
    paper: Paper | None = None
    imported: tuple[Event, ...] = ()

    def name_of(self, person: int | None) -> str | None:
        """What somebody of the farm is called."""
        return next((member.name for member in self.crew if member.person == person), None)


@dataclass(frozen=True, slots=True)
class Notice:
    """Something said to another person, in their own chat, or in the farm's room where they have none."""

    person: int
    reply: Reply


@dataclass(frozen=True, slots=True)
class Decision:
    """What to answer and what to write down, in one commit."""

    replies: tuple[Reply, ...] = ()
    events: tuple[Event, ...] = ()
    farm: Farm | None = None
    awaiting: Awaiting | None = None
    advice: tuple[Advice, ...] = ()
    crew: tuple[CrewChange, ...] = ()
    notices: tuple[Notice, ...] = ()


class AskFirst(Exception):
    """Raised by a handler that cannot go on before a question is answered."""

    def __init__(self, reply: Reply, awaiting: Awaiting | None = None) -> None:
        super().__init__()
        self.reply = reply
        self.awaiting = awaiting


def local_zone(farm: Farm) -> tzinfo:
    """The farm's own time: its zone, or the fixed offset its first message came with."""
    return ZoneInfo(farm.zone) if farm.zone else timezone(timedelta(minutes=farm.offset_minutes))


@dataclass(frozen=True, slots=True)
class Pin:
    """The run, group and batch that a button or an answer named, whatever the words say; 0 and "": none."""

    run: int = 0
    group: str = ""
    batch: str = ""


_CHANGING = ("farm", "zone", "awaiting", "pinned", "source", "said_at", "sure", "_next_run")
_GROWING = ("events", "replies", "advice", "crew", "notices")


@dataclass(frozen=True, slots=True)
class Point:
    """How long the lists of a decision were, and its other state."""

    lengths: Mapping[str, int]
    others: Mapping[str, object]


class Talk:
    """One decision being made. Handlers tell events and say replies; `decision()` is what came of it."""

    def __init__(self, desk: Desk, knowledge: Knowledge) -> None:
        self.desk = desk
        self.knowledge = knowledge
        self.farm = desk.farm
        self.zone = local_zone(desk.farm)
        self.events: list[Event] = []
        self.replies: list[Reply] = []
        self.advice: list[Advice] = []
        self.awaiting: Awaiting | None = None
        self.crew: list[CrewChange] = []
        self.notices: list[Notice] = []
        self.pinned = Pin()
        self.source = desk.source
        """The message that events come from: of what waited for an answer, the one that said it."""
        self.said_at = desk.said_at
        """The hour that clock times and "ago" count from: of an edited message, when it was first said."""
        self.sure = False
        """Whether a button said that this is meant as it stands, however odd it looks."""
        self._next_run = desk.next_run
        self._folded: dict[int, Run] = {}
        self._looked_up: dict[str, tuple[Any, ...]] = {}
        """What handlers ask for again and again, as it is until something more is told."""

    # Writing down ---------------------------------------------------------------------------------------

    def tell(self, run: int, what: Happening, at: datetime | None = None) -> Event:
        """An event of this message. `at` is when it happened, by default when it was said."""
        event = Event(
            id=self.desk.next_event + len(self.events),
            farm=self.farm.id,
            run=run,
            said_at=self.desk.said_at,
            at=at or self.said_at,
            what=what,
            by=self.desk.person.id,
            source=self.source,
        )
        self.events.append(event)
        self._folded.pop(run, None)
        self._looked_up.clear()
        return event

    def tell_anew(self, old: Event, what: Happening, at: datetime | None = None) -> Event:
        """What an event told, put right: the old one is taken back. At its own hour where `at` says none."""
        self.tell(old.run, Retracted((old.id,)))
        return self.tell(old.run, what, at or old.at)

    def new_run(self) -> int:
        """The number of a run that begins now."""
        number = self._next_run
        self._next_run += 1
        return number

    def mark(self) -> Point:
        """How far the decision is, to return to."""
        lengths = {name: len(getattr(self, name)) for name in _GROWING}
        return Point(lengths, {name: getattr(self, name) for name in _CHANGING})

    def changed_since(self, mark: Point) -> bool:
        """Whether anything would be written down of what was decided since then."""
        grown = any(len(getattr(self, name)) > mark.lengths[name] for name in ("events", "crew"))
        return grown or self.farm != mark.others["farm"]

    def return_to(self, mark: Point) -> None:
        """Nothing of what was decided since then stays."""
        for event in self.events[mark.lengths["events"] :]:
            self._folded.pop(event.run, None)
        self._looked_up.clear()
        for name, length in mark.lengths.items():
            del getattr(self, name)[length:]
        for name, value in mark.others.items():
            setattr(self, name, value)

    def change_farm(self, farm: Farm) -> None:
        """The farm's habits from now on; local time follows its zone."""
        self.farm = farm
        self.zone = local_zone(self.farm)

    def change(self, what: CrewChange) -> None:
        """Something of the farm's people changes."""
        self.crew.append(what)

    # Saying ---------------------------------------------------------------------------------------------

    def say(self, fact: Fact, *buttons: Button, asks: str = "", cautions: tuple[str, ...] = ()) -> None:
        self.replies.append(Reply(fact, buttons, asks, cautions))

    def notify(self, person: int, reply: Reply) -> None:
        """Somebody else hears this."""
        self.notices.append(Notice(person, reply))

    def expect(
        self, about: str, run: int = 0, batch: str = "", hours: float = 3, events: tuple[int, ...] = ()
    ) -> None:
        """A bare number, or a bare word, in the next hours is the answer to this."""
        self.awaiting = Awaiting(about, run, batch, events, until=self.desk.now + timedelta(hours=hours))

    def once(self, run: int, *codes: str) -> tuple[str, ...]:
        """Those cautions that were not given yet for this run (0: this farm); they count as given now."""
        given = self.desk.advised | set(self.advice)
        fresh = tuple(code for code in dict.fromkeys(codes) if Advice(run, code) not in given)
        self.advice += [Advice(run, code) for code in fresh]
        return fresh

    def decision(self) -> Decision:
        return Decision(
            replies=tuple(self.replies),
            events=tuple(self.events),
            farm=self.farm if self.farm != self.desk.farm else None,
            awaiting=self.awaiting,
            advice=tuple(self.advice),
            crew=tuple(self.crew),
            notices=tuple(self.notices),
        )

    # Reading the desk -----------------------------------------------------------------------------------

    def events_of(self, number: int) -> tuple[Event, ...]:
        before = tuple(self.desk.book) if number == BOOK else self.desk.runs.get(number, ())
        return before + tuple(event for event in self.events if event.run == number)

    def told(self) -> Iterator[tuple[int, tuple[Event, ...]]]:
        """What was told before this message of each run on the desk, and of the farm itself."""
        yield from self.desk.runs.items()
        yield BOOK, tuple(self.desk.book)

    def book_events(self) -> tuple[Event, ...]:
        """What stands of all that was told of the farm itself, this message's telling among it."""
        return self._once("book", lambda: standing(self.events_of(BOOK)))

    def event(self, run: int, number: int) -> Event | None:
        """The run's event with that number."""
        return next((event for event in self.events_of(run) if event.id == number), None)

    def run(self, number: int) -> Run:
        """The run as it stands with what this message tells. Raises `HatchError("no-run")`."""
        if number not in self._folded:
            events = self.events_of(number)
            if not events:
                raise HatchError("no-run", number=number)
            self._folded[number] = fold(events)
        return self._folded[number]

    def before(self, number: int) -> Run | None:
        """The run as it stood before this message; `None` where it begins with it."""
        events = self.desk.runs.get(number)
        return fold(events) if events else None

    def live(self) -> tuple[Run, ...]:
        """The runs that are not over, oldest first."""
        numbers = sorted({*self.desk.runs, *(event.run for event in self.events)} - {BOOK})
        return tuple(run for run in map(self.run, numbers) if is_live(run))

    def rows_now(self) -> tuple[RunRow, ...]:
        """The results book, with what this message tells and the drafts, which are not in it."""
        return self._once("rows", self._rows_now)

    def _rows_now(self) -> tuple[RunRow, ...]:
        book = {row.run for row in self.desk.rows}
        told = {event.run for event in self.events if event.run in self.desk.runs or event.run not in book}
        fresh = (told | {run.number for run in self.live() if run.number not in book}) - {BOOK}
        runs = map(self.run, sorted(fresh))
        now = {run.number: row_of(run, self.knowledge.cards.get(run.species)) for run in runs}
        return (*(now.pop(row.run, row) for row in self.desk.rows), *now.values())

    def _once(self, name: str, look_up: Callable[[], tuple[T, ...]]) -> tuple[T, ...]:
        if name not in self._looked_up:
            self._looked_up[name] = look_up()
        return self._looked_up[name]

    def card(self, run: Run) -> Card:
        return self.card_of(run.species)

    def card_of(self, slug: str) -> Card:
        """The card of a species. Raises `HatchError("unknown-species")` where there is none yet."""
        if slug not in self.knowledge.cards:
            raise HatchError("unknown-species", species=slug)
        return self.knowledge.cards[slug]

    def called(self, run: Run, part: str = "") -> str:
        """How a run or a part of it is named: empty where it is the only one."""
        runs = [each for each in self.live() if each.fish or each.number == run.number]
        names = [part] if part else []
        if len(runs) > 1:
            twins = [each for each in runs if each.species == run.species]
            names.insert(0, run.species if len(twins) == 1 else f"{run.species} {run.number}")
        return ", ".join(names)

    def group_called(self, run: Run, group: Group) -> str:
        """The run's name, with the group's place where it has several groups."""
        return self.called(run, self.part(run, group))

    def part(self, run: Run, group: Group) -> str:
        """The group's place or tags, where the run has several groups."""
        many = len(run.groups) > 1
        return (group.place or ", ".join(group.tags)) if many else ""

    def batch_called(self, run: Run, name: str) -> str:
        """The run's name, with the fish or place of the batch where it has several batches."""
        batch = batch_of(run, name)
        if batch is None or len(run.batches) < 2:
            return self.called(run)
        group = group_of(run, batch.group)
        tags = mothers(batch)
        begun = (batch.begun_at or batch.told_at).astimezone(self.zone).strftime("%H:%M")
        return self.called(run, ", ".join(tags) or batch.place or (group.place if group else "") or begun)

    def part_called(self, run: Run, key: StepKey) -> str:
        """How the part of the run that a step is about is named: empty where it is the only one."""
        if key.batch:
            return self.batch_called(run, key.batch)
        group = group_of(run, key.group)
        return self.group_called(run, group) if group else self.called(run)

    # Time -----------------------------------------------------------------------------------------------

    def moment(self, at: str | None, minutes_ago: float | None = None, about: str = "") -> datetime:
        """When something happened: minutes ago, or the latest such clock time on the farm's clocks.

        A clock time a little ahead of us (a phone's clock) is now. Raises `AskFirst` for one that would lie
        more than 14 hours back: today's hour that has not come is no report. `about` is what is then awaited.
        """
        said = self.said_at
        if minutes_ago is not None:
            return said - timedelta(minutes=minutes_ago)
        if at is None:
            return said
        when = self.clock(at, said)
        if when <= said + SKEW:
            return min(when, said)
        before = when - timedelta(days=1)
        if said - before > NIGHT:
            awaiting = Awaiting(about, until=self.desk.now + timedelta(hours=1)) if about else None
            raise AskFirst(Reply(Ask("time", "not-come-yet", at=when)), awaiting)
        return before

    def need_clock(self, said: Command) -> None:
        """`said` cannot be understood, or answered, before it is known what time it is at the farm: it waits.

        Raises `AskFirst` where nobody told that yet.
        """
        if self.farm.clock_told:
            return
        until = self.desk.now + CLOCK_WAITS
        awaiting = Awaiting("zone", pending=(said,), source=self.source, until=until)
        raise AskFirst(Reply(Ask("zone", "clock-unknown")), awaiting)

    def day(self, at: datetime) -> str:
        """The farm's date then, ISO 8601."""
        return at.astimezone(self.zone).date().isoformat()

    def hour(self, at: datetime) -> float:
        """The hour of the farm's day, 0..24, with its minutes as a fraction."""
        local = at.astimezone(self.zone)
        return local.hour + local.minute / 60

    def clock(self, at: str, near: datetime) -> datetime:
        """That clock time on the farm's day of `near`."""
        hour, minute = (int(part) for part in at.split(":"))
        local = near.astimezone(self.zone).replace(hour=hour, minute=minute, second=0, microsecond=0)
        return local.astimezone(near.tzinfo)
