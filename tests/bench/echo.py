"""The same exchange through `serve` and through a bare echo bot: `python -m tests.bench.echo`.

Both are processes of their own on the same library and server, in turn (A-B-A-B ...). First a flood: so many
messages at once from fifty chats, until every chat has its answers. Then one message at a time. Prints the
median of five rounds of each, and our bot against the bare one. Never part of a check.
"""

from __future__ import annotations

import asyncio
import os
import statistics
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from bot.clock import SystemClock
from tests.bot.botapi import TOKEN, BotApi
from tests.bot.test_serve import IN_A_HURRY

FLOOD, CHATS, SINGLE, ROUNDS = 400, 50, 60, 5
BARE = """
import asyncio, sys
from telegram import Bot
from telegram.request import HTTPXRequest
async def main(token, url):
    bot = Bot(token, base_url=url + "/bot", request=HTTPXRequest(connection_pool_size=16))
    offset = None
    async with bot:
        while True:
            for update in await bot.get_updates(offset=offset, timeout=30, read_timeout=40):
                offset = update.update_id + 1
                await bot.send_message(update.message.chat.id, update.message.text)
asyncio.run(main(*sys.argv[1:]))
"""


@dataclass
class Round:
    """Messages a second in a flood, and milliseconds until a single one is answered, in the middle."""

    a_second: float
    reply_ms: float


async def exchange(api: BotApi, words: str) -> Round:
    """One round against whatever asks this server for updates."""
    loop = asyncio.get_running_loop()
    begun, before = loop.time(), len(api.sent())
    for number in range(FLOOD):
        api.say(1000 + number % CHATS, words)
    await api.until(lambda: len(api.sent()) >= before + FLOOD, 120)
    rate = FLOOD / (loop.time() - begun)
    replies = []
    for number in range(SINGLE):
        start, had = loop.time(), len(api.sent())
        api.say(1000 + number % CHATS, words)
        await api.until(lambda had=had: len(api.sent()) > had)  # type: ignore[misc]
        replies.append((loop.time() - start) * 1000)
    return Round(rate, statistics.median(replies))


async def one(ours: bool, folder: Path) -> Round:
    """A fresh process, warmed up by one exchange, then a round."""
    async with BotApi(now=SystemClock().now) as api:
        env = {**os.environ, "HATCHBELL_TOKEN": TOKEN, "HATCHBELL_API_URL": api.url}
        env["HATCHBELL_DB"] = str(folder / "farm.db")
        args = [IN_A_HURRY] if ours else [BARE, TOKEN, api.url]
        process = await asyncio.create_subprocess_exec(
            *(sys.executable, "-c", *args), env=env, stderr=asyncio.subprocess.DEVNULL
        )
        try:
            api.say(1, "help")
            await api.until(lambda: len(api.sent()) == 1)
            return await exchange(api, "help")
        finally:
            process.kill()
            await process.wait()


@dataclass
class Ratio:
    """Medians of the rounds of ours and of the bare bot."""

    ours: Round
    bare: Round


async def ratio(rounds: int = ROUNDS) -> Ratio:
    """So many rounds of each, in turn."""
    found: dict[bool, list[Round]] = {True: [], False: []}
    for _ in range(rounds):
        for ours in (True, False):
            with tempfile.TemporaryDirectory() as folder:
                found[ours].append(await one(ours, Path(folder)))
    ours, bare = (
        Round(
            statistics.median(each.a_second for each in found[which]),
            statistics.median(each.reply_ms for each in found[which]),
        )
        for which in (True, False)
    )
    return Ratio(ours, bare)


async def main() -> None:
    found = await ratio()
    ours, bare = found.ours, found.bare
    print(f"flood of {FLOOD}: ours {ours.a_second:.0f}/s, bare {bare.a_second:.0f}/s")
    print(f"one at a time: ours {ours.reply_ms:.1f} ms, bare {bare.reply_ms:.1f} ms")
    print(f"throughput ratio {ours.a_second / bare.a_second:.2f}")
    print(f"reply ratio {ours.reply_ms / bare.reply_ms:.2f}")


if __name__ == "__main__":
    asyncio.run(main())
