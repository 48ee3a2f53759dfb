"""The stand-in over HTTP: calls in, updates out, faults on order."""

import asyncio
import json
from collections.abc import Mapping
from typing import Any, Self

from aiohttp import web

from tests.e2e.standin import contract
from tests.e2e.standin.person import Person
from tests.e2e.standin.service import Service
from tests.e2e.standin.values import Call, Fault, RefusalError

TOKEN = "99:stand-in"
JITTER_S = 0.05


class StandIn:
    """A Bot API on a loopback port of its own.

    Attributes:
        calls: everything the bot has called, in order of arrival.
        violations: what it should not have done.
    """

    def __init__(self) -> None:
        self.service = Service()
        self.calls: list[Call] = []
        self.violations: list[str] = []
        self.url = ""
        self._faults: dict[str, list[Fault]] = {}
        self._quiet_until: dict[int, float] = {}
        self._pending: list[dict[str, Any]] = []
        self._last_update = 1000
        self._poll = 0  # number of the latest getUpdates: it ends the one before
        self._news = asyncio.Event()
        self._runner: web.AppRunner | None = None

    async def __aenter__(self) -> Self:
        app = web.Application(client_max_size=60_000_000)
        app.router.add_route("*", "/bot{token}/{method}", self._handle)
        app.router.add_get("/file/bot{token}/{path}", self._give)
        self._runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.1)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", 0)
        await site.start()
        host, port = self._runner.addresses[0][:2]
        self.url = f"http://{host}:{port}"
        return self

    async def __aexit__(self, *_: object) -> None:
        self._poll += 1
        self._news.set()
        if self._runner:
            await self._runner.cleanup()

    def person(self, number: int = 4711, *, group: int | None = None) -> Person:
        """Somebody who writes to the bot, alone or in a group."""
        if group is None:
            chat = {"id": number, "type": "private", "first_name": "Visitor"}
        else:
            chat = {"id": group, "type": "group", "title": "Studio"}
        self.service.chats[int(str(chat["id"]))] = chat
        return Person(self, number, chat)

    def befall(self, method: str, *faults: Fault) -> None:
        """Let the next calls of a method fail, one fault a call."""
        self._faults.setdefault(method, []).extend(faults)

    def push(self, kind: str, content: Mapping[str, Any]) -> None:
        """Let the bot have an update."""
        self._last_update += 1
        update = {"update_id": self._last_update, kind: content}
        contract.check_update(update)
        self._pending.append(update)
        self._news.set()

    def renumber(self, number: int) -> None:
        """Let update numbers go on from here: the channel does so after a quiet week."""
        self._last_update = number

    def garble(self, content: Mapping[str, Any]) -> None:
        """Let the bot have a message that is none."""
        self._last_update += 1
        self._pending.append({"update_id": self._last_update, "message": content})
        self._news.set()

    def made(self, method: str) -> list[Call]:
        """Calls of one method."""
        return [call for call in self.calls if call.method == method]

    @property
    def unconfirmed(self) -> list[dict[str, Any]]:
        """Updates the bot has not confirmed by asking for later ones."""
        return list(self._pending)

    @property
    def pending(self) -> int:
        """Updates the bot has not confirmed."""
        return len(self._pending)

    async def _give(self, request: web.Request) -> web.StreamResponse:
        """The content of a file that somebody sent."""
        content = self.service.sent_files.get(request.match_info["path"])
        if content is None or request.match_info["token"] != TOKEN:
            return _failed(404, "Not Found")
        return web.Response(body=content)

    async def _handle(self, request: web.Request) -> web.StreamResponse:
        method = request.match_info["method"]
        if request.match_info["token"] != TOKEN:
            return _failed(401, "Unauthorized")
        if method not in contract.METHODS:
            self.violations.append(f"{method}: not a method")
            return _failed(404, "Not Found")
        values = contract.decode(method, await request.post())
        now = asyncio.get_running_loop().time()
        self.calls.append(Call(method, values, now))
        if not self._proper(method, values, now):
            return _failed(400, "Bad Request: see violations")
        fault = self._fault(method, values)
        if fault:
            await asyncio.sleep(fault.delay_s)
            if fault.served:
                self.service.serve(method, values)
            if fault.drop:
                if request.transport:
                    request.transport.abort()
                return web.Response()
            if fault.html:
                page = "<html>Bad Gateway</html>"
                return web.Response(status=fault.status, text=page, content_type="text/html")
            if fault.status != 200:
                self._hush(fault, values, now)
                return _failed(fault.status, fault.description, fault.retry_after)
        if method == "getUpdates":
            return await self._updates(values)
        try:
            result = self.service.serve(method, values)
        except RefusalError as refusal:
            if not refusal.rightly:
                self.violations.append(f"{method}: {refusal.description}")
            return _failed(refusal.status, refusal.description)
        return web.json_response({"ok": True, "result": result})

    def _proper(self, method: str, values: Mapping[str, Any], now: float) -> bool:
        wrong = contract.violations(method, values)
        self.violations += wrong
        if wrong:
            return False
        chat = values.get("chat_id")
        if chat is not None and now < self._quiet_until.get(int(chat), 0.0) - JITTER_S:
            self.violations.append(f"{method}: while asked to wait")
        return True

    def _hush(self, fault: Fault, values: Mapping[str, Any], now: float) -> None:
        if fault.retry_after and "chat_id" in values:
            self._quiet_until[int(values["chat_id"])] = now + fault.retry_after

    def _fault(self, method: str, values: Mapping[str, Any]) -> Fault | None:
        waiting = self._faults.get(method, [])
        for fault in waiting:
            if fault.chat is None or str(fault.chat) == str(values.get("chat_id")):
                waiting.remove(fault)
                return fault
        return None

    async def _updates(self, values: Mapping[str, Any]) -> web.Response:
        """The unconfirmed updates, as soon as there are any; an offset confirms those before it."""
        self._poll += 1
        mine = self._poll
        self._news.set()  # wakes an earlier call, which then sees that it is no longer the latest
        offset = values.get("offset")
        if offset is not None:
            self._pending = [each for each in self._pending if each["update_id"] >= offset]
        loop = asyncio.get_running_loop()
        end = loop.time() + values.get("timeout", 0)
        while not self._pending and (left := end - loop.time()) > 0:
            self._news.clear()
            try:
                await asyncio.wait_for(self._news.wait(), left)
            except TimeoutError:
                break
            if mine != self._poll:
                return _failed(409, "Conflict: terminated by other getUpdates request")
        return web.json_response({"ok": True, "result": self._pending[: values.get("limit", 100)]})


def _failed(status: int, description: str, retry_after: int | None = None) -> web.Response:
    body: dict[str, Any] = {"ok": False, "error_code": status, "description": description}
    if retry_after is not None:
        body["parameters"] = {"retry_after": retry_after}
    return web.Response(status=status, text=json.dumps(body), content_type="application/json")
