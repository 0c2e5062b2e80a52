#!/usr/bin/env bash
# Checks the form of all Go files and shell scripts. Fails on the first kind of fault, after telling all
# of that kind.
set -euo pipefail
cd "$(dirname "$0")/.."

tool() { go tool -modfile=tools/go.mod "$@"; }

unformatted=$(tool gofumpt -l .)
if [[ -n $unformatted ]]; then
	printf 'not formatted; run make fmt:\n%s\n' "$unformatted" >&2
	exit 1
fi
go vet ./...
tool staticcheck ./...
if command -v shellcheck >/dev/null; then
	shellcheck scripts/*.sh .ci/run
else
	echo "lint: shellcheck is not installed: the shell scripts were not checked"
fi
