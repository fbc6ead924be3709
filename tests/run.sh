#!/bin/sh
# Sets up and runs every test, C++ and Python; stops at none, and fails at the end if any failed.
#
#     sh tests/run.sh                 all tests and lints
#     sh tests/run.sh deep            besides: sanitizers, clang-tidy, fuzzing, oldest and newest packages
#     sh tests/run.sh bench [NAME...] the benchmarks, side by side with what a user would pick instead
#
# FUZZ_SECONDS  how long the deep run feeds each reader with damaged input (default 60)
#
# The last line is 'N passed, N failed'.
set -eu
cd "$(dirname "$0")/.."
# set_up names the environment, its interpreter and the folder of the build.
venv='' python='' tree=''
# shellcheck source=python/setup.sh disable=SC1091
. python/setup.sh

word=${1:-}
case $word in
'' | deep) set_up dev ;;
bench)
    shift
    set_up bench
    exec "$python" tests/benchmarks/run.py "$@"
    ;;
*)
    say "unknown word '$word'; run: sh tests/run.sh [deep | bench [NAME...]]"
    exit 2
    ;;
esac

reports=build/reports
mkdir -p "$reports"
passed=0 failed=0 failures=''

# Runners of tests say in their closing lines how many there were:
#   ctest   '2 tests failed out of 57', '100% tests passed out of 57'
#   pytest  '3 failed, 120 passed, 1 error in 4.2s'
# Anything else counts as one.
count() {
    all=$(sed -n 's/.* tests \(failed\|passed\) out of \([0-9]*\).*/\2/p' "$1" | tail -n 1)
    last=$(tail -n 1 "$1")
    before() { printf ' %s\n' "$last" | sed -n "s/.*[^0-9]\([0-9][0-9]*\) $1.*/\1/p"; }
    if [ -n "$all" ]; then
        bad=$(sed -n 's/.*[^0-9]\([0-9]*\) tests failed out of.*/\1/p' "$1" | tail -n 1)
        bad=${bad:-0} good=$((all - ${bad:-0}))
    elif printf '%s\n' "$last" | grep -q ' in [0-9.]*s'; then
        good=$(before passed) bad=$(before failed) wrong=$(before error)
        good=${good:-0} bad=$((${bad:-0} + ${wrong:-0}))
    elif [ "$2" = 0 ]; then
        good=1 bad=0
    else
        good=0 bad=1
    fi
    # A runner that broke down before it could count has failed all the same.
    if [ "$2" != 0 ] && [ "$bad" = 0 ]; then bad=1; fi
    passed=$((passed + good)) failed=$((failed + bad))
}

# check NAME COMMAND...
check() {
    name=$1 report=$reports/$1.txt outcome=$reports/$1.status
    shift
    printf '\n== %s\n' "$name"
    { if "$@" 2>&1; then echo 0 >"$outcome"; else echo 1 >"$outcome"; fi; } | tee "$report"
    if [ "$(cat "$outcome")" != 0 ]; then failures="$failures $name"; fi
    count "$report" "$(cat "$outcome")"
}

all_cpp() { find cpp tests/cpp examples/cpp -name '*.[ch]pp' -exec "$@" {} +; }

check ctest "$venv/bin/ctest" --test-dir "$tree" --output-on-failure --no-tests=error
check pytest "$python" -m pytest -q tests --ignore=tests/notebooks
check examples "$python" -m pytest -q -p tests.doctest_names --doctest-modules --doctest-glob=README.md \
    python/enginewright README.md
check notebooks "$python" -m pytest -q tests/notebooks
check ruff "$python" -m ruff check
check ruff-format "$python" -m ruff format --check
check mypy "$python" -m mypy
check clang-format all_cpp "$venv/bin/clang-format" --dry-run -Werror
if command -v shellcheck >/dev/null 2>&1; then
    check shellcheck shellcheck -x python/setup.sh examples/demo.sh tests/run.sh tests/deep.sh
fi
if [ "$word" = deep ]; then
    # shellcheck source=tests/deep.sh disable=SC1091
    . tests/deep.sh
fi

if [ -n "$failures" ]; then printf '\nfailed:%s\n' "$failures"; fi
printf '\n%s passed, %s failed\n' "$passed" "$failed"
[ -z "$failures" ]
