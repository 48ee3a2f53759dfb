"""Whether the program lives and can do its work, told on loopback; and its metrics.

`/live` says that it runs at all, `/ready` that it can answer messages now and why not, `/metrics`
what it has done. Nothing in them comes from what anybody has written.
"""

import asyncio
import logging
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from http import HTTPStatus
from time import monotonic

from bot.serving import Request, Response, serving

LOG = logging.getLogger(__name__)
WORKER = {"worker": 15.0}  # within how many seconds each part gives a sign of life: it looks for
CHANNEL = {"channel": 90.0}  # work twice a second; an empty answer of the channel takes twenty
CHECK_S = 2.0  # a database that takes longer is not ready
METRICS = "text/plain; version=0.0.4; charset=utf-8"


@dataclass
class Pulse:
    """Signs of life of what runs for ever; each part is to give one within its time.

    Attributes:
        within: seconds by part.
    """

    within: Mapping[str, float]
    clock: Callable[[], float] = monotonic
    _last: dict[str, float] = field(default_factory=dict)

    def beat(self, part: str) -> None:
        """Note that a part is alive."""
        self._last[part] = self.clock()

    def still(self) -> list[str]:
        """Parts that have given no sign for too long, or never any."""
        now = self.clock()
        never = float("-inf")
        return [
            part for part, most in self.within.items() if now - self._last.get(part, never) > most
        ]


@dataclass(frozen=True)
class Health:
    """What is told.

    Attributes:
        port: where on loopback; 0 for any that is free.
        current: whether the database is reached and has the shape this program wants.
        metrics: the metrics as text.
        pulse: signs of life.
    """

    port: int
    current: Callable[[], bool]
    metrics: Callable[[], bytes]
    pulse: Pulse

    @asynccontextmanager
    async def told(self) -> AsyncIterator[int]:
        """The port on which it is told while the block lasts."""
        async with serving(self.answer, self.port, most_body=0) as bound:
            yield bound

    def beat(self, part: str) -> None:
        """Take a sign of life."""
        self.pulse.beat(part)

    async def answer(self, request: Request) -> Response:
        """The answer to a request."""
        if request.path not in ("/live", "/ready", "/metrics"):
            return Response(HTTPStatus.NOT_FOUND)
        if request.method not in ("GET", "HEAD"):
            return Response(HTTPStatus.METHOD_NOT_ALLOWED)
        match request.path:
            case "/live":
                return Response(body=b"live\n")
            case "/ready":
                return await self._ready()
            case _:
                text = await asyncio.wait_for(asyncio.to_thread(self.metrics), 2 * CHECK_S)
                return Response(body=text, kind=METRICS)

    async def _ready(self) -> Response:
        wrong = [f"{part}: no sign of life" for part in self.pulse.still()]
        try:
            if not await asyncio.wait_for(asyncio.to_thread(self.current), CHECK_S):
                wrong.append("database: not of this version")
        except TimeoutError:
            wrong.append("database: slow")
        except Exception as error:
            LOG.warning("the database is not ready: %s", type(error).__name__)
            wrong.append("database: out of reach")
        if wrong:
            body = "".join(f"{line}\n" for line in wrong).encode()
            return Response(HTTPStatus.SERVICE_UNAVAILABLE, body)
        return Response(body=b"ready\n")
