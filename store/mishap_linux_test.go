package store

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"solander/internal/pgtest"
)

var (
	mishaps    = flag.Int("mishaps", pageMishaps, "how many faults TestMishaps injects")
	mishapSeed = flag.Uint64("mishap-seed", 1, "another number makes other faults")
	mishapFrom = flag.Int("mishap-from", 0, "begin with this one, so that a long run can be shared out")
	onlyMishap = flag.Int("mishap", -1, "inject this one alone, by its number")
)

// pageMishaps is how many faults a test run injects; docs/reliability.md tells what came of them.
const pageMishaps = 100

// mishap is one kind of fault. do injects one into a studio that works, or rests, and judges what came of
// it; chance is of that fault alone, so that it can be repeated by seed and number.
type mishap struct {
	name  string
	share int // of a hundred
	do    func(t *testing.T, m *mishapBed, chance *rand.Rand) verdict
}

// kindsOfMishap are all kinds. Their shares add up to a hundred.
var kindsOfMishap = []mishap{
	{"kill", 18, killMishap},
	{"replace", 18, replaceMishap},
	{"empty", 18, emptyMishap},
	{"flip", 24, flipMishap},
	{"cut connection", 6, cutMishap},
	{"full", 8, fullMishap},
	{"read-only", 8, readOnlyMishap},
}

// verdict is what came of a fault. The studio held unless bad says why it did not.
type verdict struct {
	how string // whole, refused, found, unseen
	bad string // "" = it held
}

// What may come of a fault while the studio holds.
const (
	whole   = "whole"   // all that was acknowledged is there, and nothing else was changed
	refused = "refused" // the program refuses the files and says what to do
	found   = "found"   // check says that something is wrong
	unseen  = "unseen"  // data were changed, nothing that was acknowledged is gone by our reading, and nobody says so
)

// tallied counts the verdicts of a kind.
type tallied struct {
	tried, held int
	how         map[string]int
}

// TestMishaps injects faults into studios that take orders, numbers and payments, and holds that nothing
// that was acknowledged is lost unseen, that no number is given twice, and that "sound" is never said where
// something is missing. Flips of bits are counted apart: docs/reliability.md says how many of those that
// change data are seen.
func TestMishaps(t *testing.T) {
	bed := newMishapBed(t)
	table := map[string]*tallied{}
	for i := *mishapFrom; i < *mishaps; i++ {
		if *onlyMishap >= 0 && i != *onlyMishap {
			continue
		}
		kind := kindOf(i)
		if table[kind.name] == nil {
			table[kind.name] = &tallied{how: map[string]int{}}
		}
		if kind.name == "cut connection" && bed.server == "" {
			if os.Getenv("SOLANDER_NO_POSTGRES") == "1" {
				continue
			}
			bed.server = pgtest.New(t)
		}
		t.Run(fmt.Sprintf("%d %s", i, kind.name), func(t *testing.T) {
			v := kind.do(t, bed, rand.New(rand.NewPCG(*mishapSeed, uint64(i))))
			row := table[kind.name]
			row.tried++
			row.how[v.how]++
			if v.bad == "" {
				row.held++
				return
			}
			t.Errorf("%s\nto repeat it: go test ./store -run TestMishaps -mishaps %d -mishap-seed %d -mishap %d", v.bad, *mishaps, *mishapSeed, i)
		})
	}
	t.Log("\n" + mishapTable(table))
	if *onlyMishap < 0 && *mishapFrom == 0 && *mishaps == pageMishaps && *mishapSeed == 1 {
		pageTells(t, table)
	}
}

// kindOf deals the kinds out evenly, each hundred holding each kind as often as its share says.
func kindOf(i int) mishap {
	at := i * 37 % 100 // 37 and 100 have no common factor
	for _, k := range kindsOfMishap {
		if at -= k.share; at < 0 {
			return k
		}
	}
	panic("the shares do not add up to a hundred")
}

func mishapTable(table map[string]*tallied) string {
	var b strings.Builder
	for _, k := range kindsOfMishap {
		if row := table[k.name]; row != nil {
			fmt.Fprintf(&b, "%-15s tried %4d, held %4d: %d whole, %d refused, %d found", k.name, row.tried, row.held, row.how[whole], row.how[refused], row.how[found])
			if n := row.how[unseen]; n > 0 {
				fmt.Fprintf(&b, ", %d changed data unseen", n)
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

var pageRow = regexp.MustCompile(`(?m)^\| ([a-z -]+) \| (\d+) \| (\d+) \| \d+ \| \d+ \|`)

// pageTells compares the table of the page with what came of the faults.
func pageTells(t *testing.T, table map[string]*tallied) {
	t.Helper()
	page, err := os.ReadFile(filepath.FromSlash("../docs/reliability.md"))
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]bool{}
	for _, row := range pageRow.FindAllStringSubmatch(string(page), -1) {
		told[row[1]] = true
		got := table[row[1]]
		if got == nil || got.tried == 0 && os.Getenv("SOLANDER_NO_POSTGRES") == "1" {
			continue
		}
		if strconv.Itoa(got.tried) != row[2] || strconv.Itoa(got.held) != row[3] {
			t.Errorf("the page says of %q: tried %s, held %s; it is %d, %d", row[1], row[2], row[3], got.tried, got.held)
		}
	}
	for _, k := range kindsOfMishap {
		if !told[k.name] {
			t.Errorf("docs/reliability.md says nothing of %q", k.name)
		}
	}
}
