"""The licences of all that can be installed (deploy/requirements-files.lock), by its metadata, as a page."""

import importlib.metadata
import re
from pathlib import Path

LOCK = Path(__file__).with_name("requirements-files.lock")
LONGEST_NAME = 60
HEAD = """# Licences of what comes along

Written by `deploy/licences` from what each package says of itself. The texts lie in the installation, below
`lib/python*/site-packages/`, in the folder `<name>-<version>.dist-info`; of packages without a text of their
own only the name of the licence is known. Listed is all that can be installed, with the extra `files`; the
letters which that one brings, DejaVu Sans, have theirs beside them, `LICENSE_DEJAVU`. Nothing of this list is
changed or copied into this tree, which is under the Apache licence 2.0 itself: `LICENSE`.

| package | version | licence | where its text lies |
| --- | --- | --- | --- |
"""


def pins() -> dict[str, list[str]]:
    """Each package of the lock, and its versions: several where they hang on that of Python."""
    found: dict[str, list[str]] = {}
    for name, version in re.findall(r"^([a-z0-9-]+)==(\S+)", LOCK.read_text(encoding="utf-8"), re.MULTILINE):
        found.setdefault(name, []).append(version)
    return found


def licence(told: importlib.metadata.PackageMetadata) -> str:
    """The licence by its expression, else its name, else its classifiers."""
    named = str(told.get("License-Expression") or told.get("License") or "").strip()
    if named and len(named) <= LONGEST_NAME and "\n" not in named:
        return named
    classified = [
        each.rpartition(" :: ")[2] for each in told.get_all("Classifier") or () if "License ::" in each
    ]
    return ", ".join(classified)


def texts(name: str) -> list[str]:
    """The files with the words of the licence, below the package's folder of metadata; not those of packages
    inside it."""
    kept = importlib.metadata.files(name) or ()
    below = [Path(each) for each in kept if Path(each).parts[0].endswith(".dist-info")]
    below = [each for each in below if "_vendor" not in each.parts]
    words = re.compile(r"(licen[cs]e|copying|authors|notice)", re.IGNORECASE)
    return sorted("/".join(each.parts[1:]) for each in below if words.match(each.name))


def page() -> str:
    """The whole page."""
    rows = []
    for name, versions in sorted(pins().items()):
        told = importlib.metadata.metadata(name)
        where = ", ".join(f"`{each}`" for each in texts(name)) or "-"
        rows.append(f"| {name} | {', '.join(versions)} | {licence(told) or '-'} | {where} |\n")
    return HEAD + "".join(rows)


if __name__ == "__main__":
    print(page(), end="")
