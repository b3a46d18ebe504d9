"""A Bot API server of our own on 127.0.0.1: real HTTP, the official rules of getUpdates, and faults to order.

Each request is held against aiogram's model of its method; what does not fit is a breach. Tests say what
people type (`say`, `press`), order faults (`fail`, `lose`, `hold`), and read what came of it (`sent`, `log`).
"""

from __future__ import annotations

import asyncio
import functools
import json
import re
import struct
from collections import defaultdict, deque
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from aiohttp import web
from pydantic import ValidationError

TOKEN = "4711:" + "A" * 35
ME = {
    "id": 4711,
    "is_bot": True,
    "first_name": "Hatchbell",
    "username": "hatch_test_bot",
    "can_join_groups": True,
    "can_read_all_group_messages": False,
    "supports_inline_queries": False,
}
NESTED = ("reply_markup", "reply_parameters", "allowed_updates", "commands", "scope", "entities")
ENTITY = re.compile(r"&(?:amp|lt|gt|quot|#\d+|#x[0-9a-f]+);", re.IGNORECASE)


@functools.cache
def models() -> dict[str, Any]:
    """aiogram's model of each method of the Bot API. Loaded when first asked for: it takes seconds."""
    from aiogram import methods
    from aiogram.methods.base import TelegramMethod

    return {
        made.__api_method__: made
        for made in vars(methods).values()
        if isinstance(made, type) and issubclass(made, TelegramMethod) and made is not TelegramMethod
    }


@dataclass
class Request:
    """One request as it came, and how it was answered (0: not at all)."""

    method: str
    params: dict[str, Any]
    status: int = 200
    at: float = 0.0


@dataclass(frozen=True)
class Upload:
    """A file as it came with a request."""

    name: str
    content: bytes


@dataclass
class Fault:
    """What happens to a request instead of, or after, being dealt with."""

    status: int = 0
    description: str = ""
    retry_after: int | None = None
    migrate_to: int | None = None
    html: bool = False
    reset: str = ""
    delay: float = 0.0
    chat: int | None = None


