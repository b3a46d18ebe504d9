"""Questions, by the words that meet in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, cast

from core.commands import Question, Reading
from core.reading.items import Item
from core.reading.message import COMMA, Message, breaks
from core.reading.plausible import named_species


@dataclass(frozen=True, slots=True)
class Pattern:
    """What a question of a topic is known by: senses that must meet, one of each group."""

    name: str
    groups: tuple[frozenset[str], ...]
    without: frozenset[str] = frozenset()


MOST_SHOTS = 6
FIGURES = {"num", "clock", "ago", "coded"}
FISH = ("sex", "pronoun", "species", "species_word")


def _topic(name: str, *groups: str, without: str = "") -> Pattern:
    return Pattern(name, tuple(frozenset(group.split()) for group in groups), frozenset(without.split()))


RANK = "rank.best rank.worst"
OF_A_RUN = (
    "cue.hatched cue.rate noun.larvae topic.result topic.run which_run.last period.season period.last_month"
)

PATTERNS = (
    _topic("notebook", "topic.notebook"),
    _topic("run_sheet", "topic.run_sheet"),
    _topic("season_csv", "topic.season_csv"),
    _topic("season_table", "topic.season_table"),
    _topic("season_picture", "topic.picture", "period.season period.last_month"),
    _topic("night_picture", "topic.picture", without="noun.larvae cue.sold topic.cost"),
    _topic(
        "season_picture",
        "topic.show",
        "period.season period.last_month",
        without="cue.hatched cue.rate noun.larvae topic.result topic.cost cue.spent cue.sold",
    ),
    _topic("night_picture", "topic.show", "topic.night", without="cue.hatched topic.result"),
    *(_topic(f"by_{key}", f"by.{key}") for key in ("species", "female", "dose", "water", "season")),
    _topic("by_species", RANK, "by.which_species"),
    _topic("by_female", RANK, "sex.f"),
    _topic("by_dose", RANK, "topic.dose", OF_A_RUN),
    _topic("by_water", RANK, "cue.water noun.water", OF_A_RUN),
    _topic("best_run", "rank.best", OF_A_RUN),
    _topic("worst_run", "rank.worst", OF_A_RUN),
    _topic("source", "topic.source"),
    _topic("source", "ask.where", "topic.from"),
    _topic("ripe_signs", "topic.ripe", "ask.how ask.what ask.which ask.when ask.mark may.ask topic.signs"),
    _topic("ready_fish", "ask.which", "topic.reuse topic.spawn_again", "topic.again topic.spawn_again"),
    _topic("rest", "topic.rest", "ask.how_long ask.how_many", without="noun.eggs"),
    _topic(
        "rest", "topic.reuse", "topic.again", "ask.when ask.mark may.ask", without="filler.more noun.eggs"
    ),
    _topic("rest", "topic.spawn_again", "ask.how_long ask.how_many ask.when ask.mark may.ask"),
    _topic("ready_fish", "ask.which ask.how_many", "topic.ready"),
    _topic("hatch_time", "ask.when ask.how_long", "cue.hatched"),
    _topic("hatch_time", "cue.will", "ask.mark", "cue.hatched", without="cue.rate ask.what ask.how"),
    _topic(
        "dose",
        "topic.again",
        "cue.inject_plan cue.injected topic.hormone hint.inject",
        "ask.mark may.ask",
        without="sex.f sex.m topic.left",
    ),
    _topic("ledger", "topic.ledger"),
    _topic("ledger", "topic.hormone", "topic.used", "period.season period.last_month ask.how_much"),
    _topic("shelf", "topic.shelf", "ask.what ask.which ask.mark ask.how_many may.ask"),
    _topic(
        "shelf",
        "topic.hormone noun.bottle",
        "bottle.expiry cue.expired",
        "ask.when ask.which ask.what ask.mark may.ask",
        without="cue.double",
    ),
    _topic("hormone_left", "topic.hormone", "topic.left", without="bottle.empty"),
    _topic("hormone_left", "topic.enough", "day.tomorrow", without="noun.eggs noun.larvae sex.f sex.m"),
    _topic("given", "topic.given_asked"),
    _topic("given", "ask.what ask.how_much ask.when", "topic.given"),
    _topic("given", "ask.which", "cue.injected topic.given", without="noun.eggs cue.stripped topic.hormone"),
    _topic("cost", "topic.cost", "ask.what ask.how_much ask.mark topic.run"),
    _topic(
        "earned",
        "topic.earned",
        "ask.what ask.how_much ask.how_many ask.mark period.season period.last_month",
    ),
    _topic("survival", "topic.survival"),
    _topic("fry_per_kg", "noun.larvae noun.spawn noun.eggs", "topic.per_kg"),
    _topic("cost", "ask.how_much ask.how_many ask.what", "cue.spent"),
    _topic("earned", "ask.how_much", "cue.sold"),
    _topic("larvae", "ask.how_many", "noun.larvae"),
    _topic("larvae", "ask.how_many", "noun.spawn", "period.last_month period.season"),
    _topic("hatch_rate", "topic.result"),
    _topic("hatch_rate", "ask.how ask.what", "period.season period.last_month", without="noun.larvae"),
    _topic("hatch_rate", "cue.hatched", "period.season period.last_month"),
    _topic("hatch_rate", "cue.hatched", "ask.what ask.how ask.how_many ask.mark cue.rate which_run.last"),
    _topic("egg_count", "ask.how_many ask.how_much", "noun.eggs cue.per_gram unit.per_g"),
    _topic("strip_time", "ask.when ask.how_long", "cue.strip_plan cue.stripped topic.ready noun.eggs"),
    _topic("dose", "topic.dose", "ask.what ask.how_much ask.mark"),
    _topic("dose", "ask.how_much", "cue.inject_plan cue.injected cue.give"),
    _topic("dose", "ask.how_many", "unit.ml", "cue.inject_plan cue.injected cue.give hint.inject"),
    _topic("next_step", "topic.next", "ask.what ask.mark ask.when may.ask"),
    _topic("next_step", "topic.task", "ask.when"),
    _topic("run_status", "topic.status"),
    _topic("water", "cue.water", "ask.what ask.how ask.how_much ask.mark"),
    _topic("water", "noun.water", "ask.how ask.how_much", "cue.is"),
)


def eating(message: Message) -> Reading | None:
    """Whether treated fish may be eaten or sold. A question, whatever weights stand in it."""
    told = message.has("topic.eating") or (message.has("topic.eaten") and _of_fish(message))
    told = told or (message.has("cue.sold") and not message.has("noun.larvae") and _of_a_fish(message))
    asks = message.has("ask.mark", "ask.when", "ask.how_long", "day.today") or _opens(message)
    if not told and asks and message.has("topic.eat"):
        told = _of_fish(message) and not message.has("noun.larvae", "noun.eggs", "currency")
    return asked(message, "eating") if told else None


def _of_fish(message: Message) -> bool:
    named = bool(message.tags) or message.has("noun.fish")
    return named or any(message.any_of(table) is not None for table in FISH)


def _of_a_fish(message: Message) -> bool:
    """A brood fish by its sex or name, and no number of larvae."""
    return not message.bare() and (bool(message.tags) or message.has("sex.f", "sex.m"))


def first_aid(message: Message) -> Reading | None:
    """Somebody has hormone in a finger or an eye, a spine in the hand, or should not touch it at all."""
    harmed = message.has("person.body") and message.has("person.harm", "cue.injected", "topic.hormone")
    if harmed or message.has("topic.first_aid"):
        return asked(message, "first_aid")
    named = _of_fish(message) or bool(message.numbers)
    kept_away = message.has("topic.keep_away") and (message.has("person.word") or not named)
    return asked(message, "keep_away") if kept_away else None


def scheme(message: Message) -> Reading | None:
    """ "Twice", "we give two shots": into how many shots a dose is split. Tells of none that was given."""
    given = message.kinds("clock", "ago") or any(item.has("time.at") for item in message.numbers)
    if given or message.tags or not scheme_items(message) or message.has("cue.expired", "noun.eggs"):
        return None
    return asked(message, "shots")


def scheme_items(message: Message) -> list[Item]:
    """What of a message tells into how many shots a dose is split: "twice", "two shots"."""
    found: list[Item] = []
    needle = message.has("cue.injected", "cue.inject_plan", "topic.dose", "hint.inject")
    weighed = bool(message.numbers) and message.has("sex.f", "sex.m")
    others = [item for item in message.items if not _several(item)]
    bare = all(item.kind in {"sign", "num"} or item.one_of("filler") is not None for item in others)
    for at, item in enumerate(message.items):
        before = message.items[at - 1] if at else item
        shots = item.has("cue.injected_noun") and before.kind == "num"
        if shots and before.whole and 1 < before.value <= MOST_SHOTS and not before.unit:
            found += [before, item]
        elif _several(item) and (needle or bare or weighed):
            found.append(item)
    return found


def _several(item: Item) -> bool:
    return item.has("cue.several")


OF_FIGURES_OF_OURS = (
    *("topic.dose", "cue.injected", "cue.inject_plan", "topic.hormone", "cue.strip_plan", "topic.rest"),
    *("cue.water", "noun.water", "cue.bath", "cue.own_dose"),
)
"""What is asked after in "why so low" that is no result of a run."""


def why_low(message: Message) -> Reading | None:
    """ "Why was it low?", "what went wrong?": of a result, and no figure of ours."""
    if message.kinds("clock", "ago", "span") or any(item.unit != "percent" for item in message.numbers):
        return None
    asks = message.any_of("say") == "why"
    if asks and message.numbers:
        return asked(message, "why_low") if message.has("cue.hatched", "cue.fertilised") else None
    if message.has("low.wrong"):
        return asked(message, "why_low")
    ours = message.has(*OF_FIGURES_OF_OURS) or message.any_of("agent") is not None
    if not asks or not message.has("low.word") or ours:
        return None
    named = message.has(*OF_A_RUN.split(), "cue.fertilised", "noun.eggs") or bool(message.tags)
    return asked(message, "why_low") if named else asked(message, "why_so_low")


PER_LARVAE = (1, 100, 1000)


def cost_of_larvae(message: Message) -> Reading | None:
    """ "Cost per 1000 larvae?": nobody counted these."""
    per = [item for item in message.numbers if item.value in PER_LARVAE and not item.unit]
    known = message.has("topic.cost") and message.has("noun.larvae")
    return asked(message, "cost") if known and len(per) == len(message.numbers) else None


DEGREES = ("c", "f", "deg")


def rate_in_water(message: Message) -> Reading | None:
    """ "Hatch rate at 27 degrees?": of the runs, by their water; nobody read a thermometer."""
    warm = [item for item in message.numbers if item.unit in DEGREES]
    asks = message.has("ask.mark", "ask.what", "ask.how", "ask.how_much")
    if not warm or len(warm) < len(message.numbers) or not asks or message.kinds("clock", "ago", "span"):
        return None
    return asked(message, "by_water") if message.has("cue.rate") and not message.has("cue.water") else None


OF_A_NEEDLE = ("cue.double", "cue.injected", "cue.inject_plan", "cue.give", "hint.inject")


def another_needle(message: Message) -> Reading | None:
    """Whether to inject, now or again: a question about a dose, never the telling of one."""
    if message.has("cue.double") and message.has("cue.expired", "ask.mark") and not message.tags:
        return asked(message, "doubling")
    needle = message.has(*OF_A_NEEDLE[1:])
    if message.has("bottle.expiry", "cue.expired") and not message.has(*OF_A_NEEDLE[:-1]):
        return None  # of the bottle, and of no needle
    again = message.has("topic.again", "which.resolving", "filler.more")
    if not needle or message.measured("mass") or message.has("topic.left", "noun.eggs", "topic.eating"):
        return None
    of_the_sheet = message.has("topic.dose") and not again
    asks = _opens(message) or (again and message.has("ask.mark"))
    return asked(message, "may_inject") if asks and not of_the_sheet else None


def _opens(message: Message) -> bool:
    """Whether a question opens the message or a clause of it, or ends one: "can I", "the bell rings, should
    we", "inject jabe?"."""
    return any(
        item.has("may.ask") and (at == 0 or not item.has("cue.is"))
        for clause in message.clauses()
        for at, item in enumerate((clause.items[0], _last(clause)))
    )


