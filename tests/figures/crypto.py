"""What the cipher and the digests that sealing rests on give for crypto.toml."""

import hashlib
import hmac
from datetime import UTC, datetime, timedelta

from cryptography.fernet import Fernet, InvalidToken
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from core.instructor import OwnerId
from storage.crypto import KEY_BYTES, NONCE_BYTES, Keys, Place, Seal
from tests.figures.figure import Computation, Figure


def gcm_tags(figure: Figure) -> dict[str, str]:
    """Zeros and nothing under keys of zeros."""
    texts = {"empty": b"", "zeros": bytes(16)}
    found = {}
    for case in figure.value:
        bits, text = case.split()
        cipher = AESGCM(bytes(int(bits) // 8))
        found[case] = cipher.encrypt(bytes(NONCE_BYTES), texts[text], None).hex()
    return found


def gcm_bound(figure: Figure) -> str:
    """The tag of a text with something bound to it."""
    given = {name: bytes.fromhex(value) for name, value in figure.given.items()}
    sealed = AESGCM(given["key"]).encrypt(given["nonce"], given["text"], given["bound"])
    return sealed[-16:].hex()


def hmac_sha256(figure: Figure) -> str:
    """The digest that names are found by."""
    return hmac.digest(figure.given["key"].encode(), figure.given["text"].encode(), "sha256").hex()


def hkdf_sha256(figure: Figure) -> str:
    """A derived key."""
    given = {name: bytes.fromhex(value) for name, value in figure.given.items()}
    length = len(figure.value) // 2
    kdf = HKDF(algorithm=SHA256(), length=length, salt=given["salt"], info=given["info"])
    return kdf.derive(given["key"]).hex()


def fernet(figure: Figure) -> dict[str, object]:
    """What the sample token says, and for how long."""
    box, token = Fernet(figure.given["key"]), figure.given["token"].encode()
    made = box.extract_timestamp(token)

    def after(seconds: int) -> str:
        try:
            return box.decrypt_at_time(token, ttl=60, current_time=made + seconds).decode()
        except InvalidToken:
            return "refused"

    return {
        "text": box.decrypt(token).decode(),
        "made": made,
        "after 1 s": after(1),
        "after 121 s": after(121),
    }


def fernet_lengths(figure: Figure) -> dict[str, int]:
    """How long tokens are."""
    box = Fernet(Fernet.generate_key())
    return {size: len(box.encrypt(bytes(int(size)))) for size in figure.value}


def pbkdf2_sha1(_: Figure) -> str:
    """A key from a password, in many rounds."""
    return hashlib.pbkdf2_hmac("sha1", b"password", b"salt", 4096, 20).hex()


def scrypt(_: Figure) -> str:
    """A key from a password, in much memory."""
    return hashlib.scrypt(b"password", salt=b"NaCl", n=1024, r=8, p=16, dklen=64).hex()[:32]


def sealed_bytes(_: Figure) -> dict[str, int]:
    """What sealing adds to a text."""
    sealed = Seal(Keys({1: bytes(KEY_BYTES)}), OwnerId(1)).close(Place("note", "text", 1), "abc")
    overhead = len(sealed) - len("abc")
    return {
        "overhead": overhead,
        "nonce": NONCE_BYTES,
        "tag": overhead - 1 - NONCE_BYTES,
        "key": KEY_BYTES,
    }


def messages_under_a_key(_: Figure) -> bool:
    """Whether a busy studio stays below what one key may seal."""
    days = (datetime(2046, 1, 1, tzinfo=UTC) - datetime(2026, 1, 1, tzinfo=UTC)) // timedelta(
        days=1
    )
    return 50 * 10_000 * days < 2**32


COMPUTED: dict[str, Computation] = {
    "gcm-tags": gcm_tags,
    "gcm-bound": gcm_bound,
    "hmac-sha256": hmac_sha256,
    "hkdf-sha256": hkdf_sha256,
    "fernet": fernet,
    "fernet-lengths": fernet_lengths,
    "pbkdf2-sha1": pbkdf2_sha1,
    "scrypt": scrypt,
    "sealed-bytes": sealed_bytes,
    "messages-under-a-key": messages_under_a_key,
}
