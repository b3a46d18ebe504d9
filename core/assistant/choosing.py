"""Which run, group, batch or bell the words mean. One is never mentioned; of several, it is asked."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from typing import TypeVar

from core.assistant.talk import AskFirst, Talk
from core.commands import (
    Awaiting,
    Command,
    Death,
    EggsRunning,
    Finished,
    Injection,
    MaleCut,
    NotYetSaid,
    Pick,
    Question,
    Reading,
    Snooze,
    Weigh,
)
from core.errors import HatchError
from core.records import BOOK, Batch, Fish, Group, Reminder, Run, StepKey
from core.replies import Ask, Button, Reply
from core.runs import LOOKS, batch_of, fish_of, group_of, looks_open, mothers, next_bowl, plain_tag
from core.species import Card, by_word

Told = TypeVar("Told", bound=Command)

OF_FISH = (Injection, EggsRunning)
"""What is told of fish where they stand; eggs may be anywhere."""
Answering = Finished | NotYetSaid | Snooze
PENDING = timedelta(hours=12)
ASK_AFTER_WELL = ("check-brood", "care", "all-well", "get-ready")
"""The bells that "all is well" answers; of any other step it tells nothing."""
ECHO = timedelta(hours=3)
"""How long after its last ring a bare "done" may still be about a bell. Own judgement."""


def no_run(about: str = "no-run") -> AskFirst:
    """There is no run that the words could belong to: ask for the weights."""
    return AskFirst(Reply(Ask(about, "no-run")))


def run_for(
    talk: Talk,
    said: Reading,
    fits: Callable[[Run], bool] = lambda run: True,
    *,
    words: str | None = None,
    tags: Iterable[str | None] = (),
    number: int = 0,
    named_only: bool = False,
    likely: Callable[[Run], bool] = lambda run: True,
    ended: bool = False,
) -> Run:
    """The run that `said` is about: the one named, belled, or the only one that fits. Raises `AskFirst`.

    Where any of those that fit is `likely`, only such are thought of. With `ended` the newest run that is
    over will do where none is open.
    With `named_only` nothing but a name decides among several: what ends a run is never guessed.
    What is told of a species that no such run is of is asked about, and never of another run.
    """
    if number or talk.pinned.run:
        return talk.run(number or talk.pinned.run)
    live = talk.live()
    fitting = [run for run in live if fits(run)]
    if not fitting and ended:
        fitting = [run for run in map(talk.run, sorted(talk.desk.runs)) if fits(run)][-1:]
    if not fitting:
        raise _no_species_yet(talk, said) or no_run()
    _check_name(talk, said, words, fitting)
    words = words or getattr(said, "place", None)
    named = _named(talk, fitting, words, [tag for tag in tags if tag])
    fitting = [run for run in fitting if likely(run)] or fitting
    named = [run for run in named if run in fitting] or named
    if len(named) == 1:
        return named[0]
    waited = talk.desk.awaiting
    asked = [
        run for run in named or fitting if waited and (run.number, said.kind) == (waited.run, waited.about)
    ]
    if asked and not named_only:
        return asked[0]
    candidates = named or fitting
    several_species = bool(words) and len({run.species for run in named}) > 1
    if not named_only and not several_species:
        belled = _belled(talk, candidates)
        if belled is not None:
            return belled
        candidates = [run for run in candidates if run.state == "open"] or candidates
    if len(candidates) == 1:
        return candidates[0]
    raise _which_run(talk, said, "several-runs", candidates)


def _which_run(talk: Talk, said: Reading, why: str, candidates: Sequence[Run], words: str = "") -> AskFirst:
    called = (run.species if len(candidates) == 1 else talk.called(run) for run in candidates)
    choices = zip((Pick(said, run.number) for run in candidates), called, strict=True)
    fact = Ask("which-run", why, words=words)
    return AskFirst(Reply(fact, picks("run", choices)), pending(talk, "run", said))


def _check_name(talk: Talk, said: Reading, words: str | None, fitting: Sequence[Run]) -> None:
    """Raises `AskFirst` where the name that was said, or a known place, is that of none of these runs."""
    live = talk.live()
    if words and not _called_so(talk, live, words):
        raise _which_run(talk, said, "none-of-that", fitting, words)
    name = words or getattr(said, "place", None) or ""
    meant = _called_so(talk, live, name)
    if not (words or meant) and name and isinstance(said, OF_FISH) and _all_have_places(fitting):
        raise _which_run(talk, said, "no-fish-there", fitting, name)
    if meant and not any(run in fitting for run in meant):
        raise _which_run(talk, said, "not-of-that", fitting, name)


def _all_have_places(runs: Iterable[Run]) -> bool:
    return all(fish.place for run in runs for fish in run.fish)


def check_run_named(talk: Talk, said: Reading) -> None:
    """Raises `AskFirst` where a run is named that is not open."""
    if (words := getattr(said, "run", None)) and talk.live():
        _check_name(talk, said, words, talk.live())


def is_named(talk: Talk, run: Run, words: str | None) -> bool:
    """Whether a run goes by that name; without a name, any does."""
    return not words or bool(_called_so(talk, (run,), words))


def _called_so(talk: Talk, runs: Iterable[Run], words: str) -> list[Run]:
    low, fitting = words.lower(), word_fits(talk, words)
    return [run for run in runs if run.species in fitting or low in map(str.lower, places(run))]


def picks(what: str, choices: Iterable[tuple[Pick, str]]) -> tuple[Button, ...]:
    """A numbered button for each choice and how it is called; `what` is the kind of thing chosen."""
    return tuple(
        Button(f"pick:{place}", pick, what, (("called", called),))
        for place, (pick, called) in enumerate(choices, 1)
    )


FishAct = TypeVar("FishAct", Injection, Death, MaleCut)
MOST_FISH = 8


def which_fish(talk: Talk, run: Run, said: FishAct, fish: Sequence[Fish]) -> AskFirst:
    """Which of these it is told of: a button each, at most eight."""
    buttons = tuple(
        Button(
            f"fish:{each.tag}",
            Pick(dataclasses.replace(said, tags=(each.tag,)), run.number),
            "fish",
            (("tag", each.tag),),
        )
        for each in fish[:MOST_FISH]
    )
    return AskFirst(Reply(Ask("which-fish", "not-named", run.number, talk.called(run)), buttons))


def known_fish(talk: Talk, run: Run, tag: str) -> Fish:
    """The run's fish with that tag. Raises `AskFirst` where there is none."""
    fish = fish_of(run, tag)
    if fish is None:
        raise AskFirst(Reply(Ask("which-fish", "unknown-tag", run.number, talk.called(run), words=tag)))
    return fish


