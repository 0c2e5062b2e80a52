// Package totp reckons the codes of a second factor: RFC 6238, over HMAC-SHA-1, six digits, steps of 30 seconds, which is what programs
// that show such codes do when nothing else is said. It knows neither clock nor chance.
package totp

import (
	"crypto/hmac"
	"crypto/sha1" //nolint:gosec // RFC 6238: the programs that show codes know this one; HMAC does not rest on collisions
	"crypto/subtle"
	"encoding/base32"
	"encoding/binary"
	"fmt"
	"hash"
	"net/url"
	"time"
)

const (
	// Digits of a code.
	Digits = 6
	// Step is how long a code is good.
	Step = 30 * time.Second
	// SecretBytes is how long a secret is. Source: RFC 4226, 4, R6: 160 bits are recommended.
	SecretBytes = 20
	// around is how many steps a clock may be off. Source: RFC 6238, 5.2: one step is recommended.
	around = 1
	// far is how far off a clock is looked for, so that she can be told: a day and an hour.
	far = int64(25 * time.Hour / Step)
)

// Text is a secret as it is typed and kept, in base32 without padding (RFC 4648).
func Text(secret []byte) string {
	return base32.StdEncoding.WithPadding(base32.NoPadding).EncodeToString(secret)
}

// StepAt is the number of the step at an instant.
func StepAt(at time.Time) int64 { return at.Unix() / int64(Step/time.Second) }

// Key is a secret's bytes, of its text.
func Key(secret string) ([]byte, error) {
	return base32.StdEncoding.WithPadding(base32.NoPadding).DecodeString(secret)
}

// Code is the code of a step.
func Code(key []byte, step int64) string { return code(sha1.New, key, step, Digits) }

// code is that of RFC 4226, 5.3, of a step.
func code(of func() hash.Hash, key []byte, step int64, digits int) string {
	var message [8]byte
	binary.BigEndian.PutUint64(message[:], uint64(step))
	mac := hmac.New(of, key)
	mac.Write(message[:])
	sum := mac.Sum(nil)
	at := sum[len(sum)-1] & 0xf
	n := uint64(binary.BigEndian.Uint32(sum[at:at+4]) & 0x7fffffff)
	mod := uint64(1)
	for range digits {
		mod *= 10
	}
	return fmt.Sprintf("%0*d", digits, n%mod)
}

// Found is where in time a code was found.
type Found struct {
	Step int64
	Good bool          // it is good now, and was not used before
	Used bool          // it is that of a step that was used, or of one before it
	Off  time.Duration // it is good at another time, this far from now: a clock is off; 0 = it was not found at all
}

// Find looks for a code: one step around now lets in, if no code of that step or a later one was taken; what is further off only tells
// by how much the clocks differ. It takes as long whatever the code is.
func Find(secret, typed string, now time.Time, taken int64) (Found, error) {
	key, err := Key(secret)
	if err != nil {
		return Found{}, err
	}
	here, out, best := StepAt(now), Found{}, far+1
	for d := -far; d <= far; d++ {
		if subtle.ConstantTimeCompare([]byte(Code(key, here+d)), []byte(typed)) != 1 || abs(d) >= best {
			continue
		}
		best = abs(d)
		out = Found{Step: here + d}
		switch {
		case abs(d) > around:
			out.Off = time.Duration(d) * Step
		case here+d <= taken:
			out.Used = true
		default:
			out.Good = true
		}
	}
	return out, nil
}

func abs(d int64) int64 { return max(d, -d) }

// Address is what a program that shows codes reads from a QR code. Source: the key URI format that such programs have in common, as
// they document it (from memory).
func Address(secret, studio, name string) string {
	q := url.Values{"secret": {secret}, "issuer": {studio}, "algorithm": {"SHA1"}, "digits": {fmt.Sprint(Digits)}, "period": {fmt.Sprint(int(Step.Seconds()))}}
	return "otpauth://totp/" + url.PathEscape(studio+":"+name) + "?" + q.Encode()
}
