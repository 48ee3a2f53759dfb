"""Fields sealed one by one with AES-256-GCM, and names found again without being readable.

A sealed field is a byte with the number of its key, 12 random bytes, and the ciphertext with its
tag of 16 bytes. Table, column, row and owner are bound to it: a field that was moved, exchanged
with another or changed in a single bit no longer opens. Two fields of the same text never look the
same. A key of 32 bytes is never used itself: keys for sealing, indexing and recognising it are
derived from it.
"""

import hmac
import secrets
from base64 import b64decode, b64encode
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from core.instructor import OwnerId
from storage.errors import KeyFileError, SealError

KEY_BYTES = 32  # AES-256
NONCE_BYTES = 12  # the length NIST SP 800-38D advises (EVIDENCE_MORE M11.5)
NUMBERS = range(1, 256)  # of keys: one byte says which
CHANGED = "it was changed outside the program"


class Keys:
    """Keys by number; the first one seals, all of them open. They never show when printed."""

    __slots__ = ("_ciphers", "_index", "_known", "numbers")

    def __init__(self, keys: Mapping[int, bytes]) -> None:
        """Take the keys, newest first.

        Raises:
            KeyFileError: there is none, or one has a wrong length or number.
        """
        if not keys or any(number not in NUMBERS for number in keys):
            raise KeyFileError("a key has a number from 1 to 255, and at least one is needed")
        if any(len(key) != KEY_BYTES for key in keys.values()):
            raise KeyFileError(f"a key has {KEY_BYTES} bytes")
        self.numbers = tuple(keys)
        self._ciphers = {n: AESGCM(_derived(key, b"seal")) for n, key in keys.items()}
        self._index = {n: _derived(key, b"index") for n, key in keys.items()}
        self._known = {n: _derived(key, b"recognise") for n, key in keys.items()}

    def __repr__(self) -> str:
        """The numbers only."""
        return f"Keys{self.numbers}"

    @property
    def newest(self) -> int:
        """The number of the key that seals."""
        return self.numbers[0]

    def recognised(self, number: int, mark: bytes) -> bool:
        """Whether this mark was made by `mark` of the same key."""
        return number in self.numbers and hmac.compare_digest(self.mark(number), mark)

    def mark(self, number: int) -> bytes:
        """What a key is recognised by; it tells nothing about the key."""
        return hmac.digest(self._known[number], b"coilbook", "sha256")

    def encrypted(self, text: bytes, bound: bytes) -> bytes:
        """The text under the newest key."""
        nonce = secrets.token_bytes(NONCE_BYTES)
        return (
            bytes((self.newest,)) + nonce + self._ciphers[self.newest].encrypt(nonce, text, bound)
        )

    def decrypted(self, sealed: bytes, bound: bytes) -> bytes:
        """The text of what was encrypted.

        Raises:
            InvalidTag: it or what is bound to it has been changed.
            KeyError: no key has its number.
        """
        if len(sealed) <= NONCE_BYTES:
            raise InvalidTag
        cipher = self._ciphers[sealed[0]]
        return cipher.decrypt(sealed[1 : 1 + NONCE_BYTES], sealed[1 + NONCE_BYTES :], bound)

    def index(self, number: int, text: bytes) -> bytes:
        """What this text is found by, under the key of this number."""
        return hmac.digest(self._index[number], text, "sha256")


class Place(NamedTuple):
    """Where a sealed field stands.

    Attributes:
        also: further columns of the row that may not be changed either, as text without NUL.
    """

    table: str
    column: str
    row: int | str
    also: tuple[str, ...] = ()


class Seal:
    """Seals and opens the fields of one owner.

    Attributes:
        faults: what could not be opened and was left out of a list, in one transaction.
    """

    def __init__(self, keys: Keys, owner: OwnerId) -> None:
        self._keys = keys
        self._owner = owner
        self.faults: list[SealError] = []

    def of(self, owner: OwnerId) -> "Seal":
        """The seal of another owner, under the same keys."""
        return Seal(self._keys, owner)

    def close(self, place: Place, text: str) -> bytes:
        """The text sealed for this place."""
        return self._keys.encrypted(text.encode(), self._bound(place))

    def open(self, place: Place, sealed: bytes) -> str:
        """The text that was sealed for this place.

        Raises:
            SealError: it was changed, moved, or its key is not among the keys.
        """
        try:
            return self._keys.decrypted(sealed, self._bound(place)).decode()
        except InvalidTag:
            why = CHANGED
        except KeyError:
            why = f"there is no key {sealed[0]}"
        raise SealError(place.table, place.column, place.row, why)

    def opened(self, table: str, column: str, rows: Iterable[tuple[int, bytes]]) -> dict[int, str]:
        """The texts of one column by row, quickly; what can't be read becomes a fault."""
        bound = self._bound(Place(table, column, ""))
        found: dict[int, str] = {}
        for row, sealed in rows:
            try:
                text = self._keys.decrypted(sealed, bound + str(row).encode())
            except (InvalidTag, KeyError):
                self._fault(Place(table, column, row), sealed)
            else:
                found[row] = text.decode()
        return found

    def _fault(self, place: Place, sealed: bytes) -> None:
        try:
            self.open(place, sealed)
        except SealError as fault:
            self.faults.append(fault)

    def fresh(self, sealed: bytes) -> bool:
        """Whether it says that the newest key has sealed it."""
        return sealed[:1] == bytes((self._keys.newest,))

    def index(self, table: str, key: str) -> bytes:
        """What a row of this table is found by, from its folded name."""
        return self._keys.index(self._keys.newest, self._named(table, key))

    def indexes(self, table: str, key: str) -> list[bytes]:
        """What it may be found by, newest first, while not all rows are under the newest key."""
        name = self._named(table, key)
        return [self._keys.index(number, name) for number in self._keys.numbers]

    def _named(self, table: str, key: str) -> bytes:
        return f"{self._owner}\0{table}\0{key}".encode()

    def _bound(self, place: Place) -> bytes:
        # The row comes last: it is the only part that may contain anything.
        parts = (str(self._owner), place.table, place.column, str(len(place.also)), *place.also)
        return "\0".join((*parts, str(place.row))).encode()


def key_text(keys: Mapping[int, bytes]) -> str:
    """The keys as they are written down, newest first."""
    return ",".join(f"{number}:{b64encode(key).decode()}" for number, key in keys.items())


def keys_from(text: str) -> Keys:
    """The keys written in this text: "2:BASE64,1:BASE64", newest first, or one BASE64 alone.

    Raises:
        KeyFileError: it is something else; the message repeats nothing of it.
    """
    keys: dict[int, bytes] = {}
    for part in text.replace("\n", ",").split(","):
        if not part.strip():
            continue
        number, colon, written = part.strip().rpartition(":")
        if colon and not number.strip().isdecimal():
            raise KeyFileError("a key is written as its number, a colon, and 32 bytes in base64")
        which = int(number) if colon else 1
        if which in keys:
            raise KeyFileError(f"key {which} stands twice")
        keys[which] = _bytes_of(written.strip())
    return Keys(keys)


def _bytes_of(written: str) -> bytes:
    plain = written.translate(str.maketrans("-_", "+/")).rstrip("=")
    try:
        return b64decode(plain + "=" * (-len(plain) % 4), validate=True)
    except ValueError:
        # Without its cause, which may quote what was written.
        raise KeyFileError("a key is not written in base64") from None


def _derived(key: bytes, use: bytes) -> bytes:
    kdf = HKDF(algorithm=SHA256(), length=KEY_BYTES, salt=None, info=b"coilbook 1 " + use)
    return kdf.derive(key)
