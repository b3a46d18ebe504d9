"""The command line: `hatchbell serve | backup | restore | check | play | chat | import | read | forecast`. It
turns faults into one line and an exit status: 1 something is wrong (`check`), 2 bad use, 3 no figure known,
4 the store, 5 the token."""

from __future__ import annotations

import json
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Literal

import click

from bot import clock, knowledge
from bot.clock import SystemClock
from core.errors import HatchError, NoFigure

WRONG, BAD_USE, NO_FIGURE, STORE, TOKEN = 1, 2, 3, 4, 5
DEFAULT_DB = "hatchbell.db"


def main() -> None:
    """The console script."""
    os.umask(0o077)
    cli(prog_name="hatchbell")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def cli() -> None:
    """A chat assistant for small fish hatcheries."""


@contextmanager
def _faults() -> Iterator[None]:
    """One line of words and the exit status of the contract; never a trace."""
    from bot.config import TokenFault
    from bot.store import StoreFault

    try:
        yield
    except NoFigure as fault:
        _fail(fault, NO_FIGURE)
    except StoreFault as fault:
        _fail(fault, STORE)
    except TokenFault as fault:
        _fail(fault, TOKEN)
    except HatchError as fault:
        _fail(fault, BAD_USE)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)


def _fail(fault: HatchError, status: int) -> None:
    sys.stdout.flush()
    click.echo(knowledge.wording().fault(fault, "en"), err=True)
    sys.exit(status)


def _print(line: str) -> None:
    sys.stdout.write(line + "\n")


# play and chat --------------------------------------------------------------------------------------------


@cli.command()
@click.argument("script", type=click.Path(path_type=Path))
@click.option("--db", type=click.Path(path_type=Path), help="Go on in this database, and keep it.")
@click.option("--pictures", type=click.Path(path_type=Path), help="Folder for pictures and papers.")
@click.option("--pretty", is_flag=True, help="A chat log for people.")
def play(script: Path, db: Path | None, pictures: Path | None, pretty: bool) -> None:
    """Play a script of a night or a season in simulated time."""
    from bot import play as player

    with _faults(), _database(db) as path:
        player.play(script, path, _print, pretty=pretty, papers=pictures)
        sys.stdout.flush()


@contextmanager
def _database(db: Path | None) -> Iterator[Path]:
    if db is not None:
        yield db
        return
    with tempfile.TemporaryDirectory(prefix="hatchbell-") as folder:
        yield Path(folder) / DEFAULT_DB


@cli.command()
@click.option("--db", type=click.Path(path_type=Path), default=Path(DEFAULT_DB), show_default=True)
@click.option("--as", "name", help="Talk as this person.")
def chat(db: Path, name: str | None) -> None:
    """Talk here, without an account."""
    from bot import console

    with _faults():
        console.chat(db, name, SystemClock(), sys.stdin, _print)


@cli.command()
def serve() -> None:
    """Serve over Telegram. Set HATCHBELL_TOKEN or HATCHBELL_TOKEN_FILE."""
    from bot import config, logs, serve, watchdog

    with _faults():
        settings = config.settings(os.environ)
        logs.set_up()
        serve.serve(settings, manager=watchdog.Manager.of(os.environ))


@cli.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--db", type=click.Path(path_type=Path), default=Path(DEFAULT_DB), show_default=True)
@click.option("--farm", required=True, help="The farm's name.")
@click.option("--species", "named", multiple=True, help='What a word means: "catfish=african-catfish".')
@click.option("--days", type=click.Choice(["day-first", "month-first"]), help="How 3/4/2025 is meant.")
def import_(
    file: Path,
    db: Path,
    farm: str,
    named: tuple[str, ...],
    days: Literal["day-first", "month-first"] | None,
) -> None:
    """Take an old notebook, a CSV, into the record of a farm. Nobody may serve the database meanwhile."""
    from bot import importing
    from bot.alone import alone

    with _faults(), alone(db):
        _print(importing.take(file, db, farm, days, SystemClock(), named))
        sys.stdout.flush()


# backup, restore, check -------------------------------------------------------------------------------------

_served_file = click.option(
    "--db", type=click.Path(path_type=Path), help="The database; else HATCHBELL_DB, else hatchbell.db."
)


def _served(db: Path | None) -> Path:
    from bot import config

    return db or config.database(os.environ)


def _say(code: str, **told: object) -> None:
    _print(knowledge.wording().operating(code, told, "en"))


