#!/usr/bin/env bash
# Checks the form of all Go files and shell scripts; tells every fault, and fails if there is one.
set -uo pipefail
cd "$(dirname "$0")/.." || exit 1

tool() { go tool -modfile=tools/go.mod "$@"; }

failed=0
if ! unformatted=$(tool gofumpt -l .) || [[ -n $unformatted ]]; then
	printf 'not formatted; run make fmt:\n%s\n' "$unformatted" >&2
	failed=1
fi
go vet ./... || failed=1
go vet -tags pictures ./web || failed=1 # what only make pictures builds
tool staticcheck ./... || failed=1
scripts/unreached.sh || failed=1
scripts/vulnerabilities.sh || failed=1
if command -v shellcheck >/dev/null; then
	shellcheck scripts/*.sh .ci/run || failed=1
else
	echo "lint: shellcheck is not installed: the shell scripts were not checked"
fi
exit "$failed"
