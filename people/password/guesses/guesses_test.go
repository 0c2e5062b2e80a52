package guesses

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/trustelem/zxcvbn"
	"github.com/trustelem/zxcvbn/frequency"
	"pgregory.net/rapid"
)

// same holds a password beside the original library. Of several readings that need as many guesses it may choose another, but never
// another number.
func same(t interface {
	Helper()
	Errorf(string, ...any)
}, password string, known []string,
) {
	t.Helper()
	if got, want := Needed(password, known), zxcvbn.PasswordStrength(password, known).Guesses; got != want {
		t.Errorf("%q of who is known by %q: %g guesses, the original says %g", password, known, got, want)
	}
}

// Source: the original, github.com/trustelem/zxcvbn, asked beside it: of its own lists, of what people make of words, and of anything.
func TestAsTheOriginal(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	known := []string{"solander", "mara ellis", "mara", "ellis"}
	signs := strings.NewReplacer("a", "@", "e", "3", "i", "1", "o", "0", "s", "$", "t", "7")
	looked := 0
	for _, words := range frequency.FrequencyLists {
		for n := 0; n < 50; n++ {
			a, b := words[chance.IntN(len(words))], words[chance.IntN(len(words))]
			for _, password := range []string{a, a + b, strings.ToUpper(a[:1]) + a[1:] + "2031!", reverse(a) + "12/11/1987", signs.Replace(a + b), "mara" + b} {
				same(t, password, known)
				looked++
			}
		}
	}
	if looked < 1500 {
		t.Errorf("only %d passwords were looked at", looked)
	}
	for _, password := range []string{"", "a", "aaaaaaaa", "abcabcabc", "qwertyuiop12", "zxcvbnm,./", "1234567890123", "13579", "19991231", "1/1/91", "31.12.2031", "Éclat d'été", "wandelröschen am fünften zaun", "\xff\xfe heron", "MARA ellis", "s1l1c0n+v4ll3y"} {
		same(t, password, known)
	}
	rapid.Check(t, func(t *rapid.T) {
		same(t, rapid.StringN(0, 24, 64).Draw(t, "password"), rapid.SliceOfN(rapid.String(), 0, 3).Draw(t, "known"))
	})
}
