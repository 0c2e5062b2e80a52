#!/usr/bin/env bash
# Everything that has to hold: installs what the tests need, builds the product without cgo, checks the
# form of the code, runs all tests, and closes with one line. Fails if anything did.
set -uo pipefail
cd "$(dirname "$0")/.." || exit 1

scripts/install-test-tools.sh || exit 1

checks=()
try() { # NAME COMMAND...
	local name=$1
	shift
	if "$@"; then checks+=("$name=ok"); else checks+=("$name=failed"); fi
}
try build env CGO_ENABLED=0 go build -trimpath -o bin/solander ./cmd/solander
try lint scripts/lint.sh

# The race detector goes where work runs side by side; elsewhere it only makes the counting slow. The stories of the command line start
# the program hundreds of times, one command each: with it every start takes six times as long, and what they run is raced in its own room.
alongside='^solander/(api|book|buyers|calendar|cli/(desk|movein)|dayplan|dispatch|feeds|house|internal/(browsertest|pgtest)|movein|planning|store|studio|web|tariff/cards|papers/pdf)|^solander/packing/planner$'
race=(-race)
if [[ $(go env CGO_ENABLED) != 1 ]] || ! command -v "$(go env CC)" >/dev/null; then
	race=()
	echo "no C compiler here: the tests run without the race detector"
fi
mapfile -t racing < <(go list ./... | grep -E "$alongside")
mapfile -t plain < <(go list ./... | grep -vE "$alongside")
joined=$(
	IFS=,
	echo "${checks[*]}"
)
{
	go test -json -timeout 40m "${plain[@]}"
	go test -json "${race[@]}" -timeout 40m "${racing[@]}"
} | go run ./internal/tally -checks "$joined"