def _last(clause: Message) -> Item:
    """The last word of a clause that is no courtesy and no mark of a question."""
    told = [item for item in clause.items if item.one_of("filler") is None and not item.has("ask.mark")]
    return told[-1] if told else clause.items[-1]


MARK, MARK_END = frozenset({"ask.mark"}), "ask.mark_end"
STATES = (
    "cue.injected",
    "cue.stripped",
    "cue.runs",
    "cue.run",
    "cue.eggs_run",
    "cue.hatched",
    "cue.fertilised",
    "cue.died",
    "cue.inject_plan",
    "cue.strip_plan",
    "cue.given",
    "topic.ready",
    "topic.left",
    "topic.hormone",
    "noun.eggs",
    "noun.larvae",
    "noun.water",
)
"""What is asked after by "not yet" behind it: "has the male been injected"."""


def marked(found: Sequence[Item]) -> list[Item]:
    """The items, a word that asks at the end of a clause taken for a mark of a question: "nước 27 không".
    Alone it says what it says elsewhere; courtesies may stand behind it."""
    kept = list(found)
    acted = False
    for at, item in enumerate(kept):
        if item.has(MARK_END):
            asks = acted and _ends(kept, at)
            kept[at] = item._replace(senses=MARK if asks else item.senses - {MARK_END})
        acted = not breaks(item) and (acted or item.has(*STATES))
    return kept


