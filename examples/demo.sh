#!/bin/sh
# Checks the example engine as it came in and as it went out, and names the paper to open first.
#
#     sh examples/demo.sh
#
# The first run sets everything up, which takes some minutes; the next ones need no network.
set -eu
cd "$(dirname "$0")/.."
venv='' # set_up names the environment
# shellcheck source=python/setup.sh disable=SC1091
. python/setup.sh
set_up shop

# Status 1 (something is outside its limits) and 4 (something is unproven) are answers, no failures.
show() {
    printf '\n$'
    printf ' %s' "$@"
    printf '\n'
    status=0
    "$@" || status=$?
    case $status in 0 | 1 | 4) ;; *) exit "$status" ;; esac
}

command=$venv/bin/enginewright
case $command in "$PWD"/*) command=${command#"$PWD"/} ;; esac

# The sheet keeps a misspelt part, to show how the Problems page names it; hence --accept-partial.
show "$command" check examples/linnet/received.xlsx --out out/linnet/received --accept-partial
show "$command" check examples/linnet/finished.xlsx --out out/linnet/finished --accept-partial

printf '\nOpen first: out/linnet/received/work_list.html (what to do next), '
printf 'then findings.xlsx beside it;\nout/linnet/finished/build_sheet.html is what the customer gets.\n'
