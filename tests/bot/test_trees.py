"""No `await` inside a transaction: another coroutine would write into it. Read off the trees of bot/."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

BOT = Path(__file__).resolve().parents[2] / "bot"


def faults(source: str) -> list[str]:
    """Every place that could let others go on, or that hides from this check, as `line: what`."""
    tree = ast.parse(source)
    opened: set[int] = set()
    found: list[tuple[int, str]] = []
    for block in ast.walk(tree):
        if not isinstance(block, ast.With | ast.AsyncWith):
            continue
        begun = [n for n, item in enumerate(block.items) if is_transaction(item.context_expr)]
        if begun:
            opened |= {id(block.items[n].context_expr) for n in begun}
            inside = [*block.items[begun[0] + 1 :], *block.body]
            found += [(line, what) for part in inside for line, what in pauses(part)]
            if isinstance(block, ast.AsyncWith):
                found.append((block.lineno, "async with"))
    for node in ast.walk(tree):
        if is_transaction(node) and id(node) not in opened:
            found.append((node.lineno, "transaction outside a with"))  # type: ignore[attr-defined]
    return [f"{line}: {what}" for line, what in sorted(set(found))]


def is_transaction(node: ast.AST) -> bool:
    """Whether this is a call of something named `transaction`."""
    if not isinstance(node, ast.Call):
        return False
    called = node.func
    return "transaction" in (getattr(called, "attr", None), getattr(called, "id", None))


def pauses(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """The nodes at which a coroutine or generator stops and others go on."""
    words = {
        ast.Await: "await",
        ast.AsyncWith: "async with",
        ast.AsyncFor: "async for",
        ast.Yield: "yield",
        ast.YieldFrom: "yield",
    }
    for node in ast.walk(tree):
        if type(node) in words:
            yield node.lineno, words[type(node)]  # type: ignore[attr-defined]
        if isinstance(node, ast.comprehension) and node.is_async:
            yield node.target.lineno, "async for"


# `Store.transaction` itself is a generator: the one yield that is the block of whoever opened it.
ALLOWED = {"store.py": ["yield"]}


@pytest.mark.parametrize("path", sorted(BOT.rglob("*.py")), ids=lambda path: str(path.relative_to(BOT)))
def test_nothing_waits_inside_a_transaction(path: Path) -> None:
    found = faults(path.read_text(encoding="utf-8"))
    allowed = set(ALLOWED.get(path.name, ()))
    assert [fault for fault in found if fault.partition(": ")[2] not in allowed] == []


BAD = """
async def answer(store, bot, stack):
    with store.transaction():
        for row in rows:
            await bot.send(row)
    with open_file() as file, store.transaction(), lock(await key()):
        pass
    with store.transaction():
        async with lock:
            pass
        async for row in rows:
            pass
        found = [row async for row in rows]
        yield found
    async with store.transaction():
        pass
    with transaction(await before()):
        pass
    stack.enter_context(store.transaction())
    held = store.transaction()
"""
GOOD = """
async def answer(store, bot):
    with open_file(await name()) as file, store.transaction():
        store.add(await_time)
    await bot.send(1)
    with store.savepoint():
        await bot.send(2)
"""


def test_the_check_sees_every_way_of_waiting() -> None:
    assert faults(BAD) == [
        "5: await",
        "6: await",
        "9: async with",
        "11: async for",
        "13: async for",
        "14: yield",
        "15: async with",
        "19: transaction outside a with",
        "20: transaction outside a with",
    ]


def test_the_check_lets_the_rest_pass() -> None:
    assert faults(GOOD) == []
