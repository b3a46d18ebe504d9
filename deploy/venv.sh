# Sourced by demo/run and tests/run, with the repository as the current folder.
# `ready run` or `ready tests`: an environment in .venv with that lock and this tree in it, made only if need be.

export PATH="${PATH:-/usr/local/bin:/usr/bin:/bin}"

# The first Python that will do, else one line that says what to install.
find_python() {
    local name hint='install Python 3.11 or later (Debian, Ubuntu: python3 and python3-venv)'
    for name in python3 python3.14 python3.13 python3.12 python3.11; do
        "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || continue
        hint="install the venv module of $name (Debian, Ubuntu: $name-venv)"
        "$name" -c 'import ensurepip, venv' 2>/dev/null || continue
        python=$name
        return
    done
    echo "hatchbell: $hint, then start this again" >&2
    exit 1
}

# What .venv was made from: both locks, pyproject, its Python, this folder.
fingerprint() {
    .venv/bin/python -ISc '
import hashlib, pathlib, sys
made_from = [pathlib.Path(name).read_bytes() for name in sys.argv[1:]]
made_from.append(repr((sys.version, sys._base_executable, pathlib.Path.cwd().resolve())).encode())
print(hashlib.sha256(b"\0".join(made_from)).hexdigest())
' pyproject.toml deploy/requirements.lock tests/requirements.lock
}

pip_install() {
    .venv/bin/python -m pip install --quiet --disable-pip-version-check --no-input "$@"
}

# .venv/stamp: the fingerprint, then which lock is in. It is gone while anything is half done.
ready() {
    local wanted=$1 stamp=.venv/stamp made='' has='' now=''
    if [ -f "$stamp" ] && [ -x .venv/bin/hatchbell ] && now=$(fingerprint 2>/dev/null); then
        read -r made has <"$stamp" || true
    fi
    if [ -n "$now" ] && [ "$made" = "$now" ]; then
        [ "$has" = tests ] || [ "$has" = "$wanted" ] && return
        rm -f "$stamp"
    else
        find_python
        echo 'Setting up .venv; this happens once and takes a minute or two.' >&2
        rm -rf .venv
        "$python" -m venv .venv
    fi
    local lock=deploy/requirements.lock
    [ "$wanted" = run ] || lock=tests/requirements.lock
    pip_install --require-hashes --only-binary :all: -r "$lock"
    pip_install --no-deps --no-build-isolation -e .
    rm -rf hatchbell.egg-info
    echo "$(fingerprint) $wanted" >"$stamp"
}
