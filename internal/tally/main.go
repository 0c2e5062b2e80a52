// Command tally reads streams of go test -json, side by side, and shows what a person wants of them: one line for each
// package, all that a failed test printed, why tests were skipped, and a closing line "312 passed, 0
// failed". It ends with status 1 when anything failed or no test was run.
//
//	go run ./internal/tally <(go test -json ./...) <(go test -json -race ./store)
//
// A line "check: NAME=ok" or "check: NAME=failed" in a stream counts as one more test: something that was tried beside them.
package main

import (
	"fmt"
	"io"
	"os"
)

func main() {
	var in []io.Reader
	for _, name := range os.Args[1:] {
		stream, err := os.Open(name)
		if err != nil {
			fmt.Fprintln(os.Stderr, "tally:", err)
			os.Exit(1)
		}
		in = append(in, stream)
	}
	os.Exit(run(os.Stdout, in...))
}

func run(out io.Writer, in ...io.Reader) int {
	all := &sum{out: out}
	if err := all.read(in...); err != nil {
		fmt.Fprintln(out, "tally:", err)
		return 1
	}
	if !all.close() {
		return 1
	}
	return 0
}
