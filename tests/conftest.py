"""What tests of every height may ask for."""

import os
from collections.abc import Iterator

import pytest

from tests.databases import KINDS, Databases


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
