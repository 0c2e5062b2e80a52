package cli

import (
	"fmt"
	"strings"

	"solander/fault"
)

// Exit codes that belong to no fault.
const (
	exitDone     = 0
	exitFindings = 1 // check, or the trial of a file, found something wrong; find found nothing
)

// exitCodes is the one table from fault codes to exit codes. Whatever the input is to blame for, alone
// or as things stand in the studio, is 2; what may work on a second try is 3; our own
// failure is 4; a write of which nobody knows whether it stands is 5.
var exitCodes = map[fault.Code]int{
	fault.Invalid:  2,
	fault.Missing:  2,
	fault.Taken:    2,
	fault.Refused:  2,
	fault.TooLarge: 2,
	fault.Unknown:  2,
	fault.Denied:   2,
	fault.Changed:  2,
	fault.TooMany:  3,
	fault.Busy:     3,
	fault.Internal: 4,
	fault.Unsure:   5,
}

// exitOf returns the exit code of an error: the gravest of its faults.
func exitOf(err error) int {
	code := exitDone
	for _, f := range fault.All(err) {
		code = max(code, exitCodes[f.Code])
	}
	return code
}

// exitHelp is the table as --help prints it.
func exitHelp() string {
	var b strings.Builder
	b.WriteString("Exit codes:\n\n")
	fmt.Fprintf(&b, "  0  done\n  1  check found something wrong, or the trial of a file did; find found nothing\n")
	for _, row := range []struct {
		code int
		text string
	}{
		{2, "the input is wrong, or a rule of the studio forbids it"},
		{3, "the store is away, busy or asked too often; the same call may succeed later"},
		{4, "a failure of the program"},
		{5, "the store went away while it took the write: look whether it stands before you do it again"},
	} {
		var codes []string
		for _, c := range fault.Codes() {
			if exitCodes[c] == row.code {
				codes = append(codes, string(c))
			}
		}
		fmt.Fprintf(&b, "  %d  %s (%s)\n", row.code, row.text, strings.Join(codes, ", "))
	}
	return b.String()
}
