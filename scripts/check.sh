#!/usr/bin/env bash
# The check for daily use: form, vet, and the tests that need no program beside Go (a browser, PostgreSQL, one that looks at
# pictures) and are not long (-short). What it leaves out, make test runs. Fails if anything did.
set -uo pipefail
cd "$(dirname "$0")/.." || exit 1

tool() { go tool -modfile=tools/go.mod "$@"; }

failed=0
if ! unformatted=$(tool gofumpt -l .) || [[ -n $unformatted ]]; then
	printf 'not formatted; run make fmt:\n%s\n' "$unformatted" >&2
	failed=1
fi
# Vet runs here and not in each test, where it would run again.
go vet ./... || failed=1
# Tests make much and keep little: to collect less often takes a tenth of their work away. The long ones begin first.
# Linked without a debugger's tables (-w), each is there sooner.
export GOGC=400
go test -short -vet=off -ldflags=-w ./web ./store ./packing/planner ./cli ./... | { grep -v 'no test files' || true; } || failed=1
((failed)) || echo "checked; make test checks everything"
exit "$failed"
