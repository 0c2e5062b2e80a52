package solander_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// scripts/test.sh names rooms, and tests of rooms: a name that nothing has any more would leave its test out and say nothing.
func TestTheScriptOfTheTestsNamesWhatIsThere(t *testing.T) {
	b, err := os.ReadFile("scripts/test.sh")
	if err != nil {
		t.Fatal(err)
	}
	long := regexp.MustCompile(`(?m)^long='(.+)'$`).FindSubmatch(b)
	if long == nil {
		t.Fatal("no rooms begin first")
	}
	for _, room := range strings.Fields(string(long[1])) {
		if testsOf(t, room) == "" {
			t.Errorf("%s has no tests, and is to begin first", room)
		}
	}
	partly := regexp.MustCompile(`(?m)^\t'\./([a-z/]+):([\w|]+)'$`).FindAllSubmatch(b, -1)
	if len(partly) == 0 {
		t.Fatal("no room is raced in part")
	}
	for _, m := range partly {
		room := testsOf(t, string(m[1]))
		for _, name := range strings.Split(string(m[2]), "|") {
			if !strings.Contains(room, "\nfunc "+name+"(t *testing.T)") {
				t.Errorf("%s has no test %s, which is to run with the race detector", m[1], name)
			}
		}
	}
}

// testsOf is the text of the tests of a room.
func testsOf(t *testing.T, room string) string {
	t.Helper()
	files, err := filepath.Glob(room + "/*_test.go")
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(b)
	}
	return all.String()
}
