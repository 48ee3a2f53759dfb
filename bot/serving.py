"""A very small HTTP server for loopback: one function answers, everything is limited.

It stands behind a reverse proxy (webhook) or beside a watcher of the machine (health), so it knows
no TLS, no compression, no chunks and no files. What is odd is refused and the connection closed.
"""

import asyncio
import logging
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from http import HTTPStatus

LOG = logging.getLogger(__name__)
LOOPBACK = "127.0.0.1"
HEAD_BYTES = 8192  # request line and headers
BODY_BYTES = 65_536
ARRIVE_S = 10.0  # from the first byte of a request to its last
IDLE_S = 75.0  # between two requests; proxies keep connections for about a minute
LINGER_BYTES, LINGER_S = 262_144, 1.0  # of a refused request that are still taken in
AT_ONCE = 64  # connections; one more is told to come again
END = b"\r\n\r\n"
CONTINUE = b"HTTP/1.1 100 Continue\r\n\r\n"


@dataclass(frozen=True, slots=True)
class Request:
    """What was asked.

    Attributes:
        path: without what follows a question mark.
        headers: by name in small letters.
    """

    method: str
    path: str
    headers: Mapping[str, str]
    body: bytes = b""


@dataclass(frozen=True, slots=True)
class Response:
    """What is answered."""

    status: HTTPStatus = HTTPStatus.OK
    body: bytes = b""
    kind: str = "text/plain; charset=utf-8"


Answer = Callable[[Request], Awaitable[Response]]


class _RefusedError(Exception):
    """A request that is not answered.

    Attributes:
        status: why.
    """

    def __init__(self, status: HTTPStatus) -> None:
        super().__init__(status.phrase)
        self.status = status


@asynccontextmanager
async def serving(
    answer: Answer, port: int, host: str = LOOPBACK, *, most_body: int = BODY_BYTES
) -> AsyncIterator[int]:
    """The port on which requests are answered while the block lasts.

    Args:
        answer: what answers a request; its exceptions are a 500 and logged by type.
        port: where; 0 for any that is free.
        host: on which address; nobody from outside should reach it.
        most_body: bytes of a request's body.

    Raises:
        OSError: the port can't be had.
    """
    door = _Door(answer, most_body)
    server = await asyncio.start_server(door.enter, host, port, limit=HEAD_BYTES)
    try:
        yield server.sockets[0].getsockname()[1]
    finally:
        server.close()
        await door.close()