def pending(talk: Talk, about: str, *said: Command) -> Awaiting:
    """What waits for the answer: said at its own hour, whenever the answer comes."""
    now = talk.desk.said_at.astimezone(talk.zone).strftime("%H:%M")
    dated = tuple(_at(one, now) for one in said)
    before = talk.desk.awaiting
    source = before.source if before and before.pending and before.about == about else talk.desk.source
    return Awaiting(about, pending=dated, source=source, until=talk.desk.now + PENDING)


def _at(said: Command, now: str) -> Command:
    if isinstance(said, Injection) and said.at is None and said.minutes_ago is None:
        return dataclasses.replace(said, at=now)
    return said


def _no_species_yet(talk: Talk, said: Reading) -> AskFirst | None:
    """Weights wait for their species: what is told meanwhile waits with them."""
    awaited = talk.desk.awaiting
    if awaited is None or awaited.about != "species" or not awaited.pending:
        return None
    return AskFirst(
        Reply(Ask("species", "not-told"), species_buttons(talk)),
        pending(talk, "species", *awaited.pending, said),
    )


def word_fits(talk: Talk, word: str | None) -> tuple[str, ...]:
    """The species that a spoken word fits, likeliest first."""
    return tuple(card.slug for card in by_word(talk.knowledge.cards.values(), word)) if word else ()


