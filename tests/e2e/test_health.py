"""The program as it is deployed, watched from outside."""

import asyncio
import json
import os
import socket
import sys
from pathlib import Path

import aiohttp

from tests.databases import raw
from tests.e2e.standin.server import TOKEN, StandIn

START_S = 120.0


def free_port() -> int:
    """A port that nobody has."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])


async def until_ready(session: aiohttp.ClientSession, address: str, pause_s: float = 0.02) -> None:
    """Ask until it is ready."""
    async with asyncio.timeout(START_S):
        while True:
            try:
                async with session.get(f"{address}/ready") as answer:
                    if answer.status == 200:
                        return
            except aiohttp.ClientConnectionError:
                pass
            await asyncio.sleep(pause_s)


async def test_it_is_ready_counts_what_it_does_and_tells_nobody_outside(
    standin: StandIn, tmp_path: Path
) -> None:
    port = free_port()
    address = f"http://127.0.0.1:{port}"
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "bot", "serve"),
        env=os.environ
        | {
            "COILBOOK_TOKEN": TOKEN,
            "COILBOOK_API_URL": standin.url,
            "COILBOOK_DB": str(tmp_path / "coilbook.db"),
            "COILBOOK_HEALTH_PORT": str(port),
            "COILBOOK_LOG": "json",
        },
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.PIPE,
    )
    stranger = standin.person(2)
    try:
        async with aiohttp.ClientSession() as session:
            await until_ready(session, address)
            stranger.say("Quibblezax")
            await stranger.until(lambda: len(stranger.messages) == 1, within=START_S)
            async with session.get(f"{address}/metrics") as answer:
                assert answer.content_type == "text/plain"
                text = await answer.text()
            assert 'coilbook_messages_total{command="none",fault="Stranger"} 1.0' in text
            assert "Quibblezax" not in text
            assert "coilbook_inbox_waiting 0.0" in text
            raw(
                f"sqlite:///{tmp_path / 'coilbook.db'}",
                "UPDATE alembic_version SET version_num = 9",
            )
            async with session.get(f"{address}/ready") as answer:
                assert answer.status == 503
                assert await answer.text() == "database: not of this version\n"
            async with session.get(f"{address}/live") as answer:
                assert await answer.text() == "live\n"
    finally:
        process.terminate()
        _, errors = await asyncio.wait_for(process.communicate(), 20)
    assert process.returncode == 0
    for line in errors.decode().splitlines():
        assert json.loads(line)["level"] in ("warning", "error")
        assert "Quibblezax" not in line
