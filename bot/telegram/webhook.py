"""A small HTTP door for updates that the channel brings by itself, meant to stand behind a proxy.

It knows one path and one method, believes nobody without the secret, reads no more than an update
can be long, waits for nobody who is slow, and says 200 only when the update is kept for good.
"""

import asyncio
import hmac
import json
import logging
from collections.abc import Awaitable, Callable
from contextlib import suppress
from http import HTTPStatus
from typing import Any, Self
from urllib.parse import urlsplit

from bot.channel import Hook
from bot.telegram.facts import fact

LOG = logging.getLogger(__name__)
HEADER = "x-telegram-bot-api-secret-token"
MOST_HEAD = 16 * 1024  # bytes (house choice)
MOST_BODY = 1024 * 1024  # bytes; an update is text and numbers, files come by other ways
MOST_CONNECTIONS = 100  # the channel opens no more
IDLE_S = 75.0  # a proxy keeps connections open between requests
SLOW_S = 10.0  # for a whole request, once it has begun

Take = Callable[[list[dict[str, Any]]], Awaitable[None]]


class _RefusedError(Exception):
    """A request that is not served."""

    def __init__(self, status: HTTPStatus) -> None:
        super().__init__(status)
        self.status = status


class Webhook:
    """Listens while it is entered."""

    def __init__(self, hook: Hook, take: Take) -> None:
        self._hook = hook
        self._take = take
        self._path = urlsplit(hook.url).path or "/"
        self._server: asyncio.Server | None = None
        self._open: set[asyncio.Task[None]] = set()

    async def __aenter__(self) -> Self:
        self._server = await asyncio.start_server(
            self._connected, self._hook.host, self._hook.port, limit=MOST_HEAD
        )
        return self

    async def __aexit__(self, *_: object) -> None:
        if self._server:
            self._server.close()
        for task in self._open:
            task.cancel()
        await asyncio.gather(*self._open, return_exceptions=True)

    @property
    def port(self) -> int:
        """Where it listens."""
        return int(self._server.sockets[0].getsockname()[1]) if self._server else 0

    async def _connected(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.current_task()
        if task is None or len(self._open) >= MOST_CONNECTIONS:
            writer.close()
            return
        self._open.add(task)
        try:
            with suppress(ConnectionError, asyncio.IncompleteReadError, TimeoutError):
                while await self._request(reader, writer):
                    pass
        except asyncio.CancelledError:
            pass  # we are told to stop: what was not kept is brought again
        finally:
            self._open.discard(task)
            writer.close()

    async def _request(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> bool:
        """Whether the connection stays open after one request more."""
        first = await asyncio.wait_for(reader.readexactly(1), IDLE_S)
        try:
            async with asyncio.timeout(SLOW_S):
                update, stays = await self._read(first, reader)
        except _RefusedError as refusal:
            await _answer(writer, refusal.status, stays=False)
            return False
        except TimeoutError:
            await _answer(writer, HTTPStatus.REQUEST_TIMEOUT, stays=False)
            return False
        try:
            await self._take([update])
        except Exception as error:
            LOG.error("an update could not be kept, and is brought again: %s", fact(error))
            await _answer(writer, HTTPStatus.SERVICE_UNAVAILABLE, stays=False)
            return False
        await _answer(writer, HTTPStatus.OK, stays=stays)
        return stays

    async def _read(self, first: bytes, reader: asyncio.StreamReader) -> tuple[Any, bool]:
        """The update, and whether more may follow.

        Raises:
            _RefusedError: it is not from the channel, or not as it should be.
        """
        try:
            head = first + await reader.readuntil(b"\r\n\r\n")
        except asyncio.LimitOverrunError:
            raise _RefusedError(HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE) from None
        line, *rest = head.decode("latin-1").split("\r\n")
        words = line.split(" ")
        if len(words) != 3 or not words[2].startswith("HTTP/1."):
            raise _RefusedError(HTTPStatus.BAD_REQUEST)
        said = dict(_header(each) for each in rest if each)
        method, target, _ = words
        if urlsplit(target).path != self._path:
            raise _RefusedError(HTTPStatus.NOT_FOUND)
        if method != "POST":
            raise _RefusedError(HTTPStatus.METHOD_NOT_ALLOWED)
        if not hmac.compare_digest(said.get(HEADER, "").encode(), self._hook.secret.encode()):
            raise _RefusedError(HTTPStatus.FORBIDDEN)
        length = said.get("content-length", "")
        if not length.isdecimal() or "transfer-encoding" in said:
            raise _RefusedError(HTTPStatus.LENGTH_REQUIRED)
        if len(length) > len(str(MOST_BODY)) or int(length) > MOST_BODY:
            raise _RefusedError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
        try:
            update = json.loads(await reader.readexactly(int(length)))
        except ValueError:
            raise _RefusedError(HTTPStatus.BAD_REQUEST) from None
        if not isinstance(update, dict) or not isinstance(update.get("update_id"), int):
            raise _RefusedError(HTTPStatus.BAD_REQUEST)
        closes = said.get("connection", "").casefold() == "close" or words[2] == "HTTP/1.0"
        return update, not closes


def _header(line: str) -> tuple[str, str]:
    name, colon, value = line.partition(":")
    if not colon:
        raise _RefusedError(HTTPStatus.BAD_REQUEST)
    return name.strip().casefold(), value.strip()


async def _answer(writer: asyncio.StreamWriter, status: HTTPStatus, *, stays: bool) -> None:
    lines = [
        f"HTTP/1.1 {status.value} {status.phrase}",
        "Content-Length: 0",
        f"Connection: {'keep-alive' if stays else 'close'}",
    ]
    writer.write(("\r\n".join(lines) + "\r\n\r\n").encode())
    await writer.drain()
