// Command tally reads the stream of go test -json and shows what a person wants of it: one line for each
// package, all that a failed test printed, why tests were skipped, and a closing line "312 passed, 0
// failed". It ends with status 1 when anything failed or no test was run.
//
//	go test -json ./... | go run ./internal/tally -checks lint=ok
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
)

func main() {
	checks := flag.String("checks", "", "what was tried before the tests: NAME=ok or NAME=failed, parted by commas")
	flag.Parse()
	os.Exit(run(*checks, os.Stdin, os.Stdout))
}

func run(checks string, in io.Reader, out io.Writer) int {
	t := newTally(out)
	if err := t.read(in); err != nil {
		fmt.Fprintln(out, "tally:", err)
		return 1
	}
	tests := t.passed + t.failed
	if err := t.checks(checks); err != nil {
		fmt.Fprintln(out, "tally:", err)
		return 1
	}
	if !t.close(tests) {
		return 1
	}
	return 0
}
