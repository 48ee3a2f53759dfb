"""What tests of every height may ask for."""

import logging
import os
from collections.abc import Iterator

import pytest

from tests.databases import KINDS, Databases


@pytest.fixture(autouse=True)
def _logs_end_with_their_test() -> Iterator[None]:
    """A program started inside a test logs to what that test captures, which is closed after it."""
    root = logging.getLogger()
    before, level = list(root.handlers), root.level
    yield
    for handler in list(root.handlers):
        if handler not in before and not type(handler).__module__.startswith("_pytest"):
            root.removeHandler(handler)
    root.setLevel(level)


@pytest.fixture(scope="session")
def databases(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Databases]:
    """Where databases for tests come from."""
    own = tmp_path_factory.getbasetemp()
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own
    made = Databases(tmp_path_factory.mktemp("databases"), shared)
    yield made
    made.close()


@pytest.fixture(params=KINDS)
def kind(request: pytest.FixtureRequest) -> str:
    """Each kind of database in turn."""
    return str(request.param)
