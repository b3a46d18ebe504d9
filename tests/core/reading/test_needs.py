"""What a stage or topic needs: passing one over changes nothing that is read."""

from __future__ import annotations

import functools
import json
import random
from pathlib import Path

from core.reading import Context, reader, topics
from core.reading.message import Message
from core.reading.reader import STAGES, message_of, stages_for
from tests.core.reading.scoring import LIMITS, context, words
from tests.core.reading.test_robust import AWAITED, noise
from tests.tries import is_long

LEXICON = words()
NOISES, SEED = 80, 20261130
SHARE = 0.4  # of the worked lines, in a short run
FOLDER = Path(__file__).parent
RARE = ("only F2 0.8 ml", "F2 alone 1 ml/kg")
"""What no worked line says."""


@functools.cache
def messages() -> tuple[Message, ...]:
    """Every worked line, as it is told or in a context of another making; and noises. Read when asked for:
    every worker collects this file, one runs it."""
    chance = random.Random(SEED)
    told: list[tuple[str, Context]] = []
    for path in sorted(FOLDER.rglob("lines_*.jsonl")):
        for text in path.read_text(encoding="utf-8").splitlines():
            line = json.loads(text)
            asked = Context(lang="en", awaiting=chance.choice(AWAITED), open_run=True, tags=("F1", "F2"))
            if is_long() or chance.random() < SHARE:
                told.append((line["text"], chance.choice([context(line), asked])))
    told += [(text, Context()) for text in RARE]
    for _ in range(NOISES):
        lang = chance.choice([*LEXICON.books])
        told.append((noise(chance), Context(lang=lang, awaiting=chance.choice(AWAITED))))
    found = (message_of(text.strip(), about, LEXICON, LIMITS) for text, about in told)
    return tuple(message for message in found if message is not None and message.items)


def test_a_stage_that_is_passed_over_would_have_found_nothing() -> None:
    passed = 0
    for message in messages():
        tried = stages_for(message)
        for stage in STAGES:
            if not any(stage is one for one in tried):
                passed += 1
                assert stage.read(message) is None, (message.text, sorted(stage.needs))
    assert passed > 20 * len(messages())


def test_a_topic_that_is_passed_over_is_not_told() -> None:
    passed = 0
    for message in messages():
        for clause in (message, *message.clauses()):
            for topic in topics.TOPICS:
                if topic.needs and topic.needs.isdisjoint(clause.marks):
                    passed += 1
                    assert not topic.told(clause), (clause.text, topic.name)
    assert passed > 4 * len(messages())


def test_every_need_is_a_mark_that_a_message_can_have() -> None:
    known = {"is.num", "is.place"} | {f"in.{unit}" for unit in LEXICON.units}
    for book in LEXICON.books.values():
        for found in book.phrases.values():
            senses = {sense for phrase in found for sense in phrase.senses}
            known |= senses | {sense.partition(".")[0] for sense in senses}
    needs = [need for each in (*reader.STAGES, *topics.TOPICS) for need in each.needs]
    assert [need for need in needs if need not in known and not need.startswith("awaiting.")] == []
