package password

import (
	"crypto/rand"
	"strings"
	"testing"

	"github.com/trustelem/zxcvbn/frequency"

	"solander/fault"
)

// Source: the reference implementation's own test vectors (src/test.c, "Argon2id", version 0x13), from memory: password "password", salt
// "somesalt". That they come out shows that they were remembered rightly.
func TestVectors(t *testing.T) {
	for _, v := range []struct {
		m, t uint32
		p    uint8
		want string
	}{
		{65536, 2, 1, "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc"},
		{256, 2, 1, "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4"},
		{256, 2, 2, "$argon2id$v=19$m=256,t=2,p=2$c29tZXNhbHQ$bQk8UB/VmZZF4Oo79iDXuL5/0ttZwg2f/5U52iv1cDc"},
	} {
		if got := kept("password", []byte("somesalt"), v.m, v.t, v.p); got != v.want {
			t.Errorf("m=%d p=%d: %s, want %s", v.m, v.p, got, v.want)
		}
		if is, weak := Is(v.want, "password"); !is || weak != (v.m < memory) {
			t.Errorf("m=%d p=%d: is %t, weak %t", v.m, v.p, is, weak)
		}
	}
}

func TestKept(t *testing.T) {
	first, err := Keep(rand.Reader, " Spaces and Capitals count ")
	if err != nil {
		t.Fatal(err)
	}
	second, err := Keep(rand.Reader, " Spaces and Capitals count ")
	if err != nil || first == second {
		t.Errorf("kept twice it is the same, %v", err)
	}
	if !strings.HasPrefix(first, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Errorf("kept as %s", first)
	}
	for word, want := range map[string]bool{
		" Spaces and Capitals count ": true, "Spaces and Capitals count": false, " spaces and capitals count ": false, " Spaces and Capitals count": false, "": false,
	} {
		if is, _ := Is(first, word); is != want {
			t.Errorf("%q: %t", word, is)
		}
	}
	for _, damaged := range []string{
		"", "x", "$argon2i$v=19$m=256,t=2,p=1$c29tZXNhbHQ$AAAA", "$argon2id$v=16$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=19$m=9999999,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4", "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$",
	} {
		if is, _ := Is(damaged, "password"); is {
			t.Errorf("%q lets in", damaged)
		}
	}
}

// Source: ASVS 5.0, 6.2.4: those of the 3000 most common passwords that would be long enough are refused; here all of a list of 30 000.
func TestCommonOnesAreRefused(t *testing.T) {
	refused := 0
	for _, word := range frequency.FrequencyLists["passwords"] {
		if len(word) < Least {
			continue
		}
		if refused++; !fault.Is(Good(word), fault.Invalid) {
			t.Errorf("%q is taken", word)
		}
	}
	if refused < 200 {
		t.Errorf("only %d of the list are long enough: nothing was tested", refused)
	}
	for _, bad := range []string{"", "short", "ninechars", "aaaaaaaaaaaaaa", "1234567890123", "qwertyuiop12", "Mara Ellis 2031", "solander2031", strings.Repeat("xy long ", 40), "nul\x00nul nul heron", "\xff\xfe heron heron kelp"} {
		if err := Good(bad, "Mara Ellis", "Heron Press"); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q is taken: %v", bad, err)
		}
	}
	for _, good := range []string{"kelp bicycle tuesday oven", "wandelröschen am fünften zaun", "x7!Vq-9Lm#2pZt", strings.Repeat("heron kelp oven 5 ", 14)} {
		if err := Good(good, "Mara Ellis"); err != nil {
			t.Errorf("%q: %v", good, err)
		}
	}
}
