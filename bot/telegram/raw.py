"""Updates as the channel sent them: kept whole, and read only when it is their turn.

The library gives up a whole answer for one update of a shape it can't read, does not confirm it,
and so gets it again for ever. So it is shown none.
"""

from typing import Any

from telegram.request import HTTPXRequest


class RawUpdates(HTTPXRequest):
    """Requests whose answers are set aside, and look empty to the library."""

    def __init__(self, **options: Any) -> None:  # noqa: ANN401 - the library's own options
        super().__init__(**options)
        self._found: list[dict[str, Any]] = []

    async def post(self, *args: Any, **kwargs: Any) -> Any:  # noqa: ANN401 - as it is inherited
        """The answer, unless it is a list: then an empty one."""
        answer = await super().post(*args, **kwargs)
        if not isinstance(answer, list):
            return answer
        self._found = answer
        return []

    def found(self) -> list[dict[str, Any]]:
        """The updates of the last answer, given out once."""
        found, self._found = self._found, []
        return found