class _Door:
    """The connections that are open."""

    def __init__(self, answer: Answer, most_body: int) -> None:
        self._answer = answer
        self._most_body = most_body
        self._inside: set[asyncio.Task[None]] = set()
        self._answering: set[asyncio.Task[None]] = set()  # of these, who is not merely idle

    async def enter(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """See to a connection until it ends."""
        task = asyncio.current_task()
        assert task is not None
        self._inside.add(task)
        try:
            if len(self._inside) > AT_ONCE:
                _write(writer, Response(HTTPStatus.SERVICE_UNAVAILABLE), keep=False)
                await _linger(reader, writer)
            else:
                while await self._one(reader, writer, task):
                    pass
        except (ConnectionError, TimeoutError, asyncio.CancelledError):
            pass  # they have left, or we are closing
        finally:
            self._inside.discard(task)
            self._answering.discard(task)
            writer.close()
            with suppress(ConnectionError, asyncio.CancelledError):
                await writer.wait_closed()

    async def close(self) -> None:
        """End what is idle, and wait for what is being answered."""
        for task in self._inside - self._answering:
            task.cancel()
        if self._inside:
            await asyncio.wait(set(self._inside), timeout=ARRIVE_S)

    async def _one(
        self,
        reader: asyncio.StreamReader,
        writer: asyncio.StreamWriter,
        task: "asyncio.Task[None]",
    ) -> bool:
        """Whether there may be another request on this connection."""
        first = await asyncio.wait_for(reader.read(1), IDLE_S)
        if not first:
            return False
        self._answering.add(task)
        try:
            async with asyncio.timeout(ARRIVE_S):
                request, keep = await self._read(first, reader, writer)
            response = await self._answered(request)
        except TimeoutError:
            request, keep, response = None, False, Response(HTTPStatus.REQUEST_TIMEOUT)
        except _RefusedError as refused:
            request, keep, response = None, False, Response(refused.status)
        except asyncio.IncompleteReadError:
            return False
        _write(writer, response, keep=keep, bare=request is not None and request.method == "HEAD")
        await writer.drain()
        self._answering.discard(task)
        if request is None:
            await _linger(reader, writer)
        return keep

    async def _read(
        self, first: bytes, reader: asyncio.StreamReader, writer: asyncio.StreamWriter
    ) -> tuple[Request, bool]:
        try:
            head = first + await reader.readuntil(END)
        except asyncio.LimitOverrunError:
            raise _RefusedError(HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE) from None
        request, version = _parsed(head[: -len(END)])
        length = _length(request.headers, self._most_body)
        if length and request.headers.get("expect", "").lower() == "100-continue":
            writer.write(CONTINUE)
        body = await reader.readexactly(length)
        wish = request.headers.get("connection", "").lower()
        keep = wish != "close" if version == "HTTP/1.1" else wish == "keep-alive"
        return Request(request.method, request.path, request.headers, body), keep

    async def _answered(self, request: Request) -> Response:
        try:
            return await self._answer(request)
        except Exception as error:
            LOG.error("a request failed: %s", type(error).__name__)
            return Response(HTTPStatus.INTERNAL_SERVER_ERROR)


async def _linger(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    """Take in a little of what still comes: closing before it would take our answer away again."""
    writer.write_eof()
    left = LINGER_BYTES
    with suppress(TimeoutError):
        async with asyncio.timeout(LINGER_S):
            while left > 0 and (more := await reader.read(HEAD_BYTES)):
                left -= len(more)


def _parsed(head: bytes) -> tuple[Request, str]:
    """What the head of a request says, and in which version of the protocol."""
    try:
        first, *lines = head.decode("ascii").split("\r\n")
    except UnicodeDecodeError:
        raise _RefusedError(HTTPStatus.BAD_REQUEST) from None
    words = first.split(" ")
    if len(words) != 3 or not words[0].isalpha() or not words[1].startswith("/"):
        raise _RefusedError(HTTPStatus.BAD_REQUEST)
    method, target, version = words
    if version not in ("HTTP/1.1", "HTTP/1.0"):
        raise _RefusedError(HTTPStatus.HTTP_VERSION_NOT_SUPPORTED)
    headers: dict[str, str] = {}
    for line in lines:
        name, colon, value = line.partition(":")
        name = name.lower()
        # A space before the colon, a folded line, a name given twice: ways to be read differently.
        if not colon or not name.replace("-", "").replace("_", "").isalnum() or name in headers:
            raise _RefusedError(HTTPStatus.BAD_REQUEST)
        headers[name] = value.strip()
    return Request(method, target.partition("?")[0], headers), version


def _length(headers: Mapping[str, str], most: int) -> int:
    if "transfer-encoding" in headers:
        raise _RefusedError(HTTPStatus.NOT_IMPLEMENTED)
    said = headers.get("content-length", "0")
    if not (said.isascii() and said.isdigit()):
        raise _RefusedError(HTTPStatus.BAD_REQUEST)
    if len(said) > 12 or int(said) > most:
        raise _RefusedError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
    return int(said)


def _write(
    writer: asyncio.StreamWriter, response: Response, *, keep: bool, bare: bool = False
) -> None:
    lines = (
        f"HTTP/1.1 {response.status.value} {response.status.phrase}",
        f"Content-Type: {response.kind}",
        f"Content-Length: {len(response.body)}",
        f"Connection: {'keep-alive' if keep else 'close'}",
    )
    writer.write("\r\n".join(lines).encode() + END + (b"" if bare else response.body))