@dataclass
class BotApi:
    """The server. `now` dates the messages; `checks` holds each request against another library's models."""

    now: Callable[[], datetime] = lambda: datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
    checks: bool = True
    written: Callable[[Any], str] = json.dumps
    updates: list[dict[str, Any]] = field(default_factory=list)
    log: list[Request] = field(default_factory=list)
    messages: list[dict[str, Any]] = field(default_factory=list)
    breaches: list[str] = field(default_factory=list)
    files: dict[str, bytes] = field(default_factory=dict)
    blocked: set[int] = field(default_factory=set)
    faults: dict[str, deque[Fault]] = field(default_factory=lambda: defaultdict(deque))
    next_id: int = 100
    next_message: int = 1
    url: str = ""

    async def __aenter__(self) -> BotApi:
        self._arrived = asyncio.Event()
        self._answered = asyncio.Event()
        self._open = asyncio.Event()
        self._open.set()
        self._held: set[str] = set()
        self._polls = 0
        app = web.Application(client_max_size=8 * 1024 * 1024)
        app.router.add_route("*", "/bot{token}/{method}", self._serve)
        app.router.add_get("/file/bot{token}/{path:.*}", self._download)
        self._runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.1)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", 0)
        await site.start()
        assert site._server is not None
        port = site._server.sockets[0].getsockname()[1]  # type: ignore[attr-defined]
        self.url = f"http://127.0.0.1:{port}"
        return self

    async def __aexit__(self, *_: object) -> None:
        self._open.set()
        await self._runner.cleanup()

    # What people do ---------------------------------------------------------------------------------------

    def raw(self, update: dict[str, Any]) -> int:
        """An update as it stands, with the next number."""
        number = self.next_id
        self.next_id += 1
        self.updates.append({"update_id": number, **update})
        self._arrived.set()
        return number

    def say(self, user: int, text: str, chat: int | None = None, **more: Any) -> int:
        """Somebody writes; the number of the message."""
        message = self._message(user, chat, text=text, **more)
        self.raw({"message": message})
        return int(message["message_id"])

    def edit(self, user: int, message_id: int, text: str, chat: int | None = None) -> None:
        """A message now says something else."""
        changed = self._message(user, chat, text=text, edit_date=self._date())
        self.raw({"edited_message": {**changed, "message_id": message_id}})

    def press(self, user: int, message: dict[str, Any], label: str) -> str:
        """Somebody presses a button under a message of ours; the id of the query."""
        rows = (message.get("reply_markup") or {}).get("inline_keyboard", [])
        data = next(button["callback_data"] for row in rows for button in row if button["text"] == label)
        return self.press_data(user, message, data)

    def press_data(self, user: int, message: dict[str, Any], data: str) -> str:
        """The same, whatever stands on the button."""
        query = f"q{self.next_id}"
        told = {"id": query, "from": person(user), "chat_instance": "1", "data": data}
        self.raw({"callback_query": {**told, "message": message}})
        return query

    def photo(self, user: int, picture: bytes, caption: str = "") -> None:
        """Somebody sends a picture."""
        name = f"file{len(self.files)}"
        self.files[name] = picture
        size = {"file_id": name, "file_unique_id": name, "width": 9, "height": 9, "file_size": len(picture)}
        self.raw({"message": self._message(user, None, photo=[size], caption=caption)})

    def membership(self, user: int, chat: int, old: str, new: str) -> None:
        """We were blocked, taken in, or thrown out."""
        member = {"user": ME, "until_date": 0}
        told = {"chat": place(chat), "from": person(user), "date": self._date()}
        changed = {"old_chat_member": {**member, "status": old}, "new_chat_member": {**member, "status": new}}
        self.raw({"my_chat_member": {**told, **changed}})

    def _message(self, user: int, chat: int | None, **more: Any) -> dict[str, Any]:
        number = self.next_message
        self.next_message += 1
        told = {"message_id": number, "from": person(user), "chat": place(chat or user)}
        return {**told, "date": self._date(), **more}

    def _date(self) -> int:
        return int(self.now().timestamp())

    # Faults -----------------------------------------------------------------------------------------------

    def fail(self, method: str, status: int, times: int = 1, **more: Any) -> None:
        """The next requests of this method are refused."""
        self.faults[method].extend(Fault(status, **more) for _ in range(times))

    def lose(self, method: str, when: str, times: int = 1, chat: int | None = None) -> None:
        """The connection breaks `before` the request is dealt with, or `after` it."""
        self.faults[method].extend(Fault(reset=when, chat=chat) for _ in range(times))

    def delay(self, method: str, seconds: float, chat: int | None = None) -> None:
        """The next answer comes late."""
        self.faults[method].append(Fault(delay=seconds, chat=chat))

    def hold(self, method: str) -> None:
        """Requests of this method are dealt with, but nobody hears of it until `release`."""
        self._held.add(method)
        self._open.clear()

    def release(self) -> None:
        self._held.clear()
        self._open.set()

    # What came of it --------------------------------------------------------------------------------------

    def sent(self, chat: int | None = None) -> list[dict[str, Any]]:
        """The messages that people have, in order."""
        return [each for each in self.messages if chat in (None, each["chat"]["id"])]

    def calls(self, method: str) -> list[Request]:
        """The requests of one method."""
        return [each for each in self.log if each.method == method]

    async def until(self, true: Callable[[], bool], seconds: float = 20.0) -> None:
        """Wait for requests until something holds."""
        async with asyncio.timeout(seconds):
            while not true():
                self._answered.clear()
                await self._answered.wait()

    # Serving ----------------------------------------------------------------------------------------------

    async def _serve(self, request: web.Request) -> web.StreamResponse:
        method = request.match_info["method"]
        if request.match_info["token"] != TOKEN:
            return _refusal(401, "Unauthorized")
        kept = Request(method, await _params(request), at=asyncio.get_running_loop().time())
        self.log.append(kept)
        self._answered.set()
        if self.checks:
            self._check(kept)
        try:
            return await self._answer(request, kept)
        finally:
            self._answered.set()

    async def _answer(self, request: web.Request, kept: Request) -> web.StreamResponse:
        fault = self._fault(kept)
        if fault.reset == "before":
            return self._broken(request, kept)
        if fault.delay:
            await asyncio.sleep(fault.delay)
        if fault.status:
            kept.status = fault.status
            return _refusal(fault.status, fault.description or "ordered by the test", fault)
        deal = getattr(self, f"_{kept.method}", None)
        if deal is None:
            kept.status = 404
            return _refusal(404, "Not Found")
        answer = deal(kept.params)
        result = await answer if asyncio.iscoroutine(answer) else answer
        if isinstance(result, web.Response):
            kept.status = result.status
            return result
        self._answered.set()
        if kept.method in self._held:
            await self._open.wait()
        if fault.reset == "after":
            return self._broken(request, kept)
        return web.json_response({"ok": True, "result": result}, dumps=self.written)

    def _fault(self, kept: Request) -> Fault:
        waiting = self.faults[kept.method]
        chat = kept.params.get("chat_id")
        found = next((each for each in waiting if each.chat is None or str(each.chat) == str(chat)), None)
        if found is None:
            return Fault()
        waiting.remove(found)
        return found

    def _broken(self, request: web.Request, kept: Request) -> web.StreamResponse:
        kept.status = 0
        assert request.transport is not None
        request.transport.abort()
        return web.Response()

    def _check(self, kept: Request) -> None:
        model = models().get(kept.method)
        if model is None:
            self.breaches.append(f"no such method: {kept.method}")
            return
        known = {each.alias or name for name, each in model.model_fields.items()} | set(model.model_fields)
        self.breaches += [f"{kept.method}: {name}?" for name in kept.params if name not in known]
        try:
            as_named = {n: "<file>" if isinstance(v, Upload) else v for n, v in kept.params.items()}
            model.model_validate(as_named)
        except ValidationError as fault:
            self.breaches += [f"{kept.method}: {each['loc']} {each['msg']}" for each in fault.errors()]

    async def _download(self, request: web.Request) -> web.Response:
        found = self.files.get(request.match_info["path"])
        return web.Response(body=found) if found is not None else web.Response(status=404)

    # Methods ----------------------------------------------------------------------------------------------

    def _getMe(self, params: dict[str, Any]) -> Any:  # noqa: N802
        return ME

    async def _getUpdates(self, params: dict[str, Any]) -> Any:  # noqa: N802
        offset = int(params.get("offset") or 0)
        if offset > 0:
            self.updates = [each for each in self.updates if each["update_id"] >= offset] or [
                each for each in self.updates if each["update_id"] < offset - 1000
            ]
        self._polls += 1
        mine = self._polls
        end = asyncio.get_running_loop().time() + float(params.get("timeout") or 0)
        while not self.updates:
            self._arrived.clear()
            left = end - asyncio.get_running_loop().time()
            if left <= 0:
                break
            try:
                await asyncio.wait_for(self._arrived.wait(), left)
            except TimeoutError:
                break
        if mine != self._polls:
            return _refusal(409, "Conflict: terminated by other getUpdates request")
        return self.updates[: int(params.get("limit") or 100)]

    def _sendMessage(self, params: dict[str, Any]) -> Any:  # noqa: N802
        text = str(params.get("text", ""))
        if not 0 < len(text.encode("utf-16-le")) // 2 <= 4096:
            return _refusal(400, "Bad Request: message text is empty or too long")
        if params.get("parse_mode") == "HTML":
            if "<" in text or "&" in ENTITY.sub("", text):
                return _refusal(400, "Bad Request: can't parse entities: unsupported start tag")
            text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
        return self._show(params, text=text)

    def _show(self, params: dict[str, Any], **more: Any) -> Any:
        chat = int(params["chat_id"])
        if chat in self.blocked:
            return _refusal(403, "Forbidden: bot was blocked by the user")
        for row in (params.get("reply_markup") or {}).get("inline_keyboard", []):
            for button in row:
                if not 1 <= len(button.get("callback_data", "x").encode()) <= 64:
                    return _refusal(400, "Bad Request: BUTTON_DATA_INVALID")
        number = self.next_message
        self.next_message += 1
        message = {"message_id": number, "from": ME, "chat": place(chat), "date": self._date(), **more}
        if params.get("reply_markup"):
            message["reply_markup"] = params["reply_markup"]
        if params.get("reply_parameters"):
            message["answers"] = params["reply_parameters"]["message_id"]
        self.messages.append(message)
        return {key: value for key, value in message.items() if key != "answers"}

    def _sendPhoto(self, params: dict[str, Any]) -> Any:  # noqa: N802
        """What is sent must be a PNG of a size that is taken (core.telegram.org/bots/api#sendphoto)."""
        file = params.get("photo")
        if not isinstance(file, Upload) or file.content[:8] != b"\x89PNG\r\n\x1a\n":
            return _refusal(400, "Bad Request: there is no photo in the request")
        wide, tall = struct.unpack(">II", file.content[16:24])
        if len(file.content) > 10_000_000 or wide + tall > 10_000 or max(wide, tall) > 20 * min(wide, tall):
            return _refusal(400, "Bad Request: PHOTO_INVALID_DIMENSIONS")
        if len(str(params.get("caption", "")).encode("utf-16-le")) // 2 > 1024:
            return _refusal(400, "Bad Request: message caption is too long")
        number = f"file{len(self.files)}"
        self.files[number] = file.content
        size = {"file_id": number, "file_unique_id": number, "width": wide, "height": tall}
        return self._show(params, caption=params.get("caption", ""), photo=[size])

    def _sendDocument(self, params: dict[str, Any]) -> Any:  # noqa: N802
        caption, file = str(params.get("caption", "")), params.get("document")
        if len(caption.encode("utf-16-le")) // 2 > 1024:
            return _refusal(400, "Bad Request: message caption is too long")
        if not isinstance(file, Upload):
            return _refusal(400, "Bad Request: there is no document in the request")
        number = f"file{len(self.files)}"
        self.files[number] = file.content
        told = {"file_name": file.name, "file_size": len(file.content)}
        return self._show(
            params, caption=caption, document={"file_id": number, "file_unique_id": number, **told}
        )

    def _editMessageReplyMarkup(self, params: dict[str, Any]) -> Any:  # noqa: N802
        for message in self.messages:
            if str(message["message_id"]) == str(params["message_id"]):
                message.pop("reply_markup", None)
                return {key: value for key, value in message.items() if key != "answers"}
        return _refusal(400, "Bad Request: message to edit not found")

    def _answerCallbackQuery(self, params: dict[str, Any]) -> Any:  # noqa: N802
        return True

    def _setMyCommands(self, params: dict[str, Any]) -> Any:  # noqa: N802
        return True

    def _getFile(self, params: dict[str, Any]) -> Any:  # noqa: N802
        name = params["file_id"]
        if name not in self.files:
            return _refusal(400, "Bad Request: invalid file_id")
        return {"file_id": name, "file_unique_id": name, "file_path": name}


