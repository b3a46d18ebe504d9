"""The environment, handed in as a mapping, to settings; every fault by name. Empty counts as absent."""

from __future__ import annotations

import ipaddress
import os
import re
import stat
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import SplitResult, urlsplit

from core.errors import HatchError

TELEGRAM = "https://api.telegram.org"
_TOKEN = re.compile(r"[0-9]+:[A-Za-z0-9_-]+")
_PERSON = re.compile(r"[0-9]{1,19}")
_CHAT = re.compile(r"-?[0-9]{1,19}")
_LONGEST_TOKEN_FILE = 4096
OTHERS_READ = stat.S_IROTH


class ConfigFault(HatchError):
    """A setting is wrong: `operator-malformed`, `allow-malformed`, `api-url-malformed`, `api-url-plain`."""


class TokenFault(HatchError):
    """There is no usable token: `token-missing`, `token-malformed`, `token-twice`, `token-file-unreadable`,
    `token-file-open-to-all`. The token itself is never among the values."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What `serve` runs with. `allow` is `None` for a bot open to all; `api_url` has no slash at its end."""

    token: str = field(repr=False)
    db: Path
    operator: str | None
    allow: frozenset[str] | None
    api_url: str


def settings(environment: Mapping[str, str]) -> Settings:
    """All settings of `serve`. Raises `TokenFault` or `ConfigFault`."""
    return Settings(
        token=_token(environment),
        db=database(environment),
        operator=_operator(environment),
        allow=_allow(environment),
        api_url=_api_url(environment),
    )


def database(environment: Mapping[str, str]) -> Path:
    """Where the store is: `HATCHBELL_DB`, else `hatchbell.db` in the current folder."""
    return Path(environment.get("HATCHBELL_DB") or "hatchbell.db")


def _token(environment: Mapping[str, str]) -> str:
    told, file = environment.get("HATCHBELL_TOKEN"), environment.get("HATCHBELL_TOKEN_FILE")
    if told and file:
        raise TokenFault("token-twice")
    if not told and not file:
        raise TokenFault("token-missing")
    token = (told or _read_secret(Path(file or ""))).strip()
    if not _TOKEN.fullmatch(token):
        raise TokenFault("token-malformed")
    return token


def _read_secret(path: Path) -> str:
    try:
        with path.open("rb") as file:
            mode = os.fstat(file.fileno()).st_mode
            content = file.read(_LONGEST_TOKEN_FILE)
    except OSError as error:
        raise TokenFault("token-file-unreadable", path=str(path), detail=error.strerror) from error
    if mode & OTHERS_READ:
        raise TokenFault("token-file-open-to-all", path=str(path))
    return content.decode("ascii", errors="replace")


def _operator(environment: Mapping[str, str]) -> str | None:
    told = environment.get("HATCHBELL_OPERATOR", "").strip()
    if told and not _CHAT.fullmatch(told):
        raise ConfigFault("operator-malformed", value=told)
    return told or None


def _allow(environment: Mapping[str, str]) -> frozenset[str] | None:
    told = environment.get("HATCHBELL_ALLOW", "").strip()
    if not told:
        return None
    ids = [word for word in re.split(r"[\s,;]+", told) if word]
    wrong = [word for word in ids if not _PERSON.fullmatch(word)]
    if wrong or not ids:
        raise ConfigFault("allow-malformed", value=wrong[0] if wrong else told)
    return frozenset(ids)


def _api_url(environment: Mapping[str, str]) -> str:
    told = environment.get("HATCHBELL_API_URL", "").strip().rstrip("/")
    if not told:
        return TELEGRAM
    try:
        parts = urlsplit(told)
        whole = bool(parts.hostname) and (parts.port is None or parts.port > 0)
    except ValueError:
        raise ConfigFault("api-url-malformed", value=told) from None
    if not whole or parts.scheme not in ("http", "https") or _has_extras(parts):
        raise ConfigFault("api-url-malformed", value=told)
    if parts.scheme == "http" and not _is_loopback(parts.hostname or ""):
        raise ConfigFault("api-url-plain", value=told)
    return told


def _has_extras(parts: SplitResult) -> bool:
    return bool(parts.username or parts.password or parts.query or parts.fragment)


def _is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
