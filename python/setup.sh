# shellcheck shell=sh
# What the two commands of the README need: tools, Python packages, and one build for both languages.
#
#     . python/setup.sh       from the top of the checkout, then:
#     set_up shop             what the main job needs          (examples/demo.sh)
#     set_up dev              that, and everything for tests   (tests/run.sh)
#
# or by itself: sh python/setup.sh [shop|dev|bench]
#
# A step runs only when its stamp says that something changed, so a second run does nothing and
# needs no network. Afterwards $venv is the folder of the environment and $python its interpreter.
#
# PYTHON             interpreter to start from (default: python3)
# CXX                compiler (default: g++)
# ENGINEWRIGHT_VENV  folder of the environment (default: .venv)
#
# Status 3: something is missing that only the machine's keeper can give; one line says what.

logs=build/logs
tree=build/dev

say() { printf '%s\n' "$*" >&2; }

# A stamp is written last and under its final name at once: an interrupted step leaves none.
stamp() { printf '%s\n' "$2" >"$1.new" && mv -f "$1.new" "$1"; }
stamped() { [ -f "$1" ] && [ "$(cat "$1")" = "$2" ]; }

# step NAME "what it does" "what to do when it fails" COMMAND...
step() {
    log=$logs/$1.log what=$2 remedy=$3
    shift 3
    mkdir -p "$logs"
    say "setting up: $what"
    if "$@" >"$log" 2>&1 </dev/null; then return 0; fi
    say "failed: $what"
    tried=$(sed -n 's/^+ //p' "$log" | tail -n 1)
    say "  tried: ${tried:-$*}"
    tail -n 20 "$log" | sed 's/^/  | /' >&2
    say "  the whole log: $log"
    say "  next: $remedy"
    exit 3
}

# --- What the machine must have: capabilities are tried, package names are not looked up. ---------

compiles() { printf '%s\n' "$1" | "${CXX:-g++}" -std=c++20 -x c++ -fsyntax-only - >/dev/null 2>&1; }

# Without a compiler the header is looked for where compilers look.
has_header() {
    if compiles 'int main() {}'; then
        compiles "#if !__has_include(<$1>)
#error missing
#endif"
    else
        [ -f "/usr/include/$1" ] || [ -f "/usr/local/include/$1" ]
    fi
}

has_eigen() {
    has_header eigen3/Eigen/Core || has_header Eigen/Core ||
        ls "$venv"/lib/python3.*/site-packages/cmeel.prefix/include/eigen3/Eigen/Core >/dev/null 2>&1
}

new_enough() { "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; }
makes_venvs() { "$1" -c 'import venv, ensurepip' >/dev/null 2>&1; }
has_python_header() {
    "$1" -c 'import os, sys, sysconfig
sys.exit(not os.path.isfile(os.path.join(sysconfig.get_path("include"), "Python.h")))' >/dev/null 2>&1
}

# The environment's own interpreter when there is one, else the first that can do everything.
choose_interpreter() {
    interpreter=
    if new_enough "$python"; then
        interpreter=$python
        return
    fi
    for candidate in ${PYTHON:-python3 python3.14 python3.13 python3.12 python3.11 /usr/bin/python3}; do
        if new_enough "$candidate" && makes_venvs "$candidate" && has_python_header "$candidate"; then
            interpreter=$candidate
            return
        fi
    done
    interpreter=${PYTHON:-python3}
}

list_missing() {
    missing='' words=''
    lacks() { missing="$missing $1" words="$words${words:+, }$2"; }
    choose_interpreter
    compiles '#if __cplusplus < 202002L
#error too old
#endif' || lacks g++ 'a C++20 compiler (g++ 12 or newer)'
    has_eigen || lacks libeigen3-dev 'the headers of Eigen 3.4'
    has_header nlohmann/json.hpp || lacks nlohmann-json3-dev 'the headers of nlohmann_json 3.11'
    [ "$1" = shop ] || has_header gtest/gtest.h || lacks libgtest-dev 'GoogleTest'
    new_enough "$interpreter" || lacks python3 'Python 3.11 or newer'
    makes_venvs "$interpreter" || lacks python3-venv 'the Python modules venv and ensurepip'
    has_python_header "$interpreter" || lacks python3-dev "Python.h of $interpreter"
    missing=${missing# }
}

install_missing() {
    # The list is words of ours, split on purpose.
    # shellcheck disable=SC2086
    "$@" apt-get update && DEBIAN_FRONTEND=noninteractive "$@" apt-get install -y --no-install-recommends $missing
}

need_tools() {
    list_missing "$1"
    [ -n "$missing" ] || return 0
    by_hand="apt-get update && apt-get install -y --no-install-recommends $missing"
    offline='no network? connect and run this again, or have the packages installed by hand'
    if ! command -v apt-get >/dev/null 2>&1; then
        say "missing on this machine: $words; install them with its own package manager and run this again"
        exit 3
    elif [ "$(id -u)" = 0 ]; then
        step packages "Debian packages: $missing" "$offline" install_missing
    elif command -v sudo >/dev/null 2>&1 && { [ -t 0 ] || sudo -n true 2>/dev/null; }; then
        # Asked for the password here, where the question can be seen, not inside the logged step.
        if [ -t 0 ]; then sudo -v || exit 3; fi
        step packages "Debian packages: $missing" "$offline" install_missing sudo
    else
        say "missing on this machine: $words; whoever runs it types: $by_hand"
        exit 3
    fi
    list_missing "$1"
    [ -z "$missing" ] && return 0
    say "still missing after installing: $words; PYTHON=... and CXX=... name others than the machine's own"
    exit 3
}

# --- The environment, its packages, the build -----------------------------------------------------

make_environment() {
    if new_enough "$python" && "$python" -c 'import pip' >/dev/null 2>&1; then return 0; fi
    # Only what is plainly an environment is cleared; any other folder of that name is left alone.
    if [ -e "$venv" ] && [ ! -f "$venv/pyvenv.cfg" ]; then
        say "$venv is in the way: it is no Python environment; move it, or name another in ENGINEWRIGHT_VENV"
        exit 3
    fi
    step environment "Python environment in $venv" 'look at the log; the system Python is never written to' \
        "$interpreter" -m venv --clear "$venv"
}

# A moved checkout leaves the old folder in the first line of every script of the environment.
mend_moved_scripts() {
    for script in "$venv"/bin/*; do
        if [ ! -f "$script" ] || [ -L "$script" ]; then continue; fi
        if [ "$(head -c 2 "$script" | tr -d '\0')" != '#!' ]; then continue; fi
        sed "1s|^#!.*/bin/python[0-9.]*\$|#!$python|" "$script" >"$script.new" &&
            cat "$script.new" >"$script" && rm -f "$script.new"
    done
}

pip() {
    echo "+ $python -m pip $*"
    PIP_DISABLE_PIP_VERSION_CHECK=1 "$python" -m pip --no-input "$@"
}
install_group() { pip install --upgrade 'pip>=25.1' && pip install --group "$1"; }

# The group itself, or a larger one that holds it.
has_group() {
    case $1 in shop) holders='shop dev' ;; *) holders=$1 ;; esac
    for holder in $holders; do
        if stamped "$venv/enginewright-$holder.stamp" "$packages_now"; then return 0; fi
    done
    return 1
}

