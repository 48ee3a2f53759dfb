"""What may be logged of an error: its type and its place, never its text."""

import traceback


def fact(error: BaseException | None) -> str:
    """The error's type and the place in the code: not its text, which may quote a message."""
    frames = traceback.extract_tb(error.__traceback__) if error else []
    place = f" in {frames[-1].name}, line {frames[-1].lineno}" if frames else ""
    return f"{type(error).__name__}{place}"
