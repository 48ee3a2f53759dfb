"""Updates as the channel sent them: kept whole, and read only when it is their turn.

The library gives up a whole answer for one update of a shape it can't read, does not confirm it,
and so gets it again for ever. So it is shown none.
"""

import json
from http import HTTPStatus
from typing import Any

from telegram.request import HTTPXRequest

NOTHING = b'{"ok":true,"result":[]}'


class RawUpdates(HTTPXRequest):
    """Requests whose answers are set aside, and look empty to the library."""

    def __init__(self, **options: Any) -> None:  # noqa: ANN401 - the library's own options
        super().__init__(**options)
        self._found: list[dict[str, Any]] = []

    async def do_request(self, *args: Any, **kwargs: Any) -> tuple[int, bytes]:  # noqa: ANN401
        """Status and body of the answer; of a list, an empty one."""
        status, body = await super().do_request(*args, **kwargs)
        if status == HTTPStatus.OK:
            result = json.loads(body).get("result")
            if isinstance(result, list):
                self._found, body = result, NOTHING
        return status, body

    def found(self) -> list[dict[str, Any]]:
        """The updates of the last answer, given out once."""
        found, self._found = self._found, []
        return found
