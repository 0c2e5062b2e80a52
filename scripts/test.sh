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
alongside='^solander/(book|buyers|calendar|cli/(desk|movein)|dayplan|dispatch|feeds|house|internal/(browsertest|pgtest)|movein|planning|store/|studio|tariff/cards|web/)'
# Rooms whose tests mostly do one thing after the other: all of them run without it, and those in which work runs side by side once more with it.
partly=(
	'./store:TestContract|TestAcross|TestCloseLetsGo|TestOpenAtOnce|TestBusy|TestBusyWithin|TestOpenBesideAWriter|TestLostTurn|TestReplacedWhileOpen|TestReplacedWithin|TestSealOfTwoWriters|TestTimeEndsInARead|TestKilledServer|TestOutcomeUnknown|TestServerAway|TestNoConnectionLeft'
	'./web:TestTheSameFormTwiceMakesOneOrder|TestTwoWindows|TestSettingsFromSeveralWindows|TestTwoWindowsInTheBrowser|TestABrowserThatLeaves|TestMoveInPages|TestUpload|TestAFormIsDoneOnceOverAStart'
	'./api:TestOneKeySixteenTimesAtOnce|TestSixtyFourSalesAtOnce|TestOneMessageSixteenTimesAtOnce|TestACallerThatLeaves|TestAFloodSilencesNobody|TestRate|TestRateOfAHook'
	'./packing/planner:TestLongOrders|TestManyOrdersTogether|TestProgress|TestScarcePackagingIsShared|TestStoppedHalfWay|TestTooMuchIsScarce'
	'./papers/pdf:TestTheSamePaperGivesTheSameBytes'
)
# The embedded SQLite is C in the form of Go, and its memory is none of Go's: the detector has nothing to find there, and took half of
# the time of a room that writes. What calls it is watched. (Not more of modernc.org: it would share unwatched generics with Go's own library.)
race=(-race '-gcflags=modernc.org/sqlite/lib=-race=false')
if [[ $(go env CGO_ENABLED) != 1 ]] || ! command -v "$(go env CC)" >/dev/null; then
	race=()
	partly=()
	echo "no C compiler here: the tests run without the race detector"
fi

# The long ones begin first, so that none is left alone at the end.
long='web store packing/planner demo cli packing/check internal/damage movein cli/movein studio packing cmd/solander papers/pdf api packing/cutting internal/brute/mix'
in_turn() { # reads the rooms, writes the long ones and then the others
	awk -v long="$long" 'BEGIN { n = split(long, name, " "); for (i = 1; i <= n; i++) turn["solander/" name[i]] = i }
		{ print ($1 in turn ? turn[$1] : n + 1), $1 }' | sort -s -k 1,1n | cut -d ' ' -f 2
}
mapfile -t racing < <(go list ./... | grep -E "$alongside" | in_turn)
mapfile -t plain < <(go list ./... | grep -vE "$alongside" | in_turn)
joined=$(
	IFS=,
	echo "${checks[*]}"
)
# Tests make much and keep little: to collect less often takes a tenth of their work away.
export GOGC=${GOGC:-300}
# Vet ran before, and one room more than there are processors fills the time in which the others wait for a disk or a browser.
tests=(go test -json -vet=off -timeout 60m -p "$(($(getconf _NPROCESSORS_ONLN) + 1))")
{
	"${tests[@]}" "${race[@]}" "${racing[@]}"
	"${tests[@]}" "${plain[@]}"
	if ((${#partly[@]})); then
		"${tests[@]}" "${race[@]}" -run "^($(IFS='|' && echo "${partly[*]#*:}"))\$" "${partly[@]/%:*/}"
	fi
} | go run ./internal/tally -checks "$joined"
