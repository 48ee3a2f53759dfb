"""Updates of a shape the library can't read, made harmless before it meets them.

It gives up a whole answer for one of these, does not confirm it, and so gets it again for ever.
"""

import logging
from typing import Any

from telegram import Update
from telegram.request import HTTPXRequest

LOG = logging.getLogger(__name__)


class ReadableUpdates(HTTPXRequest):
    """Requests whose answers hold no update that can't be read."""

    @staticmethod
    def parse_json_payload(payload: bytes) -> dict[str, Any]:
        """The answer, with empty updates for unreadable ones, which are then passed over."""
        answer = HTTPXRequest.parse_json_payload(payload)
        if isinstance(answer.get("result"), list):
            answer["result"] = [_readable(update) for update in answer["result"]]
        return answer


def _readable(update: dict[str, Any]) -> dict[str, Any]:
    try:
        Update.de_json(update)
    except Exception as error:  # whatever a library falls over when a shape is new to it
        LOG.error("an update can't be read and is left out: %s", type(error).__name__)
        return {"update_id": update["update_id"]}
    return update
