"""The program as it is deployed: its own process, its own database, the channel on loopback."""

import asyncio
import os
import re
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from tests.e2e.standin.person import Person
from tests.e2e.standin.server import TOKEN, StandIn

START_S = 60.0  # a busy machine plans slowly


@asynccontextmanager
async def served(api: StandIn, folder: Path) -> AsyncIterator[asyncio.subprocess.Process]:
    """The program serving, stopped as a service manager stops it."""
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "bot", "serve"),
        env=os.environ
        | {
            "COILBOOK_TOKEN": TOKEN,
            "COILBOOK_API_URL": api.url,
            "COILBOOK_DB": str(folder / "coilbook.db"),
            "COILBOOK_TZ": "Europe/Lisbon",
        },
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.PIPE,
    )
    try:
        yield process
    finally:
        process.terminate()
        _, errors = await asyncio.wait_for(process.communicate(), 15)
        assert (process.returncode, errors) == (0, b"")


async def answered(person: Person, count: int) -> str:
    """The text of her latest message, once there are so many."""
    await person.until(lambda: len(person.messages) >= count, within=START_S)
    return person.texts[-1]


async def test_from_a_code_to_a_plan_that_outlives_a_restart(
    standin: StandIn, tmp_path: Path
) -> None:
    visitor, stranger = standin.person(1), standin.person(2)
    async with served(standin, tmp_path) as process:
        assert process.stdout
        line = (await asyncio.wait_for(process.stdout.readline(), START_S)).decode()
        code = re.findall(r"[\w-]{16}", line)[-1]
        stranger.say("plan 45 chair")
        assert "code" in await answered(stranger, 1)
        visitor.say(f"/start {code}")
        await answered(visitor, 1)
        visitor.say("/plan@planner_bot 45 chair intermediate")
        first = await answered(visitor, 2)
        assert first.startswith("45 min chair")
        query = visitor.tap("Another")
        await visitor.until(lambda: visitor.texts[1] != first, within=START_S)
        assert visitor.answered(query)
        second = visitor.texts[1]
        assert second.startswith("45 min chair")
        assert len(visitor.messages) == 2
    assert len(stranger.messages) == 1
    assert "plan" in dict(standin.service.menu)
    async with served(standin, tmp_path):
        visitor.say("/show")
        assert await answered(visitor, 3) == second
