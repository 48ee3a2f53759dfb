"""What can go wrong in the thinking part: questions that have no answer."""


class CoreError(Exception):
    """The question can't be answered; the message says why in plain words."""


class LibraryError(CoreError):
    """A library record is incomplete or contradicts itself."""


class SpringError(CoreError):
    """An apparatus can't be set as asked."""


class OverstretchError(CoreError):
    """A spring would be pulled so far that it stays longer."""


class ReadingError(CoreError):
    """A scale reading can't be true of a spring."""


class CadenceError(CoreError):
    """A wall time, zone or rule of recurrence that can't be."""
