"""Keys: how they are written down, kept in a file, and never shown."""

import os
import pickle
from base64 import b64encode, urlsafe_b64encode
from pathlib import Path

import pytest
from cryptography.exceptions import InvalidTag

from core.instructor import OwnerId
from storage.crypto import Keys, Place, Seal, key_text, keys_from
from storage.errors import KeyFileError, SealError
from storage.key_file import keys_in
from tests.contract.scene import in_parallel

ONE, TWO = bytes(range(32)), bytes(range(224, 256))
ME, YOU = OwnerId(3), OwnerId(4)
PLACE = Place("note", "text", 7, ("3", "now"))


class TestWritten:
    @pytest.mark.parametrize(
        "text",
        [
            b64encode(TWO).decode(),
            b64encode(TWO).decode().rstrip("="),
            urlsafe_b64encode(TWO).decode(),
            f" 1:{b64encode(TWO).decode()} ,",
            f"1 : {b64encode(TWO).decode()}\n",
        ],
    )
    def test_one_is_read_however_it_is_written(self, text: str) -> None:
        assert keys_from(text).mark(1) == Keys({1: TWO}).mark(1)

    @pytest.mark.parametrize("between", [",", ", ", "\n"])
    def test_the_first_of_several_seals(self, between: str) -> None:
        keys = keys_from(key_text({5: TWO, 1: ONE}).replace(",", between))
        assert (keys.newest, keys.numbers) == (5, (5, 1))
        assert keys.mark(1) == Keys({1: ONE}).mark(1)

    @pytest.mark.parametrize(
        ("text", "sentence"),
        [
            ("", "at least one"),
            (" , ", "at least one"),
            ("secretsecret", "32 bytes"),
            ("secret!secret", "base64"),
            ("secreté", "base64"),
            (f"0:{b64encode(ONE).decode()}", "from 1 to 255"),
            (f"256:{b64encode(ONE).decode()}", "from 1 to 255"),
            (f"secret:{b64encode(ONE).decode()}", "its number"),
            (f"{b64encode(ONE).decode()},{b64encode(TWO).decode()}", "key 1 stands twice"),
            (b64encode(ONE[:31]).decode(), "32 bytes"),
            (b64encode(ONE * 2).decode(), "32 bytes"),
        ],
    )
    def test_something_else_is_refused_and_not_repeated(self, text: str, sentence: str) -> None:
        with pytest.raises(KeyFileError, match=sentence) as caught:
            keys_from(text)
        assert "secret" not in f"{caught.value!r} {caught.value.__cause__!r}"
        assert b64encode(ONE).decode() not in str(caught.value)

    def test_they_never_show(self) -> None:
        keys = Keys({2: TWO, 1: ONE})
        assert repr(keys) == str(keys) == f"{keys}" == "Keys(2, 1)"
        with pytest.raises(TypeError):
            pickle.dumps(keys)


class TestAFile:
    def test_is_made_once_for_its_owner_alone(self, tmp_path: Path) -> None:
        path = tmp_path / "coilbook.key"
        umask = os.umask(0)
        try:
            made = keys_in(path)
        finally:
            os.umask(umask)
        assert path.stat().st_mode & 0o777 == 0o600
        assert keys_in(path).mark(1) == made.mark(1)
        assert [each.name for each in tmp_path.iterdir()] == ["coilbook.key"]
        assert keys_in(tmp_path / "other.key").mark(1) != made.mark(1)

    def test_of_many_at_once_one_is_made(self, tmp_path: Path) -> None:
        marks = in_parallel(lambda _: keys_in(tmp_path / "coilbook.key").mark(1))
        assert len(set(marks)) == 1
        assert len(list(tmp_path.iterdir())) == 1

    @pytest.mark.parametrize("mode", [0o640, 0o604, 0o660, 0o644, 0o620, 0o601])
    def test_that_others_may_use_is_refused(self, tmp_path: Path, mode: int) -> None:
        path = tmp_path / "coilbook.key"
        keys_in(path)
        path.chmod(mode)
        with pytest.raises(KeyFileError, match="chmod 600") as caught:
            keys_in(path)
        assert path.read_text().strip()[2:] not in str(caught.value)

    def test_that_is_none_is_said_so(self, tmp_path: Path) -> None:
        (tmp_path / "folder").mkdir()
        with pytest.raises(KeyFileError):
            keys_in(tmp_path / "folder")
        with pytest.raises(KeyFileError, match="can't be used"):
            keys_in(tmp_path / "nowhere" / "coilbook.key")
        keys_in(tmp_path / "real.key")
        (tmp_path / "link.key").symlink_to(tmp_path / "real.key")
        with pytest.raises(KeyFileError, match="can't be used"):
            keys_in(tmp_path / "link.key")
        (tmp_path / "odd.key").write_bytes(b"\xff\xfe")
        (tmp_path / "odd.key").chmod(0o600)
        with pytest.raises(KeyFileError, match="holds no keys"):
            keys_in(tmp_path / "odd.key")


class TestASeal:
    @pytest.mark.parametrize("text", ["", "a", "knee 🙂", "x" * 100_000])
    def test_opens_where_it_was_closed(self, text: str) -> None:
        seal = Seal(Keys({1: ONE}), ME)
        closed = seal.close(PLACE, text)
        assert seal.open(PLACE, closed) == text
        assert len(closed) == 1 + 12 + len(text.encode()) + 16
        assert closed != seal.close(PLACE, text)

    @pytest.mark.parametrize(
        "place",
        [
            Place("change", "text", 7, ("3", "now")),
            Place("note", "form", 7, ("3", "now")),
            Place("note", "text", 8, ("3", "now")),
            Place("note", "text", 7, ("4", "now")),
            Place("note", "text", 7, ("3", "then")),
            Place("note", "text", 7, ("3",)),
            Place("note", "text", "now\x007", ("3",)),
            Place("note", "text", "3\0now\x007"),
        ],
    )
    def test_opens_nowhere_else(self, place: Place) -> None:
        seal = Seal(Keys({1: ONE}), ME)
        with pytest.raises(SealError):
            seal.open(place, seal.close(PLACE, "sore"))

    def test_opens_for_nobody_else(self) -> None:
        keys = Keys({1: ONE})
        with pytest.raises(SealError):
            Seal(keys, YOU).open(PLACE, Seal(keys, ME).close(PLACE, "sore"))

    def test_opens_with_its_own_key_only(self) -> None:
        closed = Seal(Keys({1: ONE}), ME).close(PLACE, "sore")
        assert Seal(Keys({2: TWO, 1: ONE}), ME).open(PLACE, closed) == "sore"
        with pytest.raises(SealError, match="no key 1"):
            Seal(Keys({2: TWO}), ME).open(PLACE, closed)
        with pytest.raises(SealError, match="changed"):
            Seal(Keys({1: TWO}), ME).open(PLACE, closed)
        with pytest.raises(InvalidTag):
            Keys({1: ONE}).decrypted(closed, b"")

    def test_indexes_tell_owners_tables_and_keys_apart(self) -> None:
        keys, other = Keys({1: ONE}), Keys({1: TWO})
        seals = (Seal(keys, ME), Seal(keys, YOU), Seal(other, ME))
        found = {
            seal.index(table, name)
            for seal in seals
            for table in ("client", "client_group")
            for name in ("ana", "bo")
        }
        assert len(found) == 12
        both = Seal(Keys({2: TWO, 1: ONE}), ME)
        assert both.indexes("client", "ana")[1] == seals[0].index("client", "ana")
        assert both.index("client", "ana") == both.indexes("client", "ana")[0]