def species_for(
    talk: Talk, said: Command, named: str | None, word: str | None, fits: Callable[[str], bool]
) -> tuple[str, tuple[str, ...]]:
    """The species named, else what its word fits, else what the farm spawned last; and what else it may be.

    Of what the word fits the farm's own come first, then those that `fits` takes; else the cards' own order
    stands. Asks a stranger; `said` waits for the answer. Raises `HatchError("unknown-species", species)`.
    """
    if named:
        return named, ()
    likely, own = word_fits(talk, word), farms_own(talk)
    if word and not likely:
        raise HatchError("unknown-species", species=word)
    ranked = sorted(likely, key=lambda slug: (slug not in own, not fits(slug))) or own
    if not ranked:
        waits = pending(talk, "species", said)
        raise AskFirst(Reply(Ask("species", "not-told"), species_buttons(talk)), waits)
    return ranked[0], tuple(slug for slug in ranked[1:] if fits(slug))


def card_asked(
    talk: Talk,
    said: Command,
    named: str | None,
    word: str | None = None,
    likely: Callable[[Run], bool] = lambda run: True,
) -> Card:
    """The card of the species that is asked about: the one named, else of the newest run that is `likely`, of
    any, or of what the farm spawned last. Asks a stranger; `said` waits for the answer."""
    if named or word:
        return talk.card_of(species_for(talk, said, named, word, lambda slug: True)[0])
    live = talk.live()
    running = [*[run.species for run in live if likely(run)][-1:], *(run.species for run in live)]
    species = next(iter([*running, *farms_own(talk)]), None)
    if species is None:
        waits = pending(talk, "species", said)
        raise AskFirst(Reply(Ask("species", "not-told"), species_buttons(talk)), waits)
    return talk.card_of(species)


def waited(talk: Talk, form: type[Told], about: str) -> Told | None:
    """What was told before and waits for the answer to `about`."""
    awaited = talk.desk.awaiting
    waiting = awaited.pending if awaited is not None and awaited.about == about else ()
    return next((one for one in waiting if isinstance(one, form)), None)


def species_buttons(talk: Talk) -> tuple[Button, ...]:
    """A button for each species there is a card of, the farm's own first."""
    return tuple(
        Button(f"pick:{n}", Pick(Weigh(species=slug)), "species", (("species", slug),))
        for n, slug in enumerate(dict.fromkeys([*farms_own(talk), *talk.knowledge.cards]), 1)
    )


def farms_own(talk: Talk) -> tuple[str, ...]:
    """The species that the farm spawned before, the newest first."""
    known = [row.species for row in talk.desk.rows] + [run.species for run in reversed(talk.live())]
    return tuple(dict.fromkeys(known))


def _named(talk: Talk, runs: Sequence[Run], words: str | None, tags: Sequence[str]) -> list[Run]:
    chosen = list(runs)
    if words:
        chosen = _called_so(talk, chosen, words)
    if tags:
        chosen = [run for run in chosen if all(fish_of(run, tag) for tag in tags)]
    return chosen


def places(run: Run) -> tuple[str, ...]:
    """The places of a run that have a name, in order of mention."""
    return tuple(dict.fromkeys(fish.place for fish in run.fish if fish.place))


def _belled(talk: Talk, runs: Sequence[Run]) -> Run | None:
    numbers = {run.number: run for run in runs}
    hit = {reminder.bell.run for reminder in belled(talk) if reminder.bell.run in numbers}
    return numbers[hit.pop()] if len(hit) == 1 else None