@cli.command()
@_served_file
@click.option("--to", type=click.Path(path_type=Path), help="Folder of the copies; else backups, beside it.")
@click.option("--keep", type=click.IntRange(min=1), default=14, show_default=True, help="So many stay.")
def backup(db: Path | None, to: Path | None, keep: int) -> None:
    """Copy the database while it is served, and look the copy through."""
    from bot import backup as copies

    with _faults():
        path = _served(db)
        kept = copies.backup(path, to or copies.folder_of(path), keep, SystemClock().now())
        told = {"path": kept.path, "size": kept.size / 1e6}
        if kept.newest is None:
            _say("kept-empty", **told)
        else:
            _say("kept", **told, runs=kept.runs, newest=kept.newest.astimezone())


@cli.command()
@click.argument("copy", type=click.Path(path_type=Path))
@_served_file
def restore(copy: Path, db: Path | None) -> None:
    """Put a copy in the place of the database, which is kept aside."""
    from bot import restore as restoring

    with _faults():
        now = SystemClock().now()
        for code, told in restoring.differences(restoring.restore(copy, _served(db), now), now):
            _say(code, **told)


@cli.command()
@_served_file
@click.option("--json", "as_json", is_flag=True, help="One object: status and findings.")
@click.option(
    "--again",
    type=click.IntRange(min=0),
    default=0,
    help="Where something is wrong, look again so many seconds later.",
)
def check(db: Path | None, as_json: bool, again: int) -> None:
    """Say what is wrong and what to do: 0 nothing, 1 something, 4 the database cannot be used."""
    from bot import check as checking

    with _faults():
        path, now = _served(db), SystemClock().now()
        found = checking.check(path, os.environ, now)
        if found and again:
            clock.pause(again)
            now = SystemClock().now()
            found = checking.check(path, os.environ, now)
        said = [knowledge.wording().operating(each.code, each.values, "en") for each in found]
        status = max((STORE if each.unusable else WRONG for each in found), default=0)
        if as_json:
            _print(json.dumps(checking.told(found, said, status), ensure_ascii=False))
        else:
            for line in said or [_well(path, now)]:
                _print(line)
        sys.stdout.flush()
        sys.exit(status)


def _well(db: Path, now: datetime) -> str:
    from bot import backup

    noted = backup.noted(db)
    age = timedelta() if noted is None else now - noted.at
    return knowledge.wording().operating("well", {"age": age}, "en")


# read -----------------------------------------------------------------------------------------------------


@cli.command()
def read() -> None:
    """Read messages as JSON lines, write their readings as JSON lines."""
    from core import reading

    lexicon, limits = knowledge.lexicon(), knowledge.limits()
    for line in sys.stdin.buffer:
        if not line.strip():
            continue
        answer = _read_one(line, lambda text, context: reading.read(text, context, lexicon, limits))
        _print(json.dumps(answer, ensure_ascii=False))
        sys.stdout.flush()


def _read_one(line: bytes, reader: Callable[[str, Any], Any]) -> dict[str, Any]:
    from core import reading

    key = None
    try:
        found = json.loads(line.decode("utf-8", "replace"))
        key = found.get("id") if isinstance(found, dict) else None
        text, context = _message(found)
    except (ValueError, RecursionError) as fault:
        return {"id": key, "reading": None, "also": [], "error": str(fault)[:200]}
    return {"id": key, **reading.to_contract(reader(text, context))}


def _message(found: object) -> tuple[str, Any]:
    """The text and context of a line. Raises `ValueError` for what is no message."""
    from core import reading

    if not isinstance(found, dict) or not isinstance(found.get("text"), str):
        raise ValueError("a line must be an object with a text")
    context = found.get("context")
    context = {} if context is None else context
    if not isinstance(context, dict):
        raise ValueError("the context must be an object")
    known = ("species", "awaiting", "unit_system", "now", "last")
    told = {name: context[name] for name in known if isinstance(context.get(name), str)}
    lang = found.get("lang")
    return found["text"], reading.Context(**told, lang=lang if isinstance(lang, str) else "en")


# forecast -------------------------------------------------------------------------------------------------


@cli.command()
@click.argument("what", type=click.Choice(["strip", "hatch", "first-feed"]))
@click.option("--species", required=True)
@click.option("--celsius", type=float)
@click.option("--temps", type=click.Path(path_type=Path), help="CSV with header at,celsius.")
@click.option("--from", "start", help="ISO time with offset at which it begins.")
@click.option("--preparation")
@click.option("--shots", type=int)
@click.option("--json", "as_json", is_flag=True)
def forecast(
    what: str,
    species: str,
    celsius: float | None,
    temps: Path | None,
    start: str | None,
    preparation: str | None,
    shots: int | None,
    as_json: bool,
) -> None:
    """When eggs run, larvae hatch or larvae first want food, in this water."""
    from bot import forecasting

    with _faults():
        told = forecasting.answer(
            forecasting.Wanted(what, species, celsius, temps, start, preparation, shots)
        )
        _print(json.dumps(told, ensure_ascii=False) if as_json else forecasting.words(told))
