"""The small server: it answers what is plain, and refuses the rest within its limits."""

import asyncio
import logging
from collections.abc import AsyncIterator
from http import HTTPStatus

import aiohttp
import pytest

from bot import serving
from bot.serving import Request, Response

GET = b"GET /live HTTP/1.1\r\nHost: x\r\n"


async def echo(request: Request) -> Response:
    """What was asked, back."""
    if request.path == "/fail":
        raise LookupError("her secret")
    return Response(body=f"{request.method} {request.path} ".encode() + request.body)


@pytest.fixture
async def port() -> AsyncIterator[int]:
    """The port of a server that answers with what was asked."""
    async with serving.serving(echo, 0, most_body=1000) as port:
        yield port


async def said(port: int, *pieces: bytes) -> bytes:
    """All that comes back for these bytes until the server hangs up."""
    reader, writer = await asyncio.open_connection(serving.LOOPBACK, port)
    try:
        for piece in pieces:
            writer.write(piece)
            await writer.drain()
        return await asyncio.wait_for(reader.read(), 20)
    finally:
        writer.close()
        await writer.wait_closed()


async def test_a_client_of_the_world_is_answered_on_one_connection(port: int) -> None:
    address = f"http://127.0.0.1:{port}"
    async with aiohttp.ClientSession(connector=aiohttp.TCPConnector(limit=1)) as session:
        for _ in range(3):
            async with session.post(f"{address}/hook?x=1", data=b"x" * 1000) as answer:
                assert answer.status == 200
                assert await answer.read() == b"POST /hook " + b"x" * 1000
        async with session.head(f"{address}/live") as answer:
            assert (answer.status, answer.headers["Content-Length"]) == (200, "11")
        async with session.get(f"{address}/live") as answer:
            assert await answer.text() == "GET /live "


async def test_a_request_in_pieces_is_one(port: int) -> None:
    text = b"POST /a HTTP/1.1\r\nContent-Length: 4\r\nConnection: close\r\n\r\nabcd"
    whole = await said(port, *(text[at : at + 1] for at in range(len(text))))
    assert whole.endswith(b"POST /a abcd")


async def test_whoever_asks_first_is_told_to_go_on(port: int) -> None:
    text = b"POST /a HTTP/1.1\r\nContent-Length: 1\r\nExpect: 100-continue\r\nConnection: close\r\n"
    assert (await said(port, text + b"\r\nx")).startswith(serving.CONTINUE + b"HTTP/1.1 200")


@pytest.mark.parametrize(
    ("text", "status"),
    [
        (b"nonsense\r\n\r\n", 400),
        (b"GET live HTTP/1.1\r\n\r\n", 400),
        (b"GET  /live HTTP/1.1\r\n\r\n", 400),
        (b"G3T /live HTTP/1.1\r\n\r\n", 400),
        (b"GET /l\xc3\xa9 HTTP/1.1\r\n\r\n", 400),
        (b"GET /live HTTP/2\r\n\r\n", 505),
        (GET + b"Host: y\r\n\r\n", 400),
        (GET + b"Odd : y\r\n\r\n", 400),
        (GET + b" folded\r\n\r\n", 400),
        (GET + b"Content-Length: -1\r\n\r\n", 400),
        (GET + b"Content-Length: 1_0\r\n\r\n", 400),
        (GET + b"Content-Length: 1001\r\n\r\n", 413),
        (GET + b"Content-Length: " + b"9" * 5000 + b"\r\n\r\n", 413),
        (GET + b"Transfer-Encoding: chunked\r\n\r\n", 501),
        (GET + b"X: " + b"x" * 9000 + b"\r\n\r\n", 431),
        (b"GET /fail HTTP/1.1\r\nConnection: close\r\n\r\n", 500),
        (b"GET /live HTTP/1.0\r\n\r\n", 200),
    ],
)
async def test_what_is_odd_is_refused_and_cut_off(port: int, text: bytes, status: int) -> None:
    answer = await said(port, text)
    assert answer.startswith(f"HTTP/1.1 {status} {HTTPStatus(status).phrase}\r\n".encode())
    assert b"\r\nConnection: close\r\n" in answer


async def test_what_goes_wrong_is_logged_without_its_words(
    port: int, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    await said(port, b"GET /fail HTTP/1.0\r\n\r\n")
    assert "LookupError" in caplog.text
    assert "secret" not in caplog.text


async def test_whoever_dawdles_is_cut_off(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "ARRIVE_S", 0.05)
    assert (await said(port, GET)).startswith(b"HTTP/1.1 408")
    assert (await said(port, GET + b"Content-Length: 5\r\n\r\nabc")).startswith(b"HTTP/1.1 408")
    monkeypatch.setattr(serving, "IDLE_S", 0.05)
    assert await said(port) == b""


async def test_only_so_many_are_let_in(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "AT_ONCE", 1)
    _, waiting = await asyncio.open_connection(serving.LOOPBACK, port)
    try:
        await asyncio.sleep(0.05)
        assert (await said(port, GET + b"\r\n")).startswith(b"HTTP/1.1 503")
    finally:
        waiting.close()
        await waiting.wait_closed()


async def test_closing_waits_for_an_answer_and_not_for_the_idle() -> None:
    going = asyncio.Event()

    async def slow(request: Request) -> Response:
        going.set()
        await asyncio.sleep(0.1)
        return await echo(request)

    async with serving.serving(slow, 0) as port:
        _, idle = await asyncio.open_connection(serving.LOOPBACK, port)
        asked = asyncio.create_task(said(port, GET + b"Connection: close\r\n\r\n"))
        await going.wait()
    assert (await asked).endswith(b"GET /live ")
    idle.close()
    await idle.wait_closed()
