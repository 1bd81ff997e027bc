# Makes and checks the Python environments of a checkout; read by dashboard/run and tests/run (bash 3.2 or newer).

say() { printf '%s\n' "$*" >&2; }

# Print the first Python on this machine that is new enough, or say what to install and fail.
find_python() {
    local candidate
    for candidate in "${EBBLINE_PYTHON:-}" python3 python3.14 python3.13 python3.12 python3.11; do
        [ -n "$candidate" ] || continue
        if "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
            command -v "$candidate"
            return 0
        fi
    done
    if command -v python3 >/dev/null 2>&1; then
        say "Ebbline needs Python 3.11 or newer; this machine's python3 is $(python3 -c 'import platform; print(platform.python_version())' 2>&1)."
    else
        say "Ebbline needs Python 3.11 or newer; no python3 was found on this machine."
    fi
    say "Install a newer one, or name one that lies elsewhere: EBBLINE_PYTHON=/path/to/python3 bash ${0}"
    return 1
}

# make_empty_environment PYTHON FOLDER
make_empty_environment() {
    local python="$1" folder="$2"
    rm -rf "$folder"
    if "$python" -c 'import venv, ensurepip' >/dev/null 2>&1; then
        "$python" -m venv "$folder"
    elif command -v uv >/dev/null 2>&1; then
        uv venv --quiet --seed --python "$python" "$folder"
    else
        say "$python cannot make environments: its venv module is missing or incomplete."
        say "On Debian or Ubuntu: apt install python3-venv"
        return 1
    fi
}

# install_into FOLDER PIP-ARGUMENTS...: one line a package on the way, the end of the installer's output on failure.
install_into() {
    local folder="$1" record="$1/install.log" status=0
    shift
    if command -v uv >/dev/null 2>&1; then
        say "  with uv"
        uv pip install --compile-bytecode --python "$folder/bin/python" "$@" >"$record" 2>&1 && return 0
        say "  uv could not do it (see $record); trying pip"
    fi
    PIP_DISABLE_PIP_VERSION_CHECK=1 "$folder/bin/python" -m pip install --progress-bar off --no-input "$@" 2>&1 |
        tee "$record" |
        awk '/^Collecting / { n++; printf "  %d: %s\n", n, $2; fflush() }
             /^Installing collected packages/ { printf "  putting %d packages in place, about half a minute\n", NF - 3; fflush() }' >&2 ||
        status=$?
    if [ "$status" -ne 0 ]; then
        say "The installation failed. The last lines of $record:"
        tail -n 20 "$record" >&2
        say "Check the connection to the package index (pip config list shows which), then start again."
    fi
    return "$status"
}

# prepare_environment FOLDER STAMPED-FILES -- PIP-ARGUMENTS...
# Leaves an environment that answers to the stamped files; does nothing when it already does.
prepare_environment() {
    local folder="$1" python stamp files=()
    shift
    while [ "$1" != "--" ]; do
        files+=("$1")
        shift
    done
    shift
    stamp="$PWD $(cat "${files[@]}" | cksum)"
    if "$folder/bin/python" -c '' >/dev/null 2>&1; then
        [ "$(cat "$folder/stamp" 2>/dev/null)" = "$stamp" ] && return 0
        say "Bringing $folder up to date."
    else
        python="$(find_python)" || return 1
        say "Making an environment in $folder (once; one to two minutes, about 1 GB)."
        make_empty_environment "$python" "$folder" || return 1
    fi
    rm -f "$folder/stamp"
    install_into "$folder" "$@" || return 1
    printf '%s\n' "$stamp" >"$folder/stamp"
}