def _ends(found: Sequence[Item], at: int) -> bool:
    """Whether nothing but courtesies stands behind an item in its clause."""
    for item in found[at + 1 :]:
        if breaks(item):
            return True
        if item.one_of("filler") is None and not item.has("ask.mark"):
            return False
    return True


ASKING = ("ask", "topic", "period", "which_run.last", "by", "rank")


def question(message: Message) -> Reading | None:
    """The question asked, if it is one we know."""
    if not message.has(*ASKING):
        return None
    marks = message.marks
    if message.has("topic.how_did") and message.tags:
        return asked(message, "hatch_rate")
    for topic in PATTERNS:
        if not any(map(marks.isdisjoint, topic.groups)) and marks.isdisjoint(topic.without):
            return asked(message, topic.name)
    if _how_much_for(message):
        return asked(message, "dose")
    if message.has("topic.hormone", "hint.inject") and message.has("ask.how_much") and _of_fish(message):
        return asked(message, "dose")
    return asked(message, "strip_time") if message.context.open_run and _only_when(message) else None


def parted(message: Message) -> tuple[Message, list[Question]]:
    """What of a message tells, and what it asks: "injected 21:40, when do we strip?", "female 2.4 kg how many
    cc to inject"."""
    if message.any_of("ask") is None:
        return message, []
    told: list[Item] = []
    asks: list[Question] = []
    for piece in _sentences(message):
        telling, asking = _asking(piece)
        one = question(asking) if asking.items else None
        if isinstance(one, Question):
            asks.append(one)
            told.extend([*telling.items, COMMA])
        else:
            told.extend(piece.items)
    return message.part(told), list(dict.fromkeys(asks))


