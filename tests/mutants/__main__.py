"""`python -m tests.mutants`: see `tests/mutants/run.py`."""

import sys

from tests.mutants.run import Unfit, mutants, run


def main(names: list[str]) -> int:
    """Run the mutants of these names, or all; 1 where one survived, 2 where one cannot be used."""
    try:
        return 1 if run(mutants(names), lambda line: print(line, flush=True)) else 0
    except Unfit as unfit:
        print(unfit, file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