build_core() {
    pip install --no-build-isolation --no-deps -C "build-dir=$tree" \
        -C "cmake.define.ENGINEWRIGHT_TESTS=$1" -e .
}

# A build with the tests serves the demo too.
has_build() {
    [ -x "$venv/bin/enginewright" ] || return 1
    stamped "$tree/enginewright.stamp" "$sources_now tests ON" ||
        { [ "$1" = OFF ] && stamped "$tree/enginewright.stamp" "$sources_now tests OFF"; }
}

# Everything that an answer of the build depends on, as one number.
digest_sources() {
    {
        # The command and its option are two words.
        # shellcheck disable=SC2086
        find CMakeLists.txt pyproject.toml cpp tests/cpp tests/CMakeLists.txt -type f -exec $digest {} + 2>/dev/null || :
        printf '%s\n' "$python"
    } | LC_ALL=C sort | $digest | cut -d ' ' -f 1
}

set_up() {
    group=$1
    tests=ON
    venv=${ENGINEWRIGHT_VENV:-.venv}
    case $venv in /*) ;; *) venv=$PWD/$venv ;; esac
    python=$venv/bin/python
    if command -v sha256sum >/dev/null 2>&1; then digest=sha256sum; else digest='shasum -a 256'; fi
    packages_now=$($digest pyproject.toml | cut -d ' ' -f 1)
    sources_now=$(digest_sources)
    # Where the tests have been set up, their build stays one with the tests.
    if [ "$group" = shop ] && ! stamped "$venv/enginewright-dev.stamp" "$packages_now"; then
        tests=OFF
    fi
    if has_group "$group" && has_build "$tests"; then return 0; fi

    need_tools "$group"
    make_environment
    if ! stamped "$venv/enginewright-place.stamp" "$python"; then
        mend_moved_scripts
        stamp "$venv/enginewright-place.stamp" "$python"
    fi
    if ! has_group "$group"; then
        step "python-$group" "Python packages of the group '$group'" \
            'no network? packages already present are kept; run this again when connected' \
            install_group "$group"
        stamp "$venv/enginewright-$group.stamp" "$packages_now"
    fi
    if ! has_build "$tests"; then
        step build 'building the calculation core (some minutes the first time)' \
            'read the first error in the log; after a change to a source, run this again' \
            build_core "$tests"
        stamp "$tree/enginewright.stamp" "$sources_now tests $tests"
    fi
}

case ${0##*/} in
setup.sh)
    set -eu
    cd "$(dirname "$0")/.." || exit 3
    set_up "${1:-shop}"
    ;;
esac
