package vouch

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func key(t *testing.T, first byte) *Key {
	t.Helper()
	secret := make([]byte, SecretSize)
	for i := range secret {
		secret[i] = first + byte(i)
	}
	k, err := New(secret)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// Keys and marks are those that docs/formats/register.md describes. Source of the values: Python 3, its hmac and hashlib (HKDF written from RFC 5869), from
// the page alone.
func TestMarksAreAsTheyAreWritten(t *testing.T) {
	k := key(t, 0)
	if k.ID != "874ba2a2a75d8b83" {
		t.Errorf("the key is called %s", k.ID)
	}
	mark, w := k.Marks().Of("orders", "12", "", "", strings.Repeat("ab", 32))
	if want := (Weight{0xa315a8c38357c274, 0xc0906a8c0577beba}); mark != "b6bdc58a9854d67ace2bf8c5f443d5b8" || w != want {
		t.Errorf("the mark is %s, and comes to %x", mark, w)
	}
}

// Texts that run together tell rows apart, and a maker of marks makes the same one again.
func TestMarksTellRowsApart(t *testing.T) {
	m := key(t, 0).Marks()
	seen := map[string]string{}
	for _, texts := range [][]string{{"a", "bc"}, {"ab", "c"}, {"abc", ""}, {"", "abc"}, {"abc"}} {
		mark, _ := m.Of(texts...)
		if other, there := seen[mark]; there {
			t.Errorf("%q and %s have one mark", texts, other)
		}
		seen[mark] = fmt.Sprintf("%q", texts)
		if again, _ := m.Of(texts...); again != mark {
			t.Errorf("%q has two marks", texts)
		}
	}
}

// Rows that come and go leave what those that stay come to, in whatever order.
func TestWeightsAddUp(t *testing.T) {
	m := key(t, 0).Marks()
	rapid.Check(t, func(t *rapid.T) {
		s := &Sums{Tables: map[string]Sum{}}
		there := map[string]bool{}
		for range rapid.IntRange(1, 40).Draw(t, "steps") {
			row := fmt.Sprint(rapid.IntRange(1, 9).Draw(t, "row"))
			_, w := m.Of(row)
			if there[row] {
				s.Change("rows", -1, Weight{}.Minus(w))
			} else {
				s.Change("rows", 1, w)
			}
			there[row] = !there[row]
		}
		var want Sum
		for row, is := range there {
			if is {
				_, w := m.Of(row)
				want = Sum{want.Rows + 1, want.Weight.Plus(w)}
			}
		}
		if s.Tables["rows"] != want {
			t.Fatalf("the sum is %v, want %v", s.Tables["rows"], want)
		}
	})
}

func TestSumsInCipher(t *testing.T) {
	k := key(t, 0)
	s := &Sums{
		Tables: map[string]Sum{"orders": {3, Weight{1, 1 << 63}}, "lines": {-1, Weight{7, 8}}},
		Log:    2, Leaves: 77, Root: "00ff", Since: time.Date(2031, 3, 4, 10, 0, 0, 0, time.UTC), Why: Copied,
	}
	cell := k.Seal(s)
	got, err := k.Open(cell)
	if err != nil || !reflect.DeepEqual(s, got) {
		t.Fatalf("%+v %v, want %+v", got, err, s)
	}
	for i := range cell { // whatever letter was changed
		bent := cell[:i] + string(cell[i]^1) + cell[i+1:]
		if _, err := k.Open(bent); err == nil {
			t.Fatalf("letter %d was changed, and it opens", i)
		}
	}
	if _, err := key(t, 1).Open(cell); err == nil {
		t.Error("another key opens it")
	}
	if _, err := Parse(Text(make([]byte, 31))); err == nil {
		t.Error("a short key is taken")
	}
}
