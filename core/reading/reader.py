"""The front of the reader: text in, one understanding out. Asks instead of guessing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace

from core.commands import (
    Act,
    Correction,
    EggsRunning,
    Fertilised,
    Finished,
    Hatched,
    Help,
    Injection,
    Label,
    NotYetSaid,
    Question,
    Reading,
    SetDose,
    Strip,
    Trouble,
    Unclear,
    Understood,
    Weigh,
    Why,
)
from core.reading import (
    acts,
    awaited,
    baths,
    book,
    bottles,
    broodbook,
    corrections,
    counts,
    crew,
    fry,
    hints,
    kit,
    measures,
    money,
    named,
    needle,
    orders,
    phones,
    questions,
    ranges,
    reckoned,
    scoops,
    stocking,
    talk,
    times,
    topics,
    water,
    weights,
    yields,
)
from core.reading.assembly import items
from core.reading.context import Context, Limits
from core.reading.items import Item, marks_of
from core.reading.lexicon import Lexicon
from core.reading.message import Message
from core.reading.stripping import eggs_with_a_point_lost, stripped
from core.reading.text import LONGEST
from core.records import Preparation

NOT_OURS = Understood(Unclear("not_ours"))
MOST_TOKENS = 400


def read(text: str, context: Context, lexicon: Lexicon, limits: Limits) -> Understood:
    """What a message says. Never raises, whatever the text; longer than a message can be is not ours."""
    stripped = text.strip()
    if not stripped or len(text) > LONGEST:
        return NOT_OURS
    told = talk.command(stripped)
    if told is not None:
        return Understood(told)
    message = message_of(stripped, context, lexicon, limits)
    if message is None:
        return NOT_OURS
    return named.told_of_runs(message, _understood(message), _understood)


def message_of(text: str, context: Context, lexicon: Lexicon, limits: Limits) -> Message | None:
    """The items of a text and what is known around it; None of more tokens than a message has."""
    tokens = lexicon.script.tokens(text)
    if len(tokens) > MOST_TOKENS:
        return None
    view = lexicon.view(context.lang, tokens)
    said = phones.without_phones(items(view.spelt(tokens), view, lexicon))
    found = tuple(questions.marked(ranges.fold(times.fold(said))))
    if context.gallon is not None:
        found = tuple(kit.of_the_farm(item, context.gallon) for item in found)
    return yields.settled(Message(text, found, context, limits, lexicon, view, marks_of(found)))


Read = Callable[[Message], Understood | None]


@dataclass(frozen=True, slots=True)
class Stage:
    """One way to read a message. `needs`: it finds nothing in a message that has none of these marks
    (`items.marks_of`; "awaiting.label": that was asked for); empty: it is always tried."""

    read: Read
    needs: frozenset[str]


def _understood(message: Message) -> Understood:
    return _first(message) or NOT_OURS


def stages_for(message: Message) -> list[Stage]:
    """The stages that may find something in a message, in order."""
    marks = message.marks | {f"awaiting.{message.context.awaiting}"}
    return [stage for stage in STAGES if not (stage.needs and stage.needs.isdisjoint(marks))]


def _first(message: Message) -> Understood | None:
    for stage in stages_for(message):
        understood = stage.read(message)
        if understood is not None:
            return _with_preparation(message, _placed(message, _of_all_named(message, understood)))
    return None


def _of_all_named(message: Message, understood: Understood) -> Understood:
    """What is told, or the question about it where a fish is named and nothing is said of it."""
    told = (understood.main, *understood.also)
    strips = [each for each in told if isinstance(each, Strip)]
    acts_told = [each for each in told if isinstance(each, Strip | Injection | EggsRunning)]
    if not isinstance(understood.main, Strip | Injection) or any(strip.pooled for strip in strips):
        return understood
    named = {tag.casefold() for tag in message.tags}
    spoken_of = {tag.casefold() for each in told for tag in _tags_of(each)}
    return understood if named <= spoken_of else Understood(Unclear("ambiguous_intent", tuple(acts_told)))


def _tags_of(reading: Reading) -> list[str]:
    match reading:
        case Strip():
            tags = [*(one.tag for one in reading.eggs), *reading.not_ready, *reading.none]
        case Weigh():
            tags = [fish.tag for fish in reading.fish]
        case _:
            tags = [*getattr(reading, "tags", ())]
    return [tag for tag in tags if tag is not None]


def _placed(message: Message, understood: Understood) -> Understood:
    """A bare "done" or "not yet" with the one place that is named beside it."""
    main, places = understood.main, {item.text for item in message.kinds("place")}
    if isinstance(main, Finished | NotYetSaid) and len(places) == 1:
        return replace(understood, main=replace(main, place=places.pop()))
    return understood


def _with_preparation(message: Message, understood: Understood) -> Understood:
    """What is injected belongs to the weighing or question it is told with, in whatever clause it stands."""
    told = weights.preparation(message)
    if told is None:
        return understood
    also = tuple(_prepared(each, told) for each in understood.also)
    return Understood(_prepared(understood.main, told), also)


def _prepared(reading: Reading, told: Preparation) -> Reading:
    match reading:
        case Weigh() | Question() | Injection() | SetDose():
            return replace(reading, preparation=told)
        case Unclear():
            ways = [_prepared(way, told) for way in reading.candidates]
            return replace(reading, candidates=_acts(ways))
        case _:
            return reading


def _single(read_one: Callable[[Message], Reading | None], *needs: str) -> Stage:
    def stage(message: Message) -> Understood | None:
        reading = read_one(message)
        return Understood(reading) if reading is not None else None

    return Stage(stage, frozenset(needs))


def _whole(read: Read, *needs: str) -> Stage:
    return Stage(read, frozenset(needs))


def _bath(message: Message) -> Reading | None:
    return baths.bath(message) if baths.is_told(message) else None


def _looked(message: Message) -> Understood | None:
    told = talk.looked(message)
    return _arranged(told) if told else None


def _mended(message: Message) -> Understood | None:
    kept, marked = corrections.mended(message)
    if not marked and not corrections.of_an_hour(message):
        alone = corrections.sex_of_tag(message)
        return Understood(alone) if alone is not None else None
    if not kept.items or _nothing_told(kept):
        return None
    return Understood(corrections.correction(kept, _tell, _as_of))


def _nothing_told(message: Message) -> bool:
    return not message.kinds("num", "clock", "ago", "coded", "tag") and not message.has("sex.f", "sex.m")


def _tell(message: Message) -> list[Reading]:
    tellings = topics.tellings(message)
    if len(tellings) == 1 and tellings[0].topic.name == "weigh":
        if topics.only_tagged(message):
            return [_eggs_or_weight(message)]
        if message.context.awaiting == "stripped" and topics.too_heavy_for_eggs(message):
            return [eggs_with_a_point_lost(message)]
    return [reading for telling in tellings for reading in telling.topic.read(telling.message)]


def _beside(
    read_one: Callable[[Message], Reading | None], own: Callable[[Message], Sequence[Item]], *needs: str
) -> Stage:
    """Something told in its own items, and what the rest tells: acts with figures, a needle."""

    def stage(message: Message) -> Understood | None:
        told = read_one(message)
        if told is None or (isinstance(told, Unclear) and told.candidates):
            return Understood(told) if told is not None else None
        mine = own(message)
        rest = message.without(mine)
        apart = read_one(message.part(mine)) if mine else None
        more = _tells_figures(rest) or rest.has("cue.injected")
        if apart is not None and not isinstance(apart, Unclear) and more:
            others = _tell(rest)
            if not all(isinstance(one, Unclear) and _of_a_count(one) for one in others):
                return _arranged([apart, *others])
        return Understood(told)

    return Stage(stage, frozenset(needs))


def _tells_figures(message: Message) -> bool:
    return bool(message.kinds("num", "coded", "clock", "ago"))


def _of_a_count(doubt: Unclear) -> bool:
    """Whether something unclear bears on no dose and no hour."""
    return bool(doubt.candidates) and all(isinstance(one, Fertilised | Hatched) for one in doubt.candidates)


def _of_crew(message: Message) -> Understood | None:
    """Something of the people of the farm, and what the message tells besides."""
    told = crew.told(message)
    if told is None or not crew.says_more(told.rest):
        return Understood(told.reading) if told is not None else None
    if isinstance(told.reading, Unclear):
        return Understood(told.reading)
    beside = None if told.alone else _first(told.rest)
    others = (beside.main, *beside.also) if beside is not None else ()
    if not others or any(isinstance(one, Unclear) for one in others):
        return Understood(Unclear("ambiguous_intent", _acts([told.reading, *others])))
    return _arranged([*others, told.reading])


def _alarmed(message: Message) -> Understood | None:
    """An alarm is answered before all else: what is unclear beside it is not read, what is clear stands."""
    told = book.trouble(message)
    if not isinstance(told, Trouble):
        return Understood(told) if told is not None else None
    rest = message.without(book.trouble_items(message))
    others = _tell(rest) if _tells_figures(rest) else []
    if any(isinstance(one, Unclear) for one in others):
        return Understood(told)
    return _arranged([told, *others])


def _for_the_book(message: Message) -> Understood | None:
    """Weights of brood fish that begin no run."""
    told = broodbook.weighed(message)
    return Understood(told[0], tuple(told[1:])) if told else None


def _eating_items(message: Message) -> list[Item]:
    return [item for clause in message.clauses() if questions.eating(clause) for item in clause.items]


def _or_fish(read_one: Callable[[Message], Reading | None]) -> Callable[[Message], Reading | None]:
    """A reader of the books that asks where sexes are named and a number is none of its own."""

    def asking(message: Message) -> Reading | None:
        told = read_one(message)
        if told is None or isinstance(told, Unclear) or not message.has("sex.f", "sex.m"):
            return told
        own = sum(isinstance(getattr(told, field.name), float) for field in fields(told))
        weighed = [one for one in _tell(message) if isinstance(one, Weigh)]
        return Unclear("ambiguous_intent", _acts([*weighed, told])) if len(message.numbers) > own else told

    return asking


def _as_of(message: Message, intent: str) -> Reading | None:
    reader = awaited.READERS.get(intent)
    under = message.under(replace(message.context, awaiting=intent))
    return reader(under) if reader is not None else None


WANTING: tuple[tuple[str, int, Callable[[Message], Reading]], ...] = (
    ("cue.hatched", 1, counts.count),
    ("cue.fertilised", 1, counts.count),
    ("cue.inject_plan", 1, lambda message: acts.planned(message, "inject")),
    ("cue.strip_plan", 1, lambda message: acts.planned(message, "strip")),
    ("noun.bottle", 0, lambda message: Unclear("no_number", (Label(),))),
    ("cue.later", 0, lambda message: Unclear("no_number")),
    ("unit.per_g", 0, lambda message: Unclear("no_number")),
)
"""Words of a plain intent, with how many unknown words beside them, and what is said without its figure."""


def _wanting(message: Message) -> Reading | None:
    """The intent is plain and only the figure is missing."""
    if message.numbers or any(item.has("deny.word", "deny.before", "ask.mark") for item in message.items):
        return None
    unknown = len(message.kinds("junk"))
    return next(
        (told(message) for sense, most, told in WANTING if unknown <= most and message.has(sense)), None
    )


def _waters(message: Message) -> Understood | None:
    """A temperature for each of several places."""
    return _arranged(water.temperature(message)) if topics.of_several_places(message) else None


def _another_needle(message: Message) -> Reading | None:
    """Whether to inject is a question, unless fish are weighed in the same breath."""
    told = [telling.topic.name for telling in topics.tellings(message)]
    planned = "plan" in told and message.has("may.must") and not message.has("ask.mark", "join.or")
    return None if planned or "weigh" in told else questions.another_needle(message)


def _asked(message: Message) -> Understood | None:
    """A question. What the message tells besides stands first."""
    if questions.eggs_of_a_gram(message):
        return Understood(questions.asked(message, "egg_count"))
    beside = _asked_beside(message)
    if beside is not None:
        return beside
    asked = questions.question(message)
    if asked is None:
        return None
    timed = bool(message.kinds("clock", "ago"))
    if (timed or questions.tells_figures(message)) and not message.has("ask.mark"):
        return None
    if questions.tells_figures(message) and topics.tellings(message):
        return None
    return Understood(asked)


def _asked_beside(message: Message) -> Understood | None:
    """What is told in one part of a message, and asked in another."""
    telling, asked = questions.parted(message)
    if not asked or not telling.items:
        return None
    told = _tell(telling)
    if not told and telling.kinds("num", "clock", "ago"):
        answer = awaited.answer(telling)
        told = [answer] if answer is not None else []
    if not told and isinstance(said := talk.phrase(telling), Finished | NotYetSaid):
        told = [said]
    return _arranged([*told, *asked]) if told else None


def _dose_alone(message: Message) -> Reading | None:
    return None if topics.tellings(message) else needle.dose_alone(message)


def _told(message: Message) -> Understood | None:
    default = message.context.awaiting
    readings = _tell(message)
    if not readings:
        return None
    if default in awaited.READERS and _all_unclear(readings):
        answer = awaited.answer(message)
        if answer is not None and not isinstance(answer, Unclear):
            return Understood(answer)
    asking = message.has("ask.mark", *questions.WORDS_OF_ASKING) and not message.kinds("num", "clock", "ago")
    if asking and not all(isinstance(reading, Unclear) for reading in readings):
        return Understood(Unclear("ambiguous_intent", _acts(readings)))
    if questions.asks_a_figure(message) and not any(isinstance(one, Unclear) for one in readings):
        return Understood(Unclear("ambiguous_intent", _acts(readings)))
    asked = questions.question(message) if message.has("ask.mark") else None
    return _arranged([*readings, *([asked] if isinstance(asked, Question) else [])])


def _acts(readings: Sequence[Reading]) -> tuple[Act, ...]:
    found: list[Act] = []
    for reading in readings:
        ways = reading.candidates if isinstance(reading, Unclear) else (reading,)
        found.extend(way for way in ways if not isinstance(way, Correction | Unclear))
    return tuple(found)


def _eggs_or_weight(message: Message) -> Reading:
    """ "F1 210 g": eggs, or the fish itself? What was asked for tells, or the run, or the species."""
    weighed, eggs = weights.weigh(message), stripped(message)
    awaited_eggs = message.context.awaiting == "stripped"
    if message.has("cue.none", "cue.not_ready"):
        return eggs
    if message.context.awaiting == "weigh" or (isinstance(eggs, Unclear) and not eggs.candidates):
        return weighed
    running = message.context.open_run and message.names_only(message.context.tags)
    if running and message.names_only(message.context.waiting) and not message.measured("mass"):
        return Unclear("ambiguous_intent", _acts([weighed, eggs]))
    if awaited_eggs or running or isinstance(weighed, Unclear):
        return eggs
    return Unclear("ambiguous_intent", (eggs, weighed) if isinstance(eggs, Strip) else (weighed,))


def _all_unclear(readings: Sequence[Reading], why: str = "ambiguous_intent") -> bool:
    return all(isinstance(reading, Unclear) and reading.why == why for reading in readings)


def _arranged(readings: Sequence[Reading]) -> Understood:
    """A weighing before all else, then acts as told. Where a part is unclear, that alone is said."""
    doubt = next((reading for reading in readings if isinstance(reading, Unclear)), None)
    if doubt is not None:
        return Understood(doubt)
    weighed: list[Reading] = [
        *weights.joined([reading for reading in readings if isinstance(reading, Weigh)])
    ]
    others = [reading for reading in readings if not isinstance(reading, Weigh)]
    running = any(isinstance(reading, EggsRunning) for reading in others)
    rank = weighed + sorted(others, key=lambda reading: _urgency(reading, running))
    return Understood(rank[0], tuple(rank[1:]))


def _urgency(reading: Reading, running: bool) -> int:
    """Questions come last; where the eggs of one run, the others can wait."""
    if isinstance(reading, Question):
        return 2
    waits = isinstance(reading, Strip) and not (reading.eggs or reading.none)
    return 1 if running and waits else 0


def _answer(message: Message) -> Reading | None:
    if len(message.kinds("junk")) > len(message.kinds("num", "clock", "ago", "coded")) + 1:
        return None
    return awaited.answer(message)


def _set_phrase_within(message: Message) -> Reading | None:
    """A set phrase among other words, where nothing else was understood."""
    if message.numbers or message.kinds("coded", "clock"):
        return None
    said = {key for item in message.items if (key := item.one_of("say"))} - {talk.COURTESY}
    if talk.LATER in said:
        return None
    if not said and message.any_of("say_alone") == "done" and _of_some(message):
        return Unclear("ambiguous_intent", (Finished(),))
    told = talk.SAID.get(said.pop()) if len(said) == 1 and len(message.kinds("junk")) <= 2 else None
    asked = message.has("ask.mark") or _of_some(message)
    if told is None or isinstance(told, Help | Why) or not asked:
        return told
    return Unclear("ambiguous_intent", _acts((told,)))


def _of_some(message: Message) -> bool:
    """Whether something else is denied, or said of fish by their sex: "gave the males, not the females"."""
    denied = any(item.has("deny.word") and item.one_of("say") is None for item in message.items)
    return denied or message.has("sex.f", "sex.m")


STAGES: tuple[Stage, ...] = (
    # Somebody is hurt, or should not touch the hormone: before all else.
    _single(questions.first_aid, "person.body", "topic.first_aid", "topic.keep_away"),
    _whole(_of_crew, *crew.SENSES),
    # The whole message is one set phrase, or the answer to what was asked.
    _single(talk.phrase, "say", "say_alone"),
    _whole(_looked),
    _single(talk.well, "well.said"),
    _single(talk.assent, "assent"),
    _single(book.basis, "awaiting.iodine_basis"),
    _single(weights.species_alone, *weights.NAMES_OF_SPECIES, "awaiting.species"),
    _single(weights.preparation_alone, "preparation"),
    _beside(book.zone, book.clock_items),
    _single(talk.no_thermometer, "cue.no_thermometer", "cue.unknown"),
    # It tells of a fish of the farm, or asks about one, by its tag: no figure of a run is in it.
    _whole(_for_the_book, "brood.book"),
    _single(broodbook.tag_given, "cue.is", "brood.tagged"),
    _single(broodbook.told, *broodbook.TOLD, *(sense for sense, _ in broodbook.LOSSES)),
    _single(broodbook.asked, *broodbook.ASKED),
    # It takes something back, or warns: before any figure is read.
    _whole(_mended, "mend", "cue.is"),
    _beside(questions.eating, _eating_items, "topic.eating", "topic.eaten", "topic.eat", "cue.sold"),
    _whole(_alarmed, "trouble", "device", "fault_of", "fault.down"),
    _single(questions.why_low, "low.word", "low.wrong", "say.why"),
    _single(questions.rate_in_water, "cue.rate"),
    _single(talk.reason, "say.why"),
    # It is for the books, or for a bath; what else it tells stands beside.
    _single(reckoned.asked, *reckoned.ASKING),
    _single(reckoned.brood, "reckon", "awaiting.brood_numbers"),
    _single(reckoned.male_cut, "cut"),
    _single(kit.syringes, "noun.syringe"),
    _single(kit.gland, "noun.gland"),
    _single(kit.own_dose, *(f"in.{unit}" for unit in kit.PER_KG)),
    _single(kit.dissolved, "cue.dissolved"),
    _single(kit.units, "cue.units"),
    _single(bottles.fate, *bottles.OF_BOTTLES),
    _single(bottles.dry, "preparation"),
    _whole(bottles.with_label, "in.ug_per_ml", "in.mg_per_ml"),
    _beside(bottles.label, bottles.label_items, *bottles.ON_LABELS, "awaiting.label"),
    _single(questions.cost_of_larvae, "topic.cost"),
    _single(money.sold, "cue.sold"),
    _single(_or_fish(orders.order), *measures.LARVAE),
    _single(fry.sample_size, "topic.to_count"),
    _single(stocking.stock, "cue.stock", *stocking.ASKS),
    _single(measures.question, "ask.how_many", "ask.what"),
    _single(measures.measure, *measures.LARVAE, "unit.cup", "in.cup"),
    _single(fry.cups),
    _single(measures.by_measure, "in.cup", "in.ml"),
    _single(fry.swim_up, "cue.swim_up"),
    _single(money.expense, "cue.spent", "noun.goods"),
    _single(money.price, "currency", "money_letter", "money.price", "cue.order", "cue.sold", "cue.spent"),
    _beside(bottles.bottle, bottles.bottle_items, "noun.bottle", "noun.gland"),
    _single(scoops.scoop, "agent", "awaiting.scoop"),
    _single(_bath, "agent", "use", "purpose", "bathing", "cue.bath", "awaiting.bath"),
    # Several places, fish left out, questions, and what is told of the night.
    _whole(_waters, "is.place"),
    _single(acts.left_out, "cue.left_out"),
    _beside(questions.scheme, questions.scheme_items, "cue.several", "cue.injected_noun"),
    _single(_another_needle, *questions.OF_A_NEEDLE),
    _whole(_asked, *questions.ASKING),
    _single(_dose_alone, *(f"in.{unit}" for unit in kit.PER_KG)),
    _whole(_told),
    # What is left: a bare figure, a set phrase among others, words that only hint.
    _single(talk.snooze, "cue.later", "filler.more", "awaiting.snooze"),
    _single(kit.reason, "awaiting.dose_reason"),
    _single(_answer),
    _single(awaited.alone),
    _single(_set_phrase_within),
    _single(_wanting),
    _single(hints.likely),
)
