"""The channel's library brought over the wire by a small client of its own: forms out, answers in.

The library's usual client looks through all its connections for every request, which costs more
than everything else that is done for a message. What it can and this one can't, files and proxies,
is still left to it.
"""

import asyncio
import ssl
from collections import deque
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from time import monotonic
from typing import Any
from urllib.parse import urlencode, urlsplit
from urllib.request import getproxies, proxy_bypass

import httpx
from telegram.error import NetworkError, TimedOut
from telegram.request import BaseRequest, HTTPXRequest, RequestData

CONNECT_S = 5.0
FRESH_S = 15.0  # a connection that was idle for longer is not trusted to be open still
MOST_HEAD = 64 * 1024  # bytes (house choice)
MOST_BODY = 32 * 1024 * 1024  # bytes; a hundred updates are far less (house choice)
END = b"\r\n\r\n"


@dataclass(frozen=True, slots=True)
class Connection:
    """A connection, and since when it is idle."""

    reader: asyncio.StreamReader
    writer: asyncio.StreamWriter
    since: float = 0.0

    @property
    def open(self) -> bool:
        """Whether it may be used again."""
        closed = self.reader.at_eof() or self.writer.is_closing()
        return not closed and monotonic() - self.since < FRESH_S


class Wire(BaseRequest):
    """Requests of the library to one address, over connections that are kept.

    Attributes:
        size: so many connections at most; who comes then waits.
    """

    def __init__(self, size: int, read_s: float) -> None:
        self._read_s = read_s
        self._size = size
        self._room = asyncio.Semaphore(size)
        self._idle: dict[tuple[str, str], deque[Connection]] = {}
        self._library: HTTPXRequest | None = None

    @property
    def read_timeout(self) -> float | None:
        """How long an answer may take, in seconds."""
        return self._read_s

    async def initialize(self) -> None:
        """Nothing: connections are made when they are needed."""

    async def shutdown(self) -> None:
        """Close what is open."""
        for kept in self._idle.values():
            while kept:
                kept.pop().writer.close()
        if self._library:
            await self._library.shutdown()
            self._library = None

    async def do_request(
        self,
        url: str,
        method: str,
        request_data: RequestData | None = None,
        read_timeout: Any = BaseRequest.DEFAULT_NONE,  # noqa: ANN401 - as the library has them
        write_timeout: Any = BaseRequest.DEFAULT_NONE,  # noqa: ANN401
        connect_timeout: Any = BaseRequest.DEFAULT_NONE,  # noqa: ANN401
        pool_timeout: Any = BaseRequest.DEFAULT_NONE,  # noqa: ANN401
    ) -> tuple[int, bytes]:
        """Status and body of the answer.

        Raises:
            NetworkError: there was none.
            TimedOut: there was none in time.
        """
        if (request_data and request_data.contains_files) or _proxied(urlsplit(url).netloc):
            library = self._library = self._library or await self._usual()
            return await library.do_request(
                url,
                method,
                request_data,
                read_timeout,
                write_timeout,
                connect_timeout,
                pool_timeout,
            )
        wait_s = read_timeout if isinstance(read_timeout, int | float) else self._read_s
        form = urlencode(request_data.json_parameters) if request_data else ""
        async with self._room:
            return await self._asked(method, url, form.encode(), wait_s)

    async def _usual(self) -> HTTPXRequest:
        library = HTTPXRequest(
            connection_pool_size=self._size, pool_timeout=None, read_timeout=self._read_s
        )
        await library.initialize()
        return library

    async def _asked(self, method: str, url: str, form: bytes, wait_s: float) -> tuple[int, bytes]:
        where = urlsplit(url)
        kept = self._idle.setdefault((where.scheme, where.netloc), deque())
        lines = (
            f"{method} {where.path}{'?' if where.query else ''}{where.query} HTTP/1.1",
            f"Host: {where.netloc}",
            f"User-Agent: {self.USER_AGENT}",
            "Content-Type: application/x-www-form-urlencoded",
            f"Content-Length: {len(form)}",
        )
        try:
            connection = await _connection(kept, where.scheme, where.hostname or "", where.port)
        except TimeoutError as fault:
            raise TimedOut from fault
        except OSError as fault:
            raise NetworkError(f"not connected: {type(fault).__name__}") from fault
        stays = False
        try:
            async with asyncio.timeout(wait_s):
                connection.writer.write("\r\n".join(lines).encode() + END + form)
                status, body, stays = await _answer(connection.reader)
        except TimeoutError as fault:
            raise TimedOut from fault
        except (OSError, EOFError, ValueError) as fault:
            raise NetworkError(f"no answer: {type(fault).__name__}") from fault
        finally:
            if stays:
                kept.append(Connection(connection.reader, connection.writer, monotonic()))
            else:
                connection.writer.close()
        return status, body


async def _connection(
    kept: deque[Connection], scheme: str, host: str, port: int | None
) -> Connection:
    """A connection that was kept, the latest used first, or a new one."""
    while kept:
        last = kept.pop()
        if last.open:
            return last
        last.writer.close()
    secure = scheme == "https"
    async with asyncio.timeout(CONNECT_S):
        reader, writer = await asyncio.open_connection(
            host, port or (443 if secure else 80), ssl=_trust() if secure else None, limit=MOST_HEAD
        )
    return Connection(reader, writer)


async def _answer(reader: asyncio.StreamReader) -> tuple[int, bytes, bool]:
    """Status, body, and whether the connection may be used again.

    Raises:
        EOFError: the connection was closed in between.
        ValueError: it is no answer as HTTP/1.1 has it (RFC 9112).
    """
    status = 100
    while 100 <= status < 200:  # what comes before the answer itself
        try:
            head = await reader.readuntil(END)
        except asyncio.LimitOverrunError:
            raise ValueError("a head without end") from None
        first, *lines = head[: -len(END)].decode("latin-1").split("\r\n")
        version, _, rest = first.partition(" ")
        if not version.startswith("HTTP/1."):
            raise ValueError("not HTTP/1")
        status = int(rest[:3])
    said = {}
    for line in lines:
        name, _, value = line.partition(":")
        said[name.strip().lower()] = value.strip()
    stays = version == "HTTP/1.1" and said.get("connection", "").lower() != "close"
    if status in (204, 304):
        return status, b"", stays
    if "chunked" in said.get("transfer-encoding", "").lower():
        return status, await _chunks(reader), stays
    if "content-length" in said:
        return status, await reader.readexactly(_size(int(said["content-length"]))), stays
    return status, await reader.read(MOST_BODY), False


async def _chunks(reader: asyncio.StreamReader) -> bytes:
    found = bytearray()
    while size := int((await reader.readuntil(b"\r\n")).partition(b";")[0], 16):
        _size(len(found) + size)
        found += await reader.readexactly(size)
        await reader.readexactly(2)
    while await reader.readuntil(b"\r\n") != b"\r\n":
        pass
    return bytes(found)


def _size(told: int) -> int:
    if not 0 <= told <= MOST_BODY:
        raise ValueError("too long")
    return told


@lru_cache
def _trust() -> ssl.SSLContext:
    """Whom we believe to be the channel: one for all connections, because making it is slow."""
    return httpx.create_ssl_context()


@lru_cache
def _proxied(netloc: str) -> bool:
    """Whether the way there leads over a proxy."""
    with suppress(OSError):
        return bool({"http", "https", "all"} & getproxies().keys()) and not proxy_bypass(netloc)
    return False