def person(user: int) -> dict[str, Any]:
    """Somebody as the messenger shows them."""
    return {"id": user, "is_bot": False, "first_name": str(user), "language_code": "en"}


def place(chat: int) -> dict[str, Any]:
    """A private chat, or a group where the number is below zero."""
    if chat < 0:
        return {"id": chat, "type": "supergroup", "title": "the pond"}
    return {"id": chat, "type": "private", "first_name": f"user{chat}"}


def _refusal(status: int, description: str, fault: Fault | None = None) -> web.Response:
    if fault is not None and fault.html:
        return web.Response(status=status, text="<html>away</html>", content_type="text/html")
    told: dict[str, Any] = {"ok": False, "error_code": status, "description": description}
    if fault is not None and fault.retry_after is not None:
        told["parameters"] = {"retry_after": fault.retry_after}
    if fault is not None and fault.migrate_to is not None:
        told["parameters"] = {"migrate_to_chat_id": fault.migrate_to}
    return web.json_response(told, status=status)


async def _params(request: web.Request) -> dict[str, Any]:
    if request.content_type == "application/json":
        told: dict[str, Any] = await request.json()
        return told
    found: dict[str, Any] = dict(request.query)
    for name, value in (await request.post()).items():
        if isinstance(value, web.FileField):
            found[name] = Upload(value.filename, value.file.read())
        else:
            found[name] = json.loads(str(value)) if name in NESTED else value
    return found
