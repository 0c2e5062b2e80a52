#!/usr/bin/env bash
# Looks for functions that nothing reaches; fails when there is one. What only tests reach counts as unreached, but for the
# rooms that are made for tests: of them, what not even a test reaches. There are no exceptions.
set -uo pipefail
cd "$(dirname "$0")/.." || exit 1

# house_test.go names the rooms that are made for tests.
helpers=$(sed -n 's/^var helpers = \[\]string{\(.*\)}$/\1/p' house_test.go | tr -d '" ' | tr ',' '|')
[[ -n $helpers ]] || { echo "unreached: house_test.go names no helpers of tests" >&2; exit 1; }

dead() { go tool -modfile=tools/go.mod deadcode "$@" ./...; }
product=$(dead) && all=$(dead -test) || exit 1 # an error is told by deadcode itself
found=$({ grep -Ev "^($helpers)/" <<<"$product"; printf '%s\n' "$all"; } | grep . | sort -u)
[[ -z $found ]] || { printf 'nothing reaches this:\n%s\n' "$found" >&2; exit 1; }
