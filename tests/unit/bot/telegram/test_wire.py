"""The small client: answers of every form, connections kept, faults in the library's words."""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager

import pytest
from telegram.error import BadRequest, NetworkError, TimedOut

from bot.telegram.wire import Wire

FINE = b'{"ok": true, "result": 1}'
PLAIN = b"HTTP/1.1 200 OK\r\nContent-Length: %d\r\n\r\n%s" % (len(FINE), FINE)
Talk = Callable[[asyncio.StreamReader, asyncio.StreamWriter], Awaitable[None]]


@pytest.fixture(autouse=True)
def no_proxy(monkeypatch: pytest.MonkeyPatch) -> None:
    """Loopback only."""
    monkeypatch.setenv("no_proxy", "127.0.0.1")


@asynccontextmanager
async def served(talk: Talk) -> AsyncIterator[str]:
    """An address where this is talked on every connection."""

    async def enter(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        try:
            await talk(reader, writer)
        except (ConnectionError, asyncio.IncompleteReadError):
            pass
        finally:
            writer.close()

    server = await asyncio.start_server(enter, "127.0.0.1", 0)
    async with server:
        yield f"http://127.0.0.1:{server.sockets[0].getsockname()[1]}/call"


async def asked(reader: asyncio.StreamReader) -> str:
    """The head of the next request."""
    return (await reader.readuntil(b"\r\n\r\n")).decode()


def saying(*answers: bytes) -> Talk:
    """One connection, one answer a request."""

    async def talk(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        for answer in answers:
            await asked(reader)
            writer.write(answer)

    return talk


@pytest.mark.parametrize(
    "answer",
    [
        PLAIN,
        b"HTTP/1.1 100 Continue\r\n\r\n" + PLAIN,
        b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n5;x=y\r\n"
        + FINE[:5]
        + b"\r\n%x\r\n" % (len(FINE) - 5)
        + FINE[5:]
        + b"\r\n0\r\nTrailer: x\r\n\r\n",
        b"HTTP/1.0 200 OK\r\n\r\n" + FINE,
    ],
    ids=["plain", "continued", "chunked", "until closed"],
)
async def test_answers_of_every_form_are_read(answer: bytes) -> None:
    wire = Wire(1, 5.0)
    async with served(saying(answer)) as url:
        assert await wire.post(url) == 1
    await wire.shutdown()


async def test_a_connection_is_kept_and_used_again() -> None:
    heads, connections = [], []

    async def talk(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        connections.append(writer)
        while True:
            heads.append(await asked(reader))
            writer.write(PLAIN)

    wire = Wire(4, 5.0)
    async with served(talk) as url:
        for _ in range(3):
            await wire.post(url)
        await wire.shutdown()
    assert len(connections) == 1
    assert len(heads) == 3
    assert heads[0].startswith("POST /call HTTP/1.1\r\nHost: 127.0.0.1:")


async def test_a_connection_closed_meanwhile_is_made_anew() -> None:
    wire = Wire(1, 5.0)
    async with served(saying(PLAIN)) as url:
        await wire.post(url)
        await asyncio.sleep(0.05)
        assert await wire.post(url) == 1
        await wire.shutdown()


async def test_no_more_connections_than_said() -> None:
    at_once, most = 0, 0

    async def talk(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        nonlocal at_once, most
        while True:
            await asked(reader)
            at_once += 1
            most = max(most, at_once)
            await asyncio.sleep(0.01)
            at_once -= 1
            writer.write(PLAIN)

    wire = Wire(2, 5.0)
    async with served(talk) as url:
        await asyncio.gather(*(wire.post(url) for _ in range(10)))
        await wire.shutdown()
    assert most == 2


@pytest.mark.parametrize(
    "answer",
    [
        b"",
        b"HTTP/1.1 200 OK\r\nContent-Length: 99\r\n\r\n{",
        b"something else altogether\r\n\r\n",
        b"HTTP/1.1 200 OK\r\nContent-Length: 99999999999\r\n\r\n",
        b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
    ],
    ids=["dropped", "cut short", "no answer", "too long", "bad chunk"],
)
async def test_what_is_no_answer_is_a_fault_of_the_network(answer: bytes) -> None:
    wire = Wire(1, 5.0)
    async with served(saying(answer)) as url:
        with pytest.raises(NetworkError) as told:
            await wire.post(url)
    assert not isinstance(told.value, TimedOut | BadRequest)
    await wire.shutdown()


async def test_nobody_there_is_a_fault_of_the_network() -> None:
    with pytest.raises(NetworkError):
        await Wire(1, 5.0).post("http://127.0.0.1:9/call")


async def test_an_answer_that_takes_too_long_is_given_up_and_its_connection_with_it() -> None:
    count = 0

    async def talk(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        nonlocal count
        count += 1
        await asked(reader)
        if count == 1:
            await asyncio.sleep(5)
        writer.write(PLAIN)

    wire = Wire(1, 0.1)
    async with served(talk) as url:
        with pytest.raises(TimedOut):
            await wire.post(url)
        assert await wire.post(url, read_timeout=5.0) == 1
        await wire.shutdown()
