#!/usr/bin/env bash
# Everything that has to hold: installs what the tests need, builds the product without cgo, and then, side by side, checks the
# form of the code and runs all tests; closes with one line. Fails if anything did.
set -uo pipefail
cd "$(dirname "$0")/.." || exit 1

scripts/install-test-tools.sh || exit 1

# All tests are built as the program is, so that what is built for the one serves the other.
GOFLAGS="$(go env GOFLAGS) -trimpath"
export GOFLAGS CGO_ENABLED=0
try() { # NAME COMMAND...; its outcome is one line for the tally
	local name=$1
	shift
	if "$@" 2>&1; then echo "check: $name=ok"; else echo "check: $name=failed"; fi
}

# All tests run without the race detector, which makes each of them many times slower and finds nothing where one thing is done after the
# other. Those in which work runs side by side run once more with it. testnames_test.go holds these names, and finds what is missing.
alongside=(
	'./api:TestOneKeySixteenTimesAtOnce|TestTheSameMoneyAtOnce|TestSixtyFourSalesAtOnce|TestOneMessageSixteenTimesAtOnce|TestACallerThatLeaves|TestAFloodSilencesNobody|TestRate|TestRateOfAHook|TestMalformed'
	'./book:TestManyTakersAtOnce'
	'./buyers:TestMergesAtOnceWhileAFeedWrites'
	'./calendar:TestWorkingIsSafeTogether'
	'./cli/desk:TestABarFills'
	'./cli/movein:TestWatchingEnds|TestASlowWriterIsWaitedFor|TestRowsAfterReadingAreNotLost'
	'./copies:TestACopyOfANight|TestWhileSheSleeps'
	'./copies/place:TestBrokenOff|TestBucket'
	'./cmd/solander:TestServedToPhones'
	'./dayplan:TestPlansOfAWholeDayAreRemembered'
	'./dispatch:TestPackedAsPlannedOrPlannedAnew|TestNothingIsPackedWhileTheDayMoves'
	'./internal/browsertest:TestPageIsDrivenByHand'
	'./internal/nearby:TestStrangersAreDropped|TestTheDoorInTheNetworkOfThisMachine|TestTheDoorIsCalledOtherwise|TestTheDoorIsShutByHand|TestTheDoorKnowsItsNames|TestTheDoorShutsItself|TestWhatTheScannerFinds'
	'./internal/pgtest:TestEachTestHasItsOwnDatabase|TestCopyPreparesOnce'
	'./journal:TestAFailingDiskInThePaymentLeavesNothingInHalf'
	'./mailing/server:TestLettersGoByTheServer|TestServersThatTakeNothing'
	'./movein:TestRacingIntakes'
	'./packing/planner:TestLongOrders|TestManyOrdersTogether|TestProgress|TestScarcePackagingIsShared|TestStoppedHalfWay|TestTooMuchIsScarce'
	'./papers/pdf:TestTheSamePaperGivesTheSameBytes'
	'./phones:TestOneCodeManyAtOnce'
	'./planning:TestOrdersOfOneBuyerGoTogether|TestSharedParcelsAndScarcePackaging|TestTwoOrdersShareTheLastEnvelope|TestTheSumOfTheDayIsTheLeast|TestAnEndedSearchAnswers|TestASearchTellsHowFarItIs'
	'./store:TestAcross|TestCloseLetsGo|TestOpenAtOnce|TestBusy|TestBusyWithin|TestOpenBesideAWriter|TestLostTurn|TestReplacedWhileOpen|TestReplacedWithin|TestSealOfTwoWriters|TestTimeEndsInARead|TestKilledServer|TestManyLeavesAreHashedWhileOthersAreInserted|TestOutcomeUnknown|TestServerAway|TestNoConnectionLeft|TestUpgradeAtOnce'
	'./store/sqlite:TestRestIsAMinuteAtMost'
	'./record:TestTwoServersOneLog'
	'./rota:TestTheOtherProgramTakesOver'
	'./suppose:TestOneMoreTellsHowFarItIs|TestAStoppedQuestionKeepsWhatIsDone'
	'./web:TestAClonedPhone|TestACodeAtTheDoor|TestLettingAPhoneIn|TestStrangersAtTheDoor|TestTheDoorOfTheStudioShuts|TestWhatAPhoneMayDo|TestTheSameFormTwiceMakesOneOrder|TestTwoWindows|TestTwoWindowsNoteTheSameMoney|TestSettingsFromSeveralWindows|TestTwoWindowsInTheBrowser|TestABrowserThatLeaves|TestMoveInPages|TestUpload|TestAFormIsDoneOnceOverAStart|TestAReckoningTellsHowFarItIsAndStops|TestAReckoningThatBreaksDown|TestWhoWaitsIsTold|TestWaitingIsBounded|TestMalformed'
	'./web/page:TestQuickPlanningAnswersAtOnce'
)
# Of the contract of the store the rules in which several come at once, or one goes away.
contract='two_writers|many_programs_at_once|a_lease_left_behind|broken_off_is_due|sixty-four_takers|while_the_store_is_in_use|a_read_sees_one_state|ends_with_its_context|an_export_comes_back|two_owners_who|lets_in_once|counted_together|the_first_account'
# The embedded SQLite is C in the form of Go, and its memory is none of Go's: the detector has nothing to find there, and took half of
# the time of a room that writes. What calls it is watched. (Not more of modernc.org: it would share unwatched generics with Go's own library.)
race=(-race '-gcflags=modernc.org/sqlite/lib=-race=false')

# The long ones begin first, so that none is left alone at the end.
long='web packing/planner cli store packing/check demo internal/damage cmd/solander papers/pdf movein studio packing cli/movein api packing/cutting internal/brute/mix'
in_turn() { # reads the rooms, writes the long ones and then the others
	awk -v long="$long" 'BEGIN { n = split(long, name, " "); for (i = 1; i <= n; i++) turn["solander/" name[i]] = i }
		{ print ($1 in turn ? turn[$1] : n + 1), $1 }' | sort -s -k 1,1n | cut -d ' ' -f 2
}
# Tests make much and keep little: to collect less often takes a tenth of their work away. Vet is part of lint. Nobody steps through them
# with a debugger here: to link each without the tables of one (-w) takes a third to a half of linking away.
tests=(env "GOGC=${GOGC:-300}" go test -json -vet=off -ldflags=-w -timeout 60m)

checked() {
	echo "$built"
	try lint scripts/lint.sh
}
plain() {
	local rooms
	mapfile -t rooms < <(go list ./... | in_turn)
	"${tests[@]}" "${rooms[@]}" 2>&1
}
raced() {
	local rooms
	mapfile -t rooms < <(printf 'solander/%s\n' "${alongside[@]#./}" | cut -d : -f 1 | in_turn)
	"${tests[@]}" "${race[@]}" -run "^($(IFS='|' && echo "${alongside[*]#*:}"))\$|^TestContract\$/./($contract)" "${rooms[@]}" 2>&1
}

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
go build -o "$work/tally" ./internal/tally || exit 1
# First alone: what it compiles the others need, and each would compile it for itself.
built=$(try build go build -o bin/solander ./cmd/solander)
# Side by side, so that no processor waits for the end of the one before the other begins.
if [[ $(CGO_ENABLED=1 go env CGO_ENABLED) == 1 ]] && command -v "$(go env CC)" >/dev/null; then
	"$work/tally" <(checked) <(plain) <(CGO_ENABLED=1 raced)
else
	echo "no C compiler here: the tests run without the race detector"
	"$work/tally" <(checked) <(plain)
fi
