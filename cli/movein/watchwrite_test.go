package movein

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"solander/cli/desk"
	"solander/fault"
	"solander/movein"

	"solander/studio"
)

// more are rows that a till adds to its file, one a sale.
func more(t *testing.T, path string, rows ...int) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, n := range rows {
		if _, err := f.WriteString(fairRow(n)); err != nil {
			t.Fatal(err)
		}
	}
}

func fairRow(n int) string {
	return fmt.Sprintf("2026-03-03,Odo Marsh %d,\"%d Elm Street, Denver, CO 80202\",Heron at dusk,12 x 16 in,%d/50,90.00,90.00,L-%d\n", n, n, n, n)
}

func (w *eye) has(t *testing.T, st *studio.Studio, sales int, brought ...string) {
	t.Helper()
	if n := orders(t, st); n != sales {
		t.Errorf("%d orders, want %d", n, sales)
	}
	if got := w.files(t, broughtFolder); !slices.Equal(got, brought) {
		t.Errorf("brought in: %v, want %v", got, brought)
	}
	if got := w.files(t, asideFolder); len(got) > 0 {
		report, err := os.ReadFile(filepath.Join(w.folder, asideFolder, got[len(got)-1]))
		t.Errorf("left aside: %v (%v): %s", got, err, report)
	}
}

// A file that is written row by row, with less than the stated time between two rows, is not looked at before the last.
func TestASlowWriterIsWaitedFor(t *testing.T) {
	w, st := watching(t)
	w.drop(t, "fair.csv", fair)
	for n := range 5 {
		if err := w.look(t.Context()); err != nil {
			t.Fatal(err)
		}
		w.pass(standsStill - time.Second)
		more(t, filepath.Join(w.folder, "fair.csv"), n+1)
	}
	w.has(t, st, 0)
	w.looks(t, 2)
	w.has(t, st, 6, "fair.csv")
}

// needsHandles says why a test cannot run where the system does not tell who holds a file open.
func needsHandles(t *testing.T) {
	t.Helper()
	if runtime.GOOS != "linux" && runtime.GOOS != "windows" {
		t.Skip("this system does not tell which files are open")
	}
}

// A writer that pauses for longer than the stated time, with its file open, is another program here: the shell.
func TestAnOpenFileIsLeftAlone(t *testing.T) {
	needsHandles(t)
	w, st := watching(t)
	path := filepath.Join(w.folder, "fair.csv")
	till := exec.Command("sh", "-c", `exec 3>"$1"; printf '%s' "$2" >&3; echo written; read -r go; printf '%s' "$3" >&3; exec 3>&-; echo closed; read -r go`, "till", path, fair, fairRow(1))
	in, err := till.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := till.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := till.Start(); err != nil {
		t.Fatal(err)
	}
	says := bufio.NewScanner(out)
	said := func(want string) {
		t.Helper()
		if !says.Scan() || says.Text() != want {
			t.Fatalf("the till says %q, want %q", says.Text(), want)
		}
	}
	said("written")
	var told []string
	w.told = func(format string, args ...any) { told = append(told, fmt.Sprintf(format, args...)) }
	w.looks(t, 20)
	w.has(t, st, 0)
	if len(told) != 1 || !strings.Contains(told[0], "has it open") {
		t.Errorf("it was told %q", told)
	}
	fmt.Fprintln(in)
	said("closed")
	w.looks(t, 2)
	w.has(t, st, 2, "fair.csv")
	in.Close()
	if err := till.Wait(); err != nil && till.ProcessState.ExitCode() > 1 {
		t.Error(err)
	}
}

