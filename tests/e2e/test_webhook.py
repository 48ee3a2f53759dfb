"""The door that updates are brought to: who is let in, what is kept, what is refused."""

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import aiohttp
import pytest

from bot.channel import Hook
from bot.telegram import webhook
from bot.telegram.webhook import HEADER, MOST_BODY, MOST_HEAD, Webhook
from storage.errors import BusyError
from storage.memory import MemoryVault
from tests.e2e.conftest import running
from tests.e2e.script import Script
from tests.e2e.standin.server import StandIn

SECRET = "A-long_secret"
UPDATE = {"update_id": 7, "message": {"text": "plan 45 chair"}}
HOOK = Hook("https://bot.invalid/coilbook", "127.0.0.1", 0, SECRET)


class Kept:
    """Takes updates, or fails to."""

    def __init__(self) -> None:
        self.updates: list[dict[str, Any]] = []
        self.fails = False

    async def take(self, updates: list[dict[str, Any]]) -> None:
        """Take them."""
        if self.fails:
            raise BusyError
        self.updates += updates


@asynccontextmanager
async def listening(kept: Kept) -> AsyncIterator[int]:
    """The door alone, on this port."""
    async with Webhook(HOOK, kept.take) as door:
        yield door.port


async def raw(port: int, *pieces: bytes, pause_s: float = 0.0) -> bytes:
    """What comes back for these bytes."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    try:
        for piece in pieces:
            writer.write(piece)
            await writer.drain()
            await asyncio.sleep(pause_s)
        return await asyncio.wait_for(reader.read(), 5)
    finally:
        writer.close()


def request(body: bytes, secret: str = SECRET, path: str = "/coilbook", *more: str) -> bytes:
    """An HTTP request as the channel makes it."""
    head = [f"POST {path} HTTP/1.1", "Host: x", f"{HEADER}: {secret}", "Connection: close", *more]
    head.append(f"Content-Length: {len(body)}")
    return ("\r\n".join(head) + "\r\n\r\n").encode() + body


async def status(port: int, *pieces: bytes, pause_s: float = 0.0) -> int:
    """The status that comes back."""
    answer = await raw(port, *pieces, pause_s=pause_s)
    return int(answer.split(b" ")[1])


async def test_an_update_with_the_secret_is_kept() -> None:
    kept = Kept()
    async with listening(kept) as port:
        assert await status(port, request(json.dumps(UPDATE).encode())) == 200
    assert kept.updates == [UPDATE]


@pytest.mark.parametrize("secret", ["", "A-long_secreT", "A-long_secret2", "A-long", "ä"])
async def test_nobody_without_the_secret_is_let_in(secret: str) -> None:
    kept = Kept()
    async with listening(kept) as port:
        assert await status(port, request(json.dumps(UPDATE).encode(), secret)) == 403
    assert kept.updates == []


@pytest.mark.parametrize(
    ("sent", "refused"),
    [
        (request(b"{}", path="/"), 404),
        (request(b"{}").replace(b"POST", b"GET"), 405),
        (request(b"no json"), 400),
        (request(b"[1]"), 400),
        (request(b"{}"), 400),
        (b"nonsense\r\n\r\n", 400),
        (request(b"{}").replace(b"Content-Length: 2\r\n", b""), 411),
        (request(b"{}", SECRET, "/coilbook", "Transfer-Encoding: chunked"), 411),
        (request(b"{}").replace(b"Length: 2", b"Length: %d" % (MOST_BODY + 1)), 413),
        (request(b"{}").replace(b"Length: 2", b"Length: " + b"9" * 5000), 413),
        (request(b"{}", SECRET, "/coilbook", "X: " + "x" * MOST_HEAD), 431),
    ],
)
async def test_what_is_not_as_it_should_be_is_refused(sent: bytes, refused: int) -> None:
    kept = Kept()
    async with listening(kept) as port:
        assert await status(port, sent) == refused
    assert kept.updates == []


async def test_nobody_who_is_slow_is_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(webhook, "SLOW_S", 0.2)
    kept = Kept()
    whole = request(json.dumps(UPDATE).encode())
    async with listening(kept) as port:
        assert await status(port, whole[:-5]) == 408
        assert await status(port, *(whole[at : at + 1] for at in range(5)), pause_s=0.02) == 408
        assert await status(port, whole) == 200
    assert kept.updates == [UPDATE]


async def test_what_could_not_be_kept_is_to_be_brought_again() -> None:
    kept = Kept()
    kept.fails = True
    async with listening(kept) as port:
        assert await status(port, request(json.dumps(UPDATE).encode())) == 503
        kept.fails = False
        assert await status(port, request(json.dumps(UPDATE).encode())) == 200
    assert kept.updates == [UPDATE]


async def test_a_connection_serves_many(standin: StandIn) -> None:
    kept = Kept()
    async with listening(kept) as port, aiohttp.ClientSession() as session:
        for number in range(20):
            url = f"http://127.0.0.1:{port}/coilbook"
            body = UPDATE | {"update_id": number}
            async with session.post(url, json=body, headers={HEADER: SECRET}) as answer:
                assert answer.status == 200
    assert [each["update_id"] for each in kept.updates] == list(range(20))


async def test_the_channel_is_told_and_brings_each_update_once_or_twice(
    standin: StandIn, unused_tcp_port: int
) -> None:
    visitor, script = standin.person(), Script()
    url = f"http://127.0.0.1:{unused_tcp_port}/coilbook"
    hook = Hook(url, "127.0.0.1", unused_tcp_port, SECRET)
    async with running(standin, script, MemoryVault(), hook=hook):
        await visitor.until(lambda: bool(standin.service.hook))
        assert standin.service.hook["secret_token"] == SECRET
        assert standin.service.hook["allowed_updates"] == ["message", "callback_query"]
        for text in ("one", "two", "three"):
            visitor.say(text)
        async with aiohttp.ClientSession() as session:
            for update in (*standin.unconfirmed, *reversed(standin.unconfirmed)):
                async with session.post(url, json=update, headers={HEADER: SECRET}) as answer:
                    assert answer.status == 200
        await visitor.gets(3)
        await asyncio.sleep(0.1)
    assert visitor.texts == ["one", "two", "three"]
    assert len(script.heard) == 3
    assert standin.made("getUpdates") == []
