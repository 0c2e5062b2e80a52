package solander_test

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// asked are the requirements of levels 1 and 2, by section. Source: OWASP Application Security Verification Standard 5.0.0, the list that is
// published beside it as CSV (docs_en); 253 of 345.
const asked = `1.1:1-2 1.2:1-9 1.3:1-11 1.4:1-3 1.5:1-2 2.1:1-3 2.2:1-3 2.3:1-4 2.4:1 3.2:1-2 3.3:1-4 3.4:1-6 3.5:1-5 3.7:1-2 4.1:1-3 4.2:1 4.3:1-2
	4.4:1-4 5.1:1 5.2:1-3 5.3:1-2 5.4:1-3 6.1:1-3 6.2:1-12 6.3:1-4 6.4:1-4 6.5:1-5 6.6:1-3 6.8:1-4 7.1:1-3 7.2:1-4 7.3:1-2 7.4:1-5 7.5:1-2
	7.6:1-2 8.1:1-2 8.2:1-3 8.3:1 8.4:1 9.1:1-3 9.2:1-4 10.1:1-2 10.2:1-2 10.3:1-4 10.4:1-11 10.5:1-5 10.6:1-2 10.7:1-3 11.1:1-2 11.2:1-3
	11.3:1-3 11.4:1-4 11.5:1 11.6:1 12.1:1-3 12.2:1-2 12.3:1-4 13.1:1 13.2:1-5 13.3:1-2 13.4:1-5 14.1:1-2 14.2:1-4 14.3:1-3 15.1:1-3
	15.2:1-3 15.3:1-7 16.1:1 16.2:1-5 16.3:1-4 16.4:1-3 16.5:1-3 17.1:1 17.2:1-4 17.3:1-2`

func requirements(t *testing.T) []string {
	t.Helper()
	var out []string
	for _, part := range strings.Fields(asked) {
		section, numbers, _ := strings.Cut(part, ":")
		first, last, several := strings.Cut(numbers, "-")
		if !several {
			last = first
		}
		a, errA := strconv.Atoi(first)
		b, errB := strconv.Atoi(last)
		if errA != nil || errB != nil {
			t.Fatalf("%q is no section", part)
		}
		for ; a <= b; a++ {
			out = append(out, fmt.Sprintf("%s.%d", section, a))
		}
	}
	if len(out) != 253 {
		t.Fatalf("%d requirements", len(out))
	}
	return out
}

// The page answers each requirement once; what is met names a test that is there, what is not says why; and the sections that answers lead to
// are there.
func TestSecurityPage(t *testing.T) {
	raw, err := os.ReadFile("docs/security.md")
	if err != nil {
		t.Fatal(err)
	}
	page := string(raw)
	for i, section := range []string{"What is guarded", "Doors", "What it talks to", "Ways in, keys and algorithms", "Libraries", "OWASP ASVS 5.0.0"} {
		if !strings.Contains(page, fmt.Sprintf("\n## %d. %s", i+1, section)) {
			t.Errorf("section %d, %s, is missing", i+1, section)
		}
	}
	row := regexp.MustCompile(`(?m)^\| (\d+\.\d+\.\d+) \| ([^|]+) \| ([^|]+) \| ([^|]*) ?\|$`)
	test := regexp.MustCompile("^`([a-z/]+):([A-Za-z]+)`$")
	there := map[string]bool{}
	var answered []string
	for _, m := range row.FindAllStringSubmatch(page, -1) {
		id, state, why, tests := m[1], m[2], m[3], strings.TrimSpace(m[4])
		answered = append(answered, id)
		if len(strings.TrimSpace(why)) < 5 {
			t.Errorf("%s says too little: %q", id, why)
		}
		switch state {
		case "not applicable", "**not met**":
			if tests != "" {
				t.Errorf("%s is %s, and names %s", id, state, tests)
			}
			continue
		case "met":
		default:
			t.Errorf("%s is %q", id, state)
		}
		for _, one := range strings.Split(tests, ", ") {
			m := test.FindStringSubmatch(one)
			if m == nil {
				t.Errorf("%s names no test: %q", id, one)
				continue
			}
			room := m[1]
			if room == "solander" {
				room = "."
			}
			if _, looked := there[one]; !looked {
				there[one] = testsOf(t, room)[m[2]] != nil
			}
			if !there[one] {
				t.Errorf("%s names %s, which is not there", id, one)
			}
		}
	}
	if want := requirements(t); !slices.Equal(want, answered) {
		for _, id := range want {
			if n := len(slices.DeleteFunc(slices.Clone(answered), func(a string) bool { return a != id })); n != 1 {
				t.Errorf("%s is answered %d times", id, n)
			}
		}
		t.Errorf("%d requirements are answered, %d are asked, in their order", len(answered), len(want))
	}
}
