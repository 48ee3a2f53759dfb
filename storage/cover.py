"""Texts and documents that name people here and there, sealed inside the columns they have.

A store that was opened without keys keeps them as they are. What was kept so stays readable later,
and is sealed when it is next written or when keys are rotated.
"""

import json
from base64 import b64decode, b64encode
from copy import deepcopy
from typing import Any

from storage.crypto import CHANGED, Place, Seal
from storage.errors import KeyMissingError, SealError
from storage.form import Json

SIGN = "\x02sealed:"  # no typed line begins so
BARE = b"\0"  # where a sealed text has the number of its key
KEY_MISSING = "what is kept about people needs a key: set COILBOOK_KEY, or let a key file be made"


class Cover:
    """Covers texts, documents and names of one owner, where there is a seal."""

    def __init__(self, seal: Seal | None) -> None:
        self._seal = seal

    def text(self, place: Place, text: str) -> str:
        """The text as kept."""
        if self._seal is None:
            return text
        return SIGN + b64encode(self._seal.close(place, text)).decode()

    def read(self, place: Place, kept: str) -> str:
        """The text kept so.

        Raises:
            KeyMissingError: it is sealed, and the store was opened without keys.
            SealError: it was changed or moved.
        """
        if not kept.startswith(SIGN):
            return kept
        if self._seal is None:
            raise KeyMissingError(KEY_MISSING)
        try:
            sealed = b64decode(kept.removeprefix(SIGN), validate=True)
        except ValueError:
            raise SealError(place.table, place.column, place.row, CHANGED) from None
        return self._seal.open(place, sealed)

    def form(self, place: Place, form: Json) -> dict[str, Any]:
        """The document as kept; it shares nothing with the one given."""
        if self._seal is None:
            return deepcopy(dict(form))
        return {SIGN: self.text(place, json.dumps(dict(form), ensure_ascii=False))}

    def read_form(self, place: Place, kept: Json) -> dict[str, Any]:
        """The document kept so; it shares nothing with the one kept.

        Raises:
            KeyMissingError: it is sealed, and the store was opened without keys.
            SealError: it was changed or moved.
        """
        if SIGN not in kept:
            return deepcopy(dict(kept))
        form: dict[str, Any] = json.loads(self.read(place, str(kept[SIGN])))
        return form

    def closed(self, place: Place, text: str) -> bytes:
        """The text as kept in a column of bytes; unsealed it begins with a byte no key has."""
        return BARE + text.encode() if self._seal is None else self._seal.close(place, text)

    def opened(self, place: Place, kept: bytes) -> str:
        """The text kept so.

        Raises:
            KeyMissingError: it is sealed, and the store was opened without keys.
            SealError: it was changed or moved.
        """
        if kept.startswith(BARE):
            return kept[len(BARE) :].decode()
        if self._seal is None:
            raise KeyMissingError(KEY_MISSING)
        return self._seal.open(place, kept)

    def key(self, table: str, key: str) -> str:
        """What a row is found by, from its folded name; nothing for no name."""
        if self._seal is None or not key:
            return key
        return SIGN + self._seal.index(table, key).hex()

    def keys(self, table: str, key: str) -> list[str]:
        """All that it may be found by."""
        if self._seal is None or not key:
            return [key]
        return [key, *(SIGN + each.hex() for each in self._seal.indexes(table, key))]

    def fresh(self, kept: str) -> bool:
        """Whether it needs no sealing anew."""
        if self._seal is None:
            return True
        if not kept.startswith(SIGN):
            return False
        try:
            # Four letters of base64 are three bytes; the first says which key.
            return self._seal.fresh(b64decode(kept[len(SIGN) :][:4]))
        except ValueError:
            return False

    def fresh_bytes(self, kept: bytes) -> bool:
        """Whether they need no sealing anew."""
        return self._seal is None or self._seal.fresh(kept)

    def fresh_form(self, kept: Json) -> bool:
        """Whether the document needs no sealing anew."""
        return self._seal is None or self.fresh(str(kept.get(SIGN, "")))

    def fault(self, fault: SealError) -> None:
        """Remember what could not be read and was taken for nothing."""
        if self._seal is not None:
            self._seal.faults.append(fault)

    @property
    def faults(self) -> tuple[SealError, ...]:
        """What could not be read so far and was left out."""
        return tuple(self._seal.faults) if self._seal else ()


def with_name(key: str, name: str, text: str) -> str:
    """A text that has its name in it where its key doesn't show it, so that the key can change."""
    return f"{name}\n{text}" if key.startswith(SIGN) else text


def name_and(key: str, text: str) -> tuple[str, str]:
    """The name under which such a text is kept, and the text."""
    if not key.startswith(SIGN):
        return key, text
    name, _, rest = text.partition("\n")
    return name, rest
