package totp

import (
	"crypto/sha1"
	"crypto/sha256"
	"crypto/sha512"
	"hash"
	"strings"
	"testing"
	"time"
)

// Source: RFC 6238, appendix B, all 18 vectors: eight digits; the ASCII key 12345678901234567890, repeated to 32 and to 64 bytes.
func TestVectors(t *testing.T) {
	long := strings.Repeat("1234567890", 7)
	sums := []struct {
		of  func() hash.Hash
		key string
	}{{sha1.New, long[:20]}, {sha256.New, long[:32]}, {sha512.New, long[:64]}}
	for at, want := range map[int64][3]string{
		59:          {"94287082", "46119246", "90693936"},
		1111111109:  {"07081804", "68084774", "25091201"},
		1111111111:  {"14050471", "67062674", "99943326"},
		1234567890:  {"89005924", "91819424", "93441116"},
		2000000000:  {"69279037", "90698825", "38618901"},
		20000000000: {"65353130", "77737706", "47863826"},
	} {
		for i, s := range sums {
			if got := code(s.of, []byte(s.key), StepAt(time.Unix(at, 0)), 8); got != want[i] {
				t.Errorf("%d, sum %d: %s, want %s", at, i, got, want[i])
			}
		}
		// Six digits are the last six of eight: both are remainders of one number.
		if got := Code([]byte(long[:20]), StepAt(time.Unix(at, 0))); got != want[0][2:] {
			t.Errorf("%d: six digits %s of %s", at, got, want[0])
		}
	}
}

// A step on either side lets in; more does not, and a clock that is off by up to a day is told so.
func TestClocks(t *testing.T) {
	secret, now := Text([]byte("12345678901234567890")), time.Unix(1_900_000_010, 0)
	for off, want := range map[time.Duration]Found{
		0: {Good: true}, -Step: {Good: true}, Step: {Good: true},
		-2 * Step: {Off: -2 * Step}, 2 * Step: {Off: 2 * Step}, 24 * time.Hour: {Off: 24 * time.Hour}, -24 * time.Hour: {Off: -24 * time.Hour},
		48 * time.Hour: {},
	} {
		step := StepAt(now.Add(off))
		key, err := Key(secret)
		if err != nil {
			t.Fatal(err)
		}
		typed := Code(key, step)
		if want != (Found{}) {
			want.Step = step
		}
		if got, err := Find(secret, typed, now, 0); err != nil || got != want {
			t.Errorf("%s off: %+v, want %+v, %v", off, got, want, err)
		}
	}
}

// RFC 6238, 5.2: a code is taken once; nor is one of a step before it.
func TestTakenOnce(t *testing.T) {
	secret, now := Text([]byte("12345678901234567890")), time.Unix(1_900_000_010, 0)
	here := StepAt(now)
	for taken, want := range map[int64]bool{0: true, here - 2: true, here - 1: true, here: false, here + 1: false} {
		typed := Code([]byte("12345678901234567890"), here)
		if got, err := Find(secret, typed, now, taken); err != nil || got.Good != want || got.Used == want {
			t.Errorf("taken up to %d of %d: %+v, %v", taken, here, got, err)
		}
	}
	if got, err := Find(secret, "12345", now, 0); err != nil || got != (Found{}) {
		t.Errorf("five digits: %+v, %v", got, err)
	}
	if _, err := Find("no base32!", "123456", now, 0); err == nil {
		t.Error("a secret that is none")
	}
}
