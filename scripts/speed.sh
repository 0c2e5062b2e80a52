#!/usr/bin/env bash
# Runs the Go benchmarks, without tests, and prints their text, which benchstat reads. NAME chooses by a
# pattern, COUNT repeats. A machine that is busy otherwise gives numbers of no worth.
set -euo pipefail
cd "$(dirname "$0")/.."

text=$(mktemp)
trap 'rm -f "$text"' EXIT
# Packages without a benchmark print PASS and ok, or that they have no tests: of no interest here.
go test -run '^$' -bench "${NAME:-.}" -benchmem -count "${COUNT:-1}" -timeout 60m ./... |
	{ grep --line-buffered -v -e '^PASS$' -e '^ok ' -e '^?' || true; } | tee "$text"
if ! grep -q '^Benchmark' "$text"; then
	echo "no benchmark was run" >&2
	exit 1
fi
if ((${COUNT:-1} > 1)); then
	go tool -modfile=tools/go.mod benchstat "$text"
fi
