"""What lies beside the code is installed with it."""

import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[2]
READ_BY_PEOPLE = {"core/library/README.md"}  # never by the program


def test_everything_the_program_reads_is_in_its_package() -> None:
    config = tomllib.loads((ROOT / "pyproject.toml").read_text())
    patterns = config["tool"]["setuptools"]["package-data"]
    packed = {
        str(path.relative_to(ROOT))
        for package, globs in patterns.items()
        for each in globs
        for path in (ROOT / package).glob(each)
        if path.suffix != ".py"
    }
    beside = {
        str(path.relative_to(ROOT))
        for package in ("bot", "core", "storage")
        for path in (ROOT / package).rglob("*")
        if path.is_file() and path.suffix not in (".py", ".pyc", ".so")
    }
    assert beside - READ_BY_PEOPLE == packed
