"""The program's processes: started, killed, started again."""

import asyncio
import os
import signal
import sys
from asyncio.subprocess import DEVNULL, Process
from dataclasses import dataclass, field
from pathlib import Path

from tests.bench.soak.channel import SECRET, TOKEN

STOP_S = 20.0


@dataclass
class Fleet:
    """Workers on one database.

    Attributes:
        ports: one a worker where updates are brought; without any, one worker asks for them.
        sends: letters under way at the same time, in each.
    """

    db: str
    key: str
    api: str
    log: Path
    ports: list[int] = field(default_factory=list)
    sends: int = 16
    running: list[Process] = field(default_factory=list)

    async def start(self) -> None:
        """All of them."""
        for place in range(max(1, len(self.ports))):
            self.running.append(await self._one(place))

    async def kill(self, place: int) -> None:
        """One of them, at once, and another in its place."""
        process = self.running[place]
        process.send_signal(signal.SIGKILL)
        await process.wait()
        self.running[place] = await self._one(place)

    async def stop(self) -> list[int | None]:
        """All of them, kindly; what they say at the end."""
        for process in self.running:
            process.terminate()
        for process in self.running:
            await asyncio.wait_for(process.wait(), STOP_S)
        return [process.returncode for process in self.running]

    async def _one(self, place: int) -> Process:
        environment = os.environ | {
            "COILBOOK_TOKEN": TOKEN,
            "COILBOOK_API_URL": self.api,
            "COILBOOK_DB": self.db,
            "COILBOOK_KEY": self.key,
            "COILBOOK_LIMIT": "1000000",
            "COILBOOK_PACE": "3000",
            "COILBOOK_PACE_CHAT": "1000",
            "COILBOOK_SENDS": str(self.sends),
            "NO_PROXY": "127.0.0.1",
            "no_proxy": "127.0.0.1",
        }
        if self.ports:
            port = self.ports[place]
            environment |= {
                "COILBOOK_WEBHOOK_URL": f"http://127.0.0.1:{port}/coilbook",
                "COILBOOK_WEBHOOK_LISTEN": f"127.0.0.1:{port}",
                "COILBOOK_WEBHOOK_SECRET": SECRET,
            }
        with self.log.open("ab") as log:
            return await asyncio.create_subprocess_exec(
                *(sys.executable, "-m", "bot", "serve"), env=environment, stdout=DEVNULL, stderr=log
            )
