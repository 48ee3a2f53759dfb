"""What stands in deploy/ fits the program: settings, services, container, proxy."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from bot import channel, settings

ROOT = Path(__file__).parents[2]
DEPLOY = ROOT / "deploy"
UNITS = sorted((DEPLOY / "systemd").glob("*.service"))
NAME = re.compile(r"COILBOOK_[A-Z_]+")
HARDENED = """
NoNewPrivileges=yes CapabilityBoundingSet= ProtectSystem=strict ProtectHome=yes PrivateTmp=yes
PrivateDevices=yes PrivateUsers=yes ProtectKernelTunables=yes ProtectKernelModules=yes
ProtectControlGroups=yes RestrictNamespaces=yes RestrictSUIDSGID=yes LockPersonality=yes
MemoryDenyWriteExecute=yes SystemCallArchitectures=native SystemCallFilter=@system-service
UMask=0077 User=coilbook StateDirectoryMode=0700
""".split()
MOST_EXPOSED = 20  # of a hundred, as systemd counts; measured 12, and 5 for the backup


def known() -> set[str]:
    """Every setting that the program reads."""
    sources = [Path(str(module.__file__)) for module in (settings, channel)]
    return {name for each in sources for name in NAME.findall(each.read_text(encoding="utf-8"))}


def example() -> dict[str, str]:
    """What the example sets, or shows as what may be set."""
    lines = (DEPLOY / "coilbook.env.example").read_text(encoding="utf-8").splitlines()
    shown = [re.fullmatch(r"#?(COILBOOK_\w+)=(.*)", line) for line in lines]
    return {found[1]: found[2] for found in shown if found}


def test_the_example_has_every_setting_and_no_other() -> None:
    assert set(example()) == known()


def test_the_example_is_read_without_a_fault() -> None:
    filled = {name: value for name, value in example().items() if value}
    filled["COILBOOK_WEBHOOK_SECRET"] = "invented"
    found = settings.read(filled, serving=True)
    plain = settings.read({"COILBOOK_DB": filled["COILBOOK_DB"]})
    # What is shown as "what it then is" is what it then is.
    assert (found.limit, found.pace, found.zone, found.log) == (
        plain.limit,
        plain.pace,
        plain.zone,
        plain.log,
    )
    assert found.hook is not None
    assert f"{found.hook.host}:{found.hook.port}" == channel.LISTEN


@pytest.mark.parametrize("unit", UNITS, ids=[unit.name for unit in UNITS])
def test_a_service_is_hardened_as_promised(unit: Path) -> None:
    lines = unit.read_text(encoding="utf-8").splitlines()
    assert [line for line in HARDENED if line not in lines] == []
    assert all(NAME.fullmatch(n) and n in known() for n in NAME.findall("\n".join(lines)))


@pytest.mark.parametrize("unit", UNITS, ids=[unit.name for unit in UNITS])
def test_a_service_starts_what_the_program_knows(unit: Path) -> None:
    text = unit.read_text(encoding="utf-8")
    said = re.findall(r"^ExecStart\w*=\S+/python -m bot (\w+)", text, re.MULTILINE)
    assert said
    helped = (ROOT / "bot" / "main.py").read_text(encoding="utf-8")
    assert all(f'add_parser("{word}"' in helped for word in said)


def test_systemd_itself_finds_no_fault(tmp_path: Path) -> None:
    analyze = shutil.which("systemd-analyze")
    if analyze is None:
        assert UNITS  # read above by ourselves; here is nobody else to read them
        return
    for unit in (*UNITS, *(DEPLOY / "systemd").glob("*.timer")):
        text = unit.read_text(encoding="utf-8")
        # Where the program is to stand there is none here.
        text = text.replace("/opt/coilbook/.venv/bin/python", "/bin/true")
        text = text.replace("Documentation=file:///opt/coilbook/deploy/README.md\n", "")
        (tmp_path / unit.name).write_text(text, encoding="utf-8")
    for unit in tmp_path.iterdir():
        name = unit.with_name(unit.name.replace("@.", "@1."))
        if name != unit:
            name.write_text(unit.read_text(encoding="utf-8"), encoding="utf-8")
        said = subprocess.run(
            [analyze, "verify", "--man=no", str(name)], capture_output=True, text=True, check=False
        )
        ours = [line for line in said.stderr.splitlines() if "coilbook" in line]
        assert ours == []
    for unit in tmp_path.glob("*.service"):
        asked = ["security", "--offline=true", f"--threshold={MOST_EXPOSED}", str(unit)]
        said = subprocess.run([analyze, *asked], capture_output=True, text=True, check=False)
        if "unrecognized option" in said.stderr:
            continue  # an older one does not count
        assert said.returncode == 0, said.stdout[-200:]


def test_the_container_runs_as_nobody_and_copies_what_there_is() -> None:
    text = (DEPLOY / "Containerfile").read_text(encoding="utf-8")
    assert re.search(r"^USER 10001:10001$", text, re.MULTILINE)
    assert "--require-hashes" in text
    copied = re.findall(r"^COPY (?!--from)(\S+) ", text, re.MULTILINE)
    assert {"core", "storage", "bot"} <= set(copied)
    assert all((ROOT / each).exists() for each in copied)
    assert set(NAME.findall(text)) <= known()


def test_the_proxy_passes_on_one_path_and_no_more_than_an_update() -> None:
    text = (DEPLOY / "proxy" / "nginx.conf.example").read_text(encoding="utf-8")
    hook = example()["COILBOOK_WEBHOOK_URL"]
    assert hook == "https://bot.example.org/hook"
    assert "location = /hook {" in text
    assert text.count("proxy_pass ") == 1
    assert "client_max_body_size 1m;" in text
    assert "return 404;" in text
    assert "listen 443 ssl;" in text
    workers = re.findall(r"server 127\.0\.0\.1:808(\d) ", text)
    assert workers == ["1", "2", "3"]
