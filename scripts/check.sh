#!/usr/bin/env bash
# The check for daily use: form, vet, staticcheck, and the tests that need neither a browser nor PostgreSQL and are not long
# (-short). What it leaves out, make test runs. Fails if anything did.
set -uo pipefail
cd "$(dirname "$0")/.." || exit 1

tool() { go tool -modfile=tools/go.mod "$@"; }

failed=0
if ! unformatted=$(tool gofumpt -l .) || [[ -n $unformatted ]]; then
	printf 'not formatted; run make fmt:\n%s\n' "$unformatted" >&2
	failed=1
fi
tool staticcheck ./... || failed=1
# Vet runs here and not in each test, where it would run again.
go vet ./... || failed=1
go test -short -vet=off ./... | { grep -v 'no test files' || true; } || failed=1
((failed)) || echo "checked; make test checks everything"
exit "$failed"