def _sentences(message: Message) -> list[Message]:
    """The clauses of a message, each with the sign that ends it."""
    pieces: list[list[Item]] = [[]]
    for item in message.items:
        pieces[-1].append(item)
        if breaks(item):
            pieces.append([])
    return [message.part(piece) for piece in pieces if piece]


WORDS_OF_ASKING = tuple(f"ask.{key}" for key in ("when", "how_much", "how_many", "how_long"))


def _asking(piece: Message) -> tuple[Message, Message]:
    """The part of a clause that tells and the part that asks: without a figure all of it, else what stands
    behind its last figure, or before its first fish."""
    items = piece.items
    figures = [at for at, item in enumerate(items) if _is_a_figure(item)]
    if not figures:
        asks = piece.any_of("ask") is not None
        return (piece.part(()), piece) if asks else (piece, piece.part(()))
    behind = piece.part(items[figures[-1] + 1 :])
    if behind.has(*WORDS_OF_ASKING):
        return piece.part(items[: figures[-1] + 1]), behind
    fish = next((at for at, item in enumerate(items) if item.has("sex.f", "sex.m")), figures[0])
    before = piece.part(items[:fish])
    if fish <= figures[0] and before.has(*WORDS_OF_ASKING) and not before.has("noun.eggs", "noun.larvae"):
        return piece.part(items[fish:]), before
    return piece, piece.part(())


def eggs_of_a_gram(message: Message) -> bool:
    """ "How many eggs has 1 gram?": that gram is nobody's."""
    numbers = message.numbers
    one = len(numbers) == 1 and numbers[0].unit == "g" and numbers[0].value == 1
    return one and message.has("ask.how_many", "ask.how_much") and message.has("noun.eggs")


def _is_a_figure(item: Item) -> bool:
    """A number, an hour or a code; a spoken "one" beside a question is an article: "pour une femelle"."""
    return item.kind in FIGURES and not (item.spoken and item.whole and item.value == 1)


def tells_figures(message: Message) -> bool:
    """Whether numbers stand in a message that asks, but for "one"."""
    return any(_is_a_figure(item) for item in message.numbers)


def asks_a_figure(message: Message) -> bool:
    """Whether a clause with a figure asks as well, so that nobody knows whether the figure is told."""
    return any(clause.has(*WORDS_OF_ASKING) and tells_figures(clause) for clause in message.clauses())


def _how_much_for(message: Message) -> bool:
    """ "How much for F2?": of the needle, where nothing else is named."""
    fish = {"tag", "coded", "sign"}
    return message.has("ask.how_much") and all(
        item.kind in fish or any(item.one_of(table) is not None for table in ("ask", "filler", "sex"))
        for item in message.items
    )


def _only_when(message: Message) -> bool:
    """ "How long?", "how many hours still": while a run is open, till its eggs come."""
    return message.has("ask.when", "ask.how_long") and all(
        item.one_of("ask") is not None
        or item.one_of("filler") is not None
        or item.has("cue.is", "topic.still")
        or item.kind == "sign"
        for item in message.items
    )


def asked(message: Message, topic: str) -> Question:
    """A question of that topic with what the message says besides."""
    species, word, _ = named_species(message)
    return Question(
        topic,
        species=species,
        species_word=word,
        which_run=cast(Literal["last"] | None, message.any_of("which_run")),
        tags=message.tags,
        period=cast(Literal["last_month", "season"] | None, message.any_of("period")),
        whole=message.has("topic.result"),
    )
