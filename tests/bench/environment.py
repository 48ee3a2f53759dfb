"""Where a benchmark ran: a figure without its machine says nothing."""

import os
import platform
import subprocess
from collections.abc import Sequence
from pathlib import Path


def environment() -> str:
    """Processor, cores, load, Python and commit, on one line."""
    load = f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "?"
    return (
        f"{_processor()}, {os.cpu_count()} cores, load {load}, "
        f"Python {platform.python_version()}, commit {_commit()}"
    )


def share(sorted_values: Sequence[float], part: float) -> float:
    """The value below which this part of the sorted values lies (the nearest rank)."""
    return sorted_values[min(len(sorted_values) - 1, int(part * len(sorted_values)))]


def spread(values: Sequence[float]) -> str:
    """p50, p95 and maximum in a fixed width."""
    ranked = sorted(values)
    return f"{share(ranked, 0.5):8.1f} {share(ranked, 0.95):8.1f} {ranked[-1]:8.1f}"


def processor(pid: int) -> float:
    """Seconds of processor that a process has used."""
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _processor() -> str:
    info = Path("/proc/cpuinfo")
    if info.exists():
        for line in info.read_text(encoding="utf-8").splitlines():
            if line.startswith("model name"):
                return line.partition(":")[2].strip()
    return platform.processor() or platform.machine()


def _commit() -> str:
    try:
        asked = ["git", "describe", "--always", "--dirty"]
        return subprocess.run(asked, capture_output=True, check=True, text=True).stdout.strip()
    except (OSError, subprocess.CalledProcessError):
        return "unknown"
