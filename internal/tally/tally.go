package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"sort"
	"strings"
	"sync"
)

// event is one line of go test -json (see go doc test2json).
type event struct {
	Action     string
	Package    string
	ImportPath string // of a build event
	Test       string
	Output     string
}

// sum is what all streams come to.
type sum struct {
	mu                      sync.Mutex // held while a line is taken
	out                     io.Writer
	passed, failed, skipped int
	tests                   bool     // a test was run
	reasons                 []string // why tests were skipped
}

// tally counts the tests of a stream and tells those that failed. A test that only gathers others (t.Run) is not
// counted, its parts are; one that never ended counts as failed, and so does a package that failed
// without a failed test: it did not build, or ended by itself.
type tally struct {
	*sum
	counted bool                                   // something of this stream
	running map[string]map[string]*strings.Builder // package → test → what it printed
	parents map[string]bool                        // package + test that have parts
	within  map[string]bool                        // package + test of which a part failed
	broken  map[string]bool                        // package → a failed test was counted in it
	ended   map[string]bool                        // package → its last event came
}

// read takes streams of go test -json, side by side, to their ends. One that counts nothing counts as failed: what should have written
// it did not begin.
func (s *sum) read(in ...io.Reader) error {
	faults := make([]error, len(in))
	var all sync.WaitGroup
	for i, r := range in {
		t := &tally{
			sum: s, running: map[string]map[string]*strings.Builder{}, parents: map[string]bool{},
			within: map[string]bool{}, broken: map[string]bool{}, ended: map[string]bool{},
		}
		all.Go(func() { faults[i] = t.read(r) })
	}
	all.Wait()
	return errors.Join(faults...)
}

func (t *tally) read(r io.Reader) error {
	lines := bufio.NewReader(r)
	for {
		line, err := lines.ReadString('\n')
		fault := t.line(strings.TrimRight(line, "\r\n"))
		if err == io.EOF {
			t.unfinished()
			return fault
		}
		if err = errors.Join(fault, err); err != nil {
			return err
		}
	}
}

func (t *tally) line(line string) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	var e event
	check, ok := strings.CutPrefix(line, "check: ")
	switch {
	case line == "":
	case ok:
		return t.check(check)
	case json.Unmarshal([]byte(line), &e) == nil && e.Action != "":
		t.take(e)
	default:
		fmt.Fprintln(t.out, line) // the go command's own words
	}
	return nil
}

func (t *tally) take(e event) {
	switch {
	case e.Action == "build-output":
		fmt.Fprint(t.out, e.Output)
	case e.Test == "":
		t.packageEvent(e)
	case e.Action == "run":
		t.begin(e)
	case e.Action == "output":
		if b := t.running[e.Package][e.Test]; b != nil {
			b.WriteString(e.Output)
		}
	case e.Action == "pass" || e.Action == "fail" || e.Action == "skip":
		t.end(e)
	}
}

func (t *tally) begin(e event) {
	if t.running[e.Package] == nil {
		t.running[e.Package] = map[string]*strings.Builder{}
	}
	t.running[e.Package][e.Test] = new(strings.Builder)
	if at := strings.LastIndexByte(e.Test, '/'); at >= 0 {
		t.parents[e.Package+" "+e.Test[:at]] = true
	}
}

func (t *tally) end(e event) {
	printed := t.running[e.Package][e.Test]
	delete(t.running[e.Package], e.Test)
	parent := t.parents[e.Package+" "+e.Test]
	switch e.Action {
	case "pass":
		if !parent {
			t.passed++
		}
		t.counted, t.tests = true, true
	case "skip":
		t.skipped++
		t.counted = true
		if printed != nil {
			t.reasons = append(t.reasons, e.Package+" "+e.Test+": "+reason(printed.String()))
		}
	case "fail":
		if !t.within[e.Package+" "+e.Test] { // else its part was counted
			t.failed++
		}
		t.counted, t.tests = true, true
		for at := strings.LastIndexByte(e.Test, '/'); at >= 0; at = strings.LastIndexByte(e.Test[:at], '/') {
			t.within[e.Package+" "+e.Test[:at]] = true
		}
		t.broken[e.Package] = true
		if printed != nil {
			fmt.Fprint(t.out, printed)
		}
	}
}

// reason finds the words of t.Skip among what a test printed.
func reason(printed string) string {
	for line := range strings.Lines(printed) {
		line = strings.TrimSpace(line)
		if line != "" && !strings.HasPrefix(line, "===") && !strings.HasPrefix(line, "---") {
			return line
		}
	}
	return "no reason given"
}

func (t *tally) packageEvent(e event) {
	switch e.Action {
	case "output":
		if e.Output != "PASS\n" {
			fmt.Fprint(t.out, e.Output)
		}
	case "fail":
		t.abandon(e.Package)
		if !t.broken[e.Package] {
			t.failed++
			t.counted, t.tests = true, true
		}
		t.ended[e.Package] = true
	case "pass", "skip":
		t.ended[e.Package] = true
	}
}

// abandon counts the tests of a package that began and never ended.
func (t *tally) abandon(pkg string) {
	var names []string
	for name := range t.running[pkg] {
		if !t.parents[pkg+" "+name] {
			names = append(names, name)
		}
	}
	sort.Strings(names)
	for _, name := range names {
		fmt.Fprintf(t.out, "%s--- FAIL: %s never ended\n", t.running[pkg][name], name)
		t.failed++
		t.counted, t.tests = true, true
		t.broken[pkg] = true
	}
	delete(t.running, pkg)
}

// unfinished counts the packages that the stream left in the middle, and a stream without anything.
func (t *tally) unfinished() {
	t.mu.Lock()
	defer t.mu.Unlock()
	var names []string
	for pkg := range t.running {
		if !t.ended[pkg] {
			names = append(names, pkg)
		}
	}
	sort.Strings(names)
	for _, pkg := range names {
		fmt.Fprintf(t.out, "FAIL\t%s: the output ends in the middle of it\n", pkg)
		t.abandon(pkg)
		if !t.broken[pkg] {
			t.failed++
			t.counted = true
		}
	}
	if !t.counted {
		fmt.Fprintln(t.out, "FAIL\ta stream of tests brought none")
		t.failed++
	}
}

// check takes "lint=ok" or "lint=failed": what was tried beside the tests.
func (t *tally) check(c string) error {
	name, result, _ := strings.Cut(c, "=")
	switch result {
	case "ok":
		t.passed++
		fmt.Fprintf(t.out, "ok  \t%s\n", name)
	case "failed":
		t.failed++
		fmt.Fprintf(t.out, "FAIL\t%s: see above\n", name)
	default:
		return fmt.Errorf("%q is neither NAME=ok nor NAME=failed", c)
	}
	t.counted = true
	return nil
}

// close prints why tests were skipped and, last, the closing line. It reports whether all is well: at
// least one test passed and none failed.
func (s *sum) close() bool {
	for _, r := range s.reasons {
		fmt.Fprintln(s.out, "skipped:", r)
	}
	if !s.tests {
		fmt.Fprintln(s.out, "FAIL\tno test was run")
		s.failed++
	}
	line := fmt.Sprintf("%d passed, %d failed", s.passed, s.failed)
	if s.skipped > 0 {
		line += fmt.Sprintf(", %d skipped", s.skipped)
	}
	fmt.Fprintln(s.out, line)
	return s.failed == 0
}