def group_for(
    talk: Talk, run: Run, said: Reading, *, place: str | None = None, tags: Iterable[str | None] = ()
) -> str:
    """The name of the group that is meant, "" while no injection is told. Raises `AskFirst`."""
    groups = [group for group in run.groups if group.final_at is not None]
    if talk.pinned.group in [group.name for group in groups]:
        return talk.pinned.group
    if not groups:
        return run.groups[0].name if run.groups else ""
    named = {fish.group for tag in tags if tag and (fish := fish_of(run, tag))}
    fitting = [group for group in groups if group.name in named] if named else groups
    if place:
        fitting = [group for group in fitting if group.place.lower() == place.lower()] or fitting
    if len(fitting) > 1:
        fitting = _rung_groups(talk, run, fitting) or fitting
    if len(fitting) > 1:
        fitting = [group for group in fitting if looks_open(run, group)] or fitting
    if len(fitting) == 1:
        return fitting[0].name
    choices = ((Pick(said, run.number, group=g.name), g.place or ", ".join(g.tags)) for g in fitting)
    buttons = picks("group", choices)
    raise AskFirst(Reply(Ask("which-group", "several-groups", run.number, talk.called(run)), buttons))


def _rung_groups(talk: Talk, run: Run, groups: Sequence[Group]) -> list[Group]:
    names = {reminder.bell.key.group for reminder in belled(talk) if reminder.bell.run == run.number}
    return [group for group in groups if group.name in names]


def batch_for(
    talk: Talk,
    run: Run,
    said: Reading,
    fits: Callable[[Batch], bool] = lambda batch: True,
    *,
    place: str | None = None,
    tags: Sequence[str] = (),
    step: str = "",
) -> str:
    """The name of the batch that `said` is about; while no eggs are told, that of the first one to come.

    Of several it is the one whose bell for that step rings, a test lot only by name. Raises `AskFirst`
    where that does not tell.
    """
    if not run.batches:
        return next_bowl(run)
    if talk.pinned.batch in [batch.name for batch in run.batches]:
        return talk.pinned.batch
    fitting = [batch for batch in run.batches if fits(batch)] or list(run.batches)
    if place:
        fitting = [batch for batch in fitting if place.lower() in _places(run, batch)] or fitting
    if tags:
        fitting = [batch for batch in run.batches if are_of(batch, tags)] or fitting
    if len(fitting) > 1:
        rung = [each.bell for each in belled(talk) if each.bell.run == run.number]
        names = {bell.key.batch for bell in rung if bell.key.step == step}
        fitting = [batch for batch in fitting if batch.name in names] or fitting
        fitting = [batch for batch in fitting if not batch.test_lot] or fitting
    if len(fitting) == 1:
        return fitting[0].name
    choices = ((Pick(said, run.number, batch=b.name), talk.batch_called(run, b.name)) for b in fitting)
    buttons = picks("batch", choices)
    raise AskFirst(Reply(Ask("which-batch", "several-batches", run.number, talk.called(run)), buttons))


def are_of(batch: Batch, tags: Sequence[str]) -> bool:
    """Whether all of these females are among those whose eggs lie in a batch."""
    return {plain_tag(tag) for tag in tags} <= {plain_tag(tag) for tag in mothers(batch)}


def _places(run: Run, batch: Batch) -> set[str]:
    jars = {place.lower() for place in batch.places}
    return names_of(run, batch) | jars | {count.place.lower() for count in batch.counts}


def names_of(run: Run, batch: Batch) -> set[str]:
    """What the whole of a batch goes by, in lower case: its name, where its fish are, its females."""
    group = group_of(run, batch.group)
    names = {batch.name.lower(), (group.place if group else "").lower()}
    if batch.place not in batch.places:
        names.add(batch.place.lower())
    return names | {plain_tag(one.tag) for one in batch.eggs}


