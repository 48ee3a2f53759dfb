"""A lean channel for many messages: it brings updates, takes answers, and counts."""

import asyncio
import json
import time
from collections import Counter
from dataclasses import dataclass, field
from typing import Any, Self

import aiohttp
from aiohttp import web

TOKEN = "99:soak"
SECRET = "soak-secret"
HEADER = "X-Telegram-Bot-Api-Secret-Token"
BOT = {"id": 99, "is_bot": True, "first_name": "Planner", "username": "planner_bot"}
HOLD_S = 20.0
CONNECTIONS = 12  # updates brought at the same time


@dataclass
class Channel:
    """The other side.

    Attributes:
        latency_s: how long it thinks about each message it is given.
        hooks: where updates are brought; without any it waits to be asked.
        said: how often each text was said to each chat.
        repeats: of what was said again, when it was said before: instants of this process's clock.
        echo_s: how long each first answer took, from the update to the call.
    """

    latency_s: float = 0.0
    hooks: list[str] = field(default_factory=list)
    said: Counter[tuple[int, str]] = field(default_factory=Counter)
    repeats: list[float] = field(default_factory=list)
    echo_s: list[float] = field(default_factory=list)
    broken: bool = False
    url: str = ""
    calls: Counter[str] = field(default_factory=Counter)
    in_quiet: int = 0
    _quiet_until: float = 0.0
    _hush_next: float = 0.0
    _pending: dict[int, dict[str, Any]] = field(default_factory=dict)
    _pushed: dict[int, float] = field(default_factory=dict)
    _expected: dict[tuple[int, str], float] = field(default_factory=dict)
    _said_at: dict[tuple[int, str], float] = field(default_factory=dict)
    _answered: int = 0
    _last: int = 0
    _message: int = 0
    _news: asyncio.Event = field(default_factory=asyncio.Event)
    _runner: web.AppRunner | None = None
    _bringers: list[asyncio.Task[None]] = field(default_factory=list)
    _queue: asyncio.Queue[dict[str, Any]] = field(default_factory=asyncio.Queue)

    async def __aenter__(self) -> Self:
        app = web.Application()
        app.router.add_route("*", "/bot{token}/{method}", self._handle)
        self._runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.1)
        await self._runner.setup()
        await web.TCPSite(self._runner, "127.0.0.1", 0).start()
        host, port = self._runner.addresses[0][:2]
        self.url = f"http://{host}:{port}"
        if self.hooks:
            self._bringers = [asyncio.create_task(self._bring(n)) for n in range(CONNECTIONS)]
        return self

    async def __aexit__(self, *_: object) -> None:
        for each in self._bringers:
            each.cancel()
        await asyncio.gather(*self._bringers, return_exceptions=True)
        self._news.set()
        if self._runner:
            await self._runner.cleanup()

    def push(self, chat: int, text: str, answer: str) -> None:
        """Somebody writes, and will see an answer that begins so."""
        self._last += 1
        self._message += 1
        who = {"id": chat, "is_bot": False, "first_name": "Visitor"}
        message = {
            "message_id": self._message,
            "date": int(time.time()),
            "chat": {"id": chat, "type": "private", "first_name": "Visitor"},
            "from": who,
            "text": text,
        }
        update = {"update_id": self._last, "message": message}
        self._expected[chat, answer] = time.monotonic()
        if self.hooks:
            self._queue.put_nowait(update)
        else:
            self._pending[self._last] = update
            self._news.set()

    def expect(self, chat: int, answer: str, at: float) -> None:
        """Somebody will see a text that begins so, by right at this instant of our clock."""
        self._expected[chat, answer] = at

    @property
    def waiting(self) -> int:
        """Answers that were not seen yet."""
        return len(self._expected) - self._answered

    def hush(self, seconds: float) -> None:
        """Ask the next caller to leave us alone for so long."""
        self._hush_next = seconds

    async def _handle(self, request: web.Request) -> web.StreamResponse:
        method = request.match_info["method"]
        values = await request.post()
        self.calls[method] += 1
        if self.broken:
            if request.transport:
                request.transport.abort()
            return web.Response()
        if method == "getUpdates":
            return await self._updates(values)
        if method in ("sendMessage", "editMessageText"):
            return await self._said(int(str(values["chat_id"])), str(values["text"]))
        if method == "getMe":
            return _fine(BOT)
        return _fine(True)

    async def _said(self, chat: int, text: str) -> web.StreamResponse:
        now = time.monotonic()
        if now < self._quiet_until:
            self.in_quiet += 1
        if self._hush_next:
            self._quiet_until = now + self._hush_next
            asked, self._hush_next = int(self._hush_next), 0.0
            body = {"ok": False, "error_code": 429, "description": "Too Many Requests"}
            return web.json_response(body | {"parameters": {"retry_after": asked}}, status=429)
        key = (chat, text.partition("\n")[0])
        if key in self._expected and key not in self.said:
            self.echo_s.append(now - self._expected[key])
            self._answered += 1
        if self.said[key]:
            self.repeats.append(self._said_at[key])
        self.said[key] += 1
        self._said_at[key] = now
        if self.latency_s:
            await asyncio.sleep(self.latency_s)
        self._message += 1
        about = {"id": chat, "type": "private", "first_name": "Visitor"}
        return _fine(
            {"message_id": self._message, "date": int(time.time()), "chat": about, "text": text}
        )

    async def _updates(self, values: Any) -> web.Response:  # noqa: ANN401 - a form
        offset = int(str(values.get("offset", 0)))
        self._pending = {n: each for n, each in self._pending.items() if n >= offset}
        end = time.monotonic() + float(str(values.get("timeout", 0)))
        while not self._pending and (left := end - time.monotonic()) > 0:
            self._news.clear()
            try:
                await asyncio.wait_for(self._news.wait(), left)
            except TimeoutError:
                break
        return _fine(list(self._pending.values())[: int(str(values.get("limit", 100)))])

    async def _bring(self, first: int) -> None:
        """Bring updates until each is taken, now to one worker, now to another."""
        turn = first
        async with aiohttp.ClientSession() as session:
            while True:
                update = await self._queue.get()
                while True:
                    turn += 1
                    try:
                        async with session.post(
                            self.hooks[turn % len(self.hooks)],
                            data=json.dumps(update),
                            headers={HEADER: SECRET},
                            timeout=aiohttp.ClientTimeout(total=10),
                        ) as answer:
                            if answer.status == 200:
                                break
                    except (aiohttp.ClientError, TimeoutError):
                        pass
                    await asyncio.sleep(0.3)


def _fine(result: object) -> web.Response:
    return web.json_response({"ok": True, "result": result})
