"""The libraries' log without what people wrote: they log updates and addresses with the token."""

import logging

LOG = logging.getLogger(__name__)


class _Facts(logging.Handler):
    """Passes on what happened, never to what: the wording without its values, the error's type."""

    def emit(self, record: logging.LogRecord) -> None:
        error = record.exc_info[0] if record.exc_info else None
        LOG.log(
            record.levelno,
            "%s: %s (%s)",
            record.name,
            record.msg if isinstance(record.msg, str) else type(record.msg).__name__,
            error.__name__ if error else "no error",
        )


def quieten() -> None:
    """Let the libraries' warnings through as facts only; done twice, it is done once."""
    library = logging.getLogger("telegram")
    library.setLevel(logging.WARNING)
    library.propagate = False
    if not any(isinstance(handler, _Facts) for handler in library.handlers):
        library.addHandler(_Facts())
    for name in ("httpx", "httpcore"):
        logging.getLogger(name).setLevel(logging.WARNING)  # below, the token's address is logged
