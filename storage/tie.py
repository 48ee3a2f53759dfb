"""What the parts of a store share inside one transaction: its connection, and a session over it."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection
from sqlmodel import Session

from storage.cover import Cover


class Tie:
    """One transaction.

    A session costs as much as several statements, and most messages need none: it is made when
    something first asks for rows as objects.
    """

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self._session: Session | None = None

    @property
    def session(self) -> Session:
        """A session over the connection."""
        if self._session is None:
            # Once closed, a session stays closed: a store kept too long fails instead of writing.
            self._session = Session(self.connection, close_resets_only=False)
        return self._session

    def flush(self) -> None:
        """Write what the session holds back, so that statements after it see it."""
        if self._session is not None:
            self._session.flush()

    @contextmanager
    def held(self) -> Iterator["Tie"]:
        """This, written to its end where the block ends well, and closed then."""
        try:
            yield self
            self.flush()
        finally:
            if self._session is not None:
                self._session.close()


class Tied:
    """A part of a store, on its transaction."""

    def __init__(self, tie: Tie, owner: int, cover: Cover) -> None:
        self._tie = tie
        self._connection = tie.connection
        self._owner = owner
        self._cover = cover

    @property
    def _session(self) -> Session:
        return self._tie.session
