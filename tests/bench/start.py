"""From start to ready, and memory when idle: the program as deployed, the channel on loopback.

Run as `python -m tests.bench.start`, with the number of starts after it. Ready is when `/ready`
says so:
the database is open, the worker at work, the channel has answered. The bars are 1.5 s and 110 MB.
"""

import asyncio
import os
import sys
import tempfile
import time
from pathlib import Path

import aiohttp

from storage.sql import SqlVault
from tests.bench.environment import environment, processor
from tests.e2e.standin.server import TOKEN, StandIn
from tests.e2e.test_health import free_port, until_ready

IDLE_S = 5.0
ASKED = "plan 45 reformer"  # a stranger, at the first start, gets a sentence


async def once(folder: Path, api: StandIn) -> tuple[float, float, float, float]:
    """Seconds to ready, of processor until then, megabytes when idle, and after a class plan."""
    port = free_port()
    started = time.perf_counter()
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "bot", "serve"),
        env=os.environ
        | {
            "COILBOOK_TOKEN": TOKEN,
            "COILBOOK_API_URL": api.url,
            "COILBOOK_DB": str(folder / "coilbook.db"),
            "COILBOOK_HEALTH_PORT": str(port),
            "NO_PROXY": "127.0.0.1",
        },
        stdout=asyncio.subprocess.DEVNULL,
    )
    try:
        async with aiohttp.ClientSession() as session:
            await until_ready(session, f"http://127.0.0.1:{port}", 0.005)
            ready = time.perf_counter() - started
            spent = processor(process.pid)
            await asyncio.sleep(IDLE_S)
            idle = memory(process.pid)
            visitor = api.person()
            before = len(visitor.texts)
            visitor.say(ASKED)
            await visitor.until(lambda: len(visitor.texts) > before, within=60)
            await asyncio.sleep(IDLE_S)
            return ready, spent, idle, memory(process.pid)
    finally:
        process.terminate()
        await process.wait()


def memory(pid: int) -> float:
    """Megabytes of memory that a process holds."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    line = next(line for line in status.splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1]) / 1000


async def main(times: int) -> None:
    """Print the first start, which makes the database, and the best and worst of the others."""
    with tempfile.TemporaryDirectory() as place:
        async with StandIn() as api:
            first = await once(Path(place), api)
            vault = SqlVault(f"sqlite:///{place}/coilbook.db")
            vault.admit(f"telegram:{api.person().chat}", "Europe/Lisbon")
            vault.close()
            rest = [await once(Path(place), api) for _ in range(times)]
    print(environment())
    print("                 ready s   processor s   idle MB   after a plan")
    for name, (ready, spent, idle, later) in (
        ("first (migrates)", first),
        ("best", tuple(min(column) for column in zip(*rest, strict=True))),
        ("worst", tuple(max(column) for column in zip(*rest, strict=True))),
    ):
        print(f"{name:17}{ready:7.2f}   {spent:11.2f}   {idle:7.1f}   {later:12.1f}")


if __name__ == "__main__":
    asyncio.run(main(int(sys.argv[1]) if len(sys.argv) > 1 else 5))
