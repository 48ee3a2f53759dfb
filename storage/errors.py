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


class HeldError(StorageError):
    """Another program is at work on the database, and there may be one only."""


class TakenError(StorageError):
    """Somebody else has done it, or changed what it hangs on; nothing of this has been done."""


class StrangerError(StorageError):
    """There is no instructor of this number, or she is no longer let in."""


class NobodyError(StorageError):
    """The instructor has no client of this number."""


class KeyMissingError(StorageError):
    """What is kept about people can't be read or written without its key."""


class KeyFileError(StorageError):
    """The file of the keys, or the text of them, can't be used."""


class SealError(StorageError):
    """A sealed field was changed outside the program, or is not where it was sealed.

    Attributes:
        table, column, row: where the field stands.
    """

    def __init__(self, table: str, column: str, row: int | str, why: str) -> None:
        super().__init__(f"{table} {row}: its {column} can't be read, {why}")
        self.table = table
        self.column = column
        self.row = row