// Rows that are written after the file was read, and before it moves, are read as well.
func TestRowsAfterReadingAreNotLost(t *testing.T) {
	for name, write := range map[string]func(t *testing.T, path string){
		"appended": func(t *testing.T, path string) { more(t, path, 1) },
		"the same size and time": func(t *testing.T, path string) {
			was, err := os.Stat(path)
			if err != nil {
				t.Fatal(err)
			}
			text := strings.NewReplacer("F-1", "F-9", "17/50", "18/50", "Edda", "Enno").Replace(fair)
			if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := os.Chtimes(path, time.Time{}, was.ModTime()); err != nil {
				t.Fatal(err)
			}
		},
		"another file of that name": func(t *testing.T, path string) {
			next := path + ".next"
			if err := os.WriteFile(next, []byte(fair+fairRow(1)), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := os.Rename(next, path); err != nil {
				t.Fatal(err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			w, st := watching(t)
			w.drop(t, "fair.csv", fair)
			w.looks(t, 1)
			w.during = func() { w.during = nil; write(t, filepath.Join(w.folder, "fair.csv")) }
			w.looks(t, 1)
			w.has(t, st, 1)
			w.looks(t, 2)
			w.has(t, st, 2, "fair.csv")
		})
	}
}

// A file that is written to where it was put away is taken back, and its later rows are read too.
func TestAWriterThatNobodySees(t *testing.T) {
	w, st := watching(t)
	w.isOpen = func(string, os.FileInfo) (bool, error) { return false, nil } // as on a system that cannot tell
	w.drop(t, "fair.csv", fair)
	till, err := os.OpenFile(filepath.Join(w.folder, "fair.csv"), os.O_APPEND|os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer till.Close()
	w.looks(t, 2)
	w.has(t, st, 1, "fair.csv")
	if _, err := till.WriteString(fairRow(1)); err != nil { // it is written into where it was put
		t.Fatal(err)
	}
	w.looks(t, 3)
	w.has(t, st, 2, "fair.csv")
	for range int(looksAfter/standsStill) + 1 {
		w.looks(t, 1)
	}
	if len(w.filed) != 0 {
		t.Errorf("%d files are looked after for ever", len(w.filed))
	}
}

// killedFolder is set for the program that is killed: this test program, once more.
const killedFolder = "SOLANDER_TEST_KILLED_IN"

// TestKilledBetweenWritingAndMoving kills the program at each of its steps; whatever it left, the next one reads every row
// once and puts the file where it belongs.
func TestKilledBetweenWritingAndMoving(t *testing.T) {
	if folder := os.Getenv(killedFolder); folder != "" {
		st := fairStudio(t, filepath.Join(folder, "studio.db"), func() {})
		w := watch(t, st, filepath.Join(folder, "fairs"))
		now := time.Now()
		w.clock = func() time.Time { now = now.Add(standsStill); return now }
		calls := 0
		stop := func() { fmt.Println("now"); select {} }
		w.isOpen = func(path string, info os.FileInfo) (bool, error) {
			if calls++; fmt.Sprint("open ", calls) == os.Getenv("SOLANDER_TEST_KILLED_AT") {
				stop()
			}
			return openElsewhere(path, info)
		}
		w.told = func(string, ...any) {
			if os.Getenv("SOLANDER_TEST_KILLED_AT") == "told" {
				stop()
			}
		}
		for range 3 {
			if err := w.look(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		t.Fatal("it was not killed")
	}
	for at, left := range map[string]int{"open 1": 1, "open 2": 1, "open 3": 0, "told": 0} {
		t.Run(at, func(t *testing.T) {
			folder := t.TempDir()
			if err := os.Mkdir(filepath.Join(folder, "fairs"), 0o700); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(folder, "fairs", "fair.csv"), []byte(fair), 0o600); err != nil {
				t.Fatal(err)
			}
			cmd := exec.Command(os.Args[0], "-test.run", "^TestKilledBetweenWritingAndMoving$")
			cmd.Env = append(os.Environ(), killedFolder+"="+folder, "SOLANDER_TEST_KILLED_AT="+at)
			out, err := cmd.StdoutPipe()
			if err != nil {
				t.Fatal(err)
			}
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			if says := bufio.NewScanner(out); !says.Scan() || says.Text() != "now" {
				t.Fatalf("it says %q", says.Text())
			}
			if err := cmd.Process.Kill(); err != nil {
				t.Fatal(err)
			}
			if err := cmd.Wait(); err == nil || cmd.ProcessState.Exited() {
				t.Fatalf("it was not killed: %v", err)
			}
			w := &eye{now: time.Now()}
			st := fairStudio(t, filepath.Join(folder, "studio.db"), func() {})
			w.Watched = watch(t, st, filepath.Join(folder, "fairs"))
			w.clock = w.time
			if got := w.files(t, "."); len(got) != left {
				t.Errorf("in the folder lie %v, want %d", got, left)
			}
			w.looks(t, 3)
			w.has(t, st, 1, "fair.csv")
			if got := w.files(t, "."); len(got) != 0 {
				t.Errorf("left: %v", got)
			}
			if rest, err := os.ReadDir(filepath.Join(w.folder, takingFolder)); err != nil || len(rest) != 0 {
				t.Errorf("on their way: %v, %v", rest, err)
			}
		})
	}
}

func TestHardLinksAreLeftAside(t *testing.T) {
	w, st := watching(t)
	outside := filepath.Join(t.TempDir(), "kept.csv")
	if err := os.WriteFile(outside, []byte(fair), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Link(outside, filepath.Join(w.folder, "fair.csv")); err != nil {
		t.Fatal(err)
	}
	w.looks(t, 2)
	if n := orders(t, st); n != 0 {
		t.Errorf("%d orders", n)
	}
	if got := w.files(t, asideFolder); !slices.Equal(got, []string{"fair.csv", "fair.csv.report.txt"}) {
		t.Errorf("left aside: %v", got)
	}
	waiting, err := movein.Arrivals(t.Context(), st)
	if err != nil || len(waiting) != 0 {
		t.Errorf("it was read: %+v (%v)", waiting, err)
	}
}

// A killed program's half report is cleared, and a whole one stays.
func TestHalfReportsAreCleared(t *testing.T) {
	w, st := watching(t)
	w.drop(t, asideFolder+"/.solander-123", "half a rep")
	w.drop(t, asideFolder+"/fair.csv.report.txt", "a report")
	again := &eye{Watched: watch(t, st, w.folder)}
	if got := again.files(t, asideFolder); !slices.Equal(got, []string{"fair.csv.report.txt"}) {
		t.Errorf("left aside: %v", got)
	}
}

// A file's name cannot write lines of its own into what a watched folder says, nor into its report.
func TestNamesForgeNoLines(t *testing.T) {
	w, _ := watching(t)
	var log bytes.Buffer
	w.told = func(format string, args ...any) { desk.TellLine(&log, format, args...) }
	name := "a\nfair.csv: 9 orders brought in, as file 1\x1b[1A.csv"
	w.drop(t, name, "a,b\n1,2\n")
	w.looks(t, 2)
	if got := log.String(); strings.Count(got, "\n") != 1 || strings.Contains(got, "\x1b") || !strings.Contains(got, "left aside") {
		t.Errorf("it says %q", got)
	}
	if got := w.files(t, asideFolder); len(got) != 2 {
		t.Fatalf("left aside: %q", got)
	}
	var report bytes.Buffer
	writeAside(&report, name, movein.Dropped{Aside: true, Why: fault.New(fault.Refused, "it is no file").At("%s", name)})
	if got := report.String(); strings.Contains(got, "\x1b") || strings.Contains(got, "\nfair.csv: 9") {
		t.Errorf("the report says %q", got)
	}
}
