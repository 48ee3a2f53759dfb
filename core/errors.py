"""What can go wrong in the thinking part: questions that have no answer."""


class CoreError(Exception):
    """The question can't be answered; the message says why in plain words."""


class LibraryError(CoreError):
    """A library record is incomplete or contradicts itself."""


class SpringError(CoreError):
    """An apparatus can't be set as asked."""
