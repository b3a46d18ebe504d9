# Sourced by demo/run and tests/run, with the repository as the current folder.
# `ready run` or `ready tests`: an environment in .venv with that lock and this tree in it, made only if need be.

export PATH="${PATH:-/usr/local/bin:/usr/bin:/bin}"
stamp=.venv/stamp

# The first Python that will do, else one line that says what to install.
find_python() {
    local name hint='install Python 3.11 or later (Debian, Ubuntu: python3 and python3-venv)'
    for name in python3 python3.14 python3.13 python3.12 python3.11; do
        "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || continue
        hint="install the venv module of $name (Debian, Ubuntu: $name-venv)"
        "$name" -c 'import ensurepip, venv' 2>/dev/null || continue
        python=$("$name" -c 'import sys; print(sys._base_executable)') # not the one of .venv itself
        return
    done
    echo "hatchbell: $hint, then start this again" >&2
    exit 1
}

# Two words: what the packages in .venv were made from (locks, Python, folder), and what the tree in it was.
fingerprints() {
    .venv/bin/python -ISc '
import hashlib, pathlib, sys
home = repr((sys.version, sys._base_executable, pathlib.Path.cwd().resolve())).encode()
project, *locks = [pathlib.Path(name).read_bytes() for name in sys.argv[1:]]
print(*[hashlib.sha256(b"\0".join(parts)).hexdigest() for parts in ([home, *locks], [project])])
' pyproject.toml deploy/requirements.lock tests/requirements.lock
}

# The stamp names the lock that is in, then the fingerprints. It is gone while anything is half done.
ready() {
    local wanted=$1 has='' packages='' tree='' now_packages='' now_tree=''
    if [ -f "$stamp" ] && [ -x .venv/bin/hatchbell ]; then
        read -r has packages tree <"$stamp" || true
        read -r now_packages now_tree < <(fingerprints 2>/dev/null) || true
    fi
    if [ -z "$packages" ] || [ "$packages" != "$now_packages" ]; then
        find_python
        echo 'Setting up .venv; this happens once and takes a minute or two.' >&2
        rm -rf .venv
        "$python" -m venv .venv
        has=nothing
    fi
    if [ "$has" != tests ] && [ "$has" != "$wanted" ]; then
        install_lock "$wanted"
        install_tree "$wanted"
    elif [ "$tree" != "$now_tree" ]; then
        install_tree "$has"
    fi
}

install_lock() {
    local lock=deploy/requirements.lock
    [ "$1" = run ] || lock=tests/requirements.lock
    rm -f "$stamp"
    pip_install --require-hashes --only-binary :all: -r "$lock"
}

install_tree() {
    rm -f "$stamp"
    pip_install --no-deps --no-build-isolation -e .
    rm -rf hatchbell.egg-info
    echo "$1 $(fingerprints)" >"$stamp"
}

pip_install() {
    .venv/bin/python -m pip install -qq --disable-pip-version-check --no-input "$@"
}
