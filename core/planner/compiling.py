"""Compiles the search's hot loop, `python -m core.planner.compiling`, where there is a C compiler.

The result goes into the folder of the Python environment; its name carries a digest of the source,
so a stale one is never loaded. Without it the search runs in Python, and less far.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

SOURCE = Path(__file__).with_name("anneal.c")
FLAGS = ("-O2", "-std=c11", "-shared", "-fPIC", "-ffp-contract=off")  # rounds as Python does


def compiled() -> Path:
    """Where the compiled loop of this source belongs."""
    digest = hashlib.sha256(SOURCE.read_bytes()).hexdigest()[:16]
    return Path(sys.prefix, "lib", "coilbook", f"anneal-{digest}.so")


def build() -> str:
    """Compile the loop, unless it is; what she should know of it."""
    target = compiled()
    if target.is_file():
        return ""
    compiler = shutil.which(os.environ.get("CC", "cc")) or shutil.which("gcc")
    if compiler is None:
        return "No C compiler was found: plans are searched for less far. All else is the same."
    target.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=target.parent, suffix=".so", delete=False) as part:
        made = Path(part.name)
    done = subprocess.run(  # noqa: S603 - the compiler of this machine, on our own source
        [compiler, *FLAGS, str(SOURCE), "-o", str(made)],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        made.unlink()
        return f"The C compiler failed: plans are searched for less far.\n{done.stderr.strip()}"
    made.chmod(0o755)  # readable by whoever runs the program
    made.replace(target)
    for old in target.parent.glob("anneal-*.so"):
        if old != target:
            old.unlink()
    return ""


if __name__ == "__main__":
    if said := build():
        sys.stderr.write(f"{said}\n")
