"""What installs Hatchbell as a service: the units by systemd's own judgement, and what they must agree on."""

from __future__ import annotations

import configparser
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from bot import watchdog

DEPLOY = Path(__file__).resolve().parent.parent / "deploy"
SERVICES = sorted(DEPLOY.glob("*.service"))
TIMERS = sorted(DEPLOY.glob("*.timer"))
EXPOSURE = {"hatchbell": 1.1, "hatchbell-trouble@": 1.1, "hatchbell-backup": 0.2, "hatchbell-check": 0.2}
"""As `systemd-analyze security` of systemd 252 counts, from 0 to 10. A newer one may know more to ask for."""
ANALYZE = shutil.which("systemd-analyze")
PROGRAM = re.compile(r"(?<==)/opt/hatchbell/current/\S+")

with_systemd = pytest.mark.skipif(ANALYZE is None, reason="systemd-analyze is not installed here")


class Unit(configparser.RawConfigParser):
    """A unit file: the last of several equal settings counts, which is enough for what is asked here."""

    def __init__(self, path: Path) -> None:
        super().__init__(strict=False, interpolation=None, comment_prefixes=("#",))
        self.read(path, encoding="utf-8")

    def optionxform(self, optionstr: str) -> str:
        return optionstr


def unit(name: str) -> Unit:
    return Unit(DEPLOY / name)


def seconds(span: str) -> float:
    """A span as these units write it."""
    number, name = re.fullmatch(r"(\d+)(s|min|h)", span).groups()  # type: ignore[union-attr]
    return int(number) * {"s": 1, "min": 60, "h": 3600}[name]


@with_systemd
def test_systemd_finds_no_fault_in_the_units(tmp_path: Path) -> None:
    """`verify` wants programs that exist: the installed one is put in place of ours."""
    for path in (*SERVICES, *TIMERS):
        (tmp_path / path.name).write_text(PROGRAM.sub("/bin/true", path.read_text("utf-8")), "utf-8")
    command = [ANALYZE or "", "--man=no", "verify", *map(str, sorted(tmp_path.iterdir()))]
    said = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (said.returncode, said.stdout + said.stderr) == (0, "")


@with_systemd
def test_no_unit_is_more_exposed_than_its_work_wants() -> None:
    command = [ANALYZE or "", "--no-pager", "security", "--offline=true", *map(str, SERVICES)]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    found = re.findall(r"Overall exposure level for (\S+?)i?\.service: ([\d.]+)", said)
    assert {name: float(level) <= EXPOSURE[name] for name, level in found} == dict.fromkeys(EXPOSURE, True)


def test_every_timer_has_its_service_and_every_failure_is_told() -> None:
    for path in TIMERS:
        assert path.with_suffix(".service") in SERVICES
    for path in SERVICES:
        if "trouble" not in path.name:
            assert Unit(path)["Unit"]["OnFailure"] == "hatchbell-trouble@%n.service", path.name


def test_a_new_start_is_no_trouble() -> None:
    """Longer than the pause before a new start and the start: nobody is told of what mends itself."""
    look = unit("hatchbell-check.service")["Service"]["ExecStart"]
    again = re.search(r" check --again (\d+)$", look)
    assert again is not None
    assert int(again[1]) > seconds(unit("hatchbell.service")["Service"]["RestartSec"]) + 5


def test_a_program_of_the_operator_is_in_reach() -> None:
    """`deploy/trouble` runs as the user, below a folder that holds the token: with 700 it is
    never run."""
    (made,) = re.findall(r"^install -d (.*) /etc/hatchbell$", (DEPLOY / "install").read_text("utf-8"), re.M)
    assert made == f"-m 750 -g {unit('hatchbell-trouble@.service')['Service']['User']}"


def test_it_is_never_given_up() -> None:
    """A service that was started too often stays down, and nobody hears a bell."""
    told = unit("hatchbell.service")
    assert told["Unit"]["StartLimitIntervalSec"] == "0"
    assert told["Service"]["Restart"] == "always"
    assert told["Service"]["RestartPreventExitStatus"] == "2"  # bot/cli.py: bad use


def test_the_patience_of_the_manager_fits_the_watch() -> None:
    service = unit("hatchbell.service")["Service"]
    patience = seconds(service["WatchdogSec"])
    assert service["Type"] == "notify"
    assert watchdog.Manager("/x", patience).every * 3 < patience
    assert watchdog.MORE_TIME > 25 + 60, "a try of getMe and the pause behind it"
    assert seconds(service["TimeoutStopSec"]) > 20, "bot/serve.py: GRACE"


def test_the_token_is_a_credential_and_stands_in_no_unit() -> None:
    service = unit("hatchbell.service")["Service"]
    assert service["LoadCredential"] == "token:/etc/hatchbell/token"
    assert "HATCHBELL_TOKEN_FILE=%d/token" in service["Environment"].split()
    for path in SERVICES:  # a token that is gone must not silence those who tell of it
        told = Unit(path)["Service"]
        assert ("LoadCredential" in told) == ("SetCredential" in told), path.name
    for path in (*SERVICES, *TIMERS):
        assert "HATCHBELL_TOKEN=" not in path.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", SERVICES, ids=lambda path: path.name)
def test_no_unit_runs_as_root_or_without_a_limit_of_memory(path: Path) -> None:
    service = Unit(path)["Service"]
    assert service["User"] == "hatchbell"
    assert int(service["MemoryMax"].removesuffix("M")) <= 320, "of 512 MB in all"


def test_only_who_must_speaks_over_the_network() -> None:
    for name in ("hatchbell-backup.service", "hatchbell-check.service"):
        assert unit(name)["Service"]["PrivateNetwork"] == "yes"
