"""The threads behind the door: for thinking, and, apart, for the post, which must never wait."""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from typing import ParamSpec, TypeVar

from bot.channel import AT_ONCE

AT_THE_POST = 4  # threads; the database lets one of them write at a time (house choice)

P = ParamSpec("P")
T = TypeVar("T")


class Threads:
    """Runs what takes time beside the loop."""

    def __init__(self) -> None:
        self._thinking = ThreadPoolExecutor(AT_ONCE, "answer")
        self._posting = ThreadPoolExecutor(AT_THE_POST, "post")

    async def think(self, call: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """What the call brings."""
        return await _in(self._thinking, partial(call, *args, **kwargs))

    async def post(self, call: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """What the call brings."""
        return await _in(self._posting, partial(call, *args, **kwargs))

    def close(self) -> None:
        """Take nothing more; what runs is not waited for."""
        self._thinking.shutdown(wait=False)
        self._posting.shutdown(wait=False)


async def _in(pool: ThreadPoolExecutor, call: Callable[[], T]) -> T:
    return await asyncio.get_running_loop().run_in_executor(pool, call)