def bell_for(talk: Talk, key: StepKey | None, run_number: int | None, said: Answering) -> tuple[Run, StepKey]:
    """The bell a bare "done" or "not yet" belongs to: the one pressed, replied to or ringing. Asks of two."""
    if key is not None and run_number is not None:
        return talk.run(run_number), key
    rung = asking_after_well(talk) if isinstance(said, Finished) and said.well else _rung(talk)
    if not isinstance(said, Snooze):
        rung = [each for each in rung if is_named(talk, talk.run(each.bell.run), said.run)]
    if not isinstance(said, Snooze) and said.place:
        rung = [each for each in rung if _is_in(talk.run(each.bell.run), each.bell.key, said.place)] or rung
    if isinstance(said, NotYetSaid):
        rung = [reminder for reminder in rung if _suits(said, reminder.bell.key.step)] or rung
    rung = _still_ringing(rung, talk.desk.said_at)
    if len(rung) > 1:
        rung = [reminder for reminder in rung if _suits(said, reminder.bell.key.step)] or rung
    if len(rung) == 1:
        return talk.run(rung[0].bell.run), rung[0].bell.key
    if not rung:
        raise AskFirst(Reply(Ask("which-bell", "no-bell")))
    buttons = tuple(
        Button(
            f"pick:{place}",
            dataclasses.replace(said, key=each.bell.key, run_number=each.bell.run),
            "step",
            (
                ("step", each.bell.key.step),
                ("called", talk.part_called(talk.run(each.bell.run), each.bell.key)),
            ),
        )
        for place, each in enumerate(rung, 1)
    )
    raise AskFirst(Reply(Ask("which-bell", "several-bells"), buttons))


def _rung(talk: Talk) -> list[Reminder]:
    live = {run.number for run in talk.live()}
    return [reminder for reminder in latest_of_series(belled(talk)) if reminder.bell.run in live]


def asking_after_well(talk: Talk) -> list[Reminder]:
    """The bells that asked whether all is well, and may still be answered so."""
    return _still_ringing(
        [each for each in _rung(talk) if each.bell.key.step in ASK_AFTER_WELL], talk.desk.said_at
    )


def _is_in(run: Run, key: StepKey, place: str) -> bool:
    """Whether the part of a run that a bell is about stands in that place."""
    group, batch = group_of(run, key.group), batch_of(run, key.batch)
    stands = {group.place.lower()} if group else set()
    return place.lower() in stands | (_places(run, batch) if batch else set())


def _still_ringing(rung: Sequence[Reminder], at: datetime) -> list[Reminder]:
    """Those that will ring again; where none will, the one that rang last, unless it is long silent."""
    ringing = [reminder for reminder in rung if reminder.next_at is not None]
    lately = [reminder for reminder in rung if at - _rang_at(reminder) <= ECHO]
    return ringing or sorted(lately, key=_rang_at)[-1:]


def _rang_at(reminder: Reminder) -> datetime:
    return reminder.last_rung_at or reminder.bell.due_at


def _suits(said: Answering, step: str) -> bool:
    """Looks and counts are answered by what was seen, "not yet" among it; the rest by "done"."""
    return (step in (*LOOKS, "check-hatch")) == isinstance(said, NotYetSaid)


def belled(talk: Talk) -> tuple[Reminder, ...]:
    """The bell that was replied to, else all that ring for a run."""
    rung = (talk.desk.bell,) if talk.desk.bell else talk.desk.ringing
    return tuple(each for each in rung if each.bell.run != BOOK)


def latest_of_series(ringing: Iterable[Reminder]) -> list[Reminder]:
    """Of several rung looks of one series only the newest waits for an answer."""
    newest: dict[tuple[int, str, str, str], Reminder] = {}
    for reminder in ringing:
        key = reminder.bell.key
        newest[(reminder.bell.run, key.step, key.group, key.batch)] = reminder
    return list(newest.values())


def paper_button(number: int) -> Button:
    """Asks for the page of this run."""
    return Button("pick:1", Pick(Question("run_sheet"), number), "run-sheet")
