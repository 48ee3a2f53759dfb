"""What can go wrong with the store: it is unfit, and nothing the sender did caused it."""

BUSY_S = 10  # how long to wait for somebody else's transaction (house choice)


class StorageError(Exception):
    """The store can't do its work; the message says why in plain words, without user content."""


class OpenError(StorageError):
    """The database can't be opened."""


class NewerError(StorageError):
    """The database was made by a newer version of the program."""


class OlderError(StorageError):
    """The database has not been brought up to this version of the program."""


class BusyError(StorageError):
    """Somebody else has held the data for too long."""


class StrangerError(StorageError):
    """There is no instructor of this number."""
