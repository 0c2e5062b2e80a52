package hook

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
	"time"

	"solander/fault"
)

// Source: RFC 4231, 4.3 (from memory): HMAC-SHA-256 of "what do ya want for nothing?" under the key "Jefe". The
// function here puts a point between two parts, so the standard's text is tried on what it is made of, and
// then ours against that.
func TestSignatureIsTheHMACOfTheStandard(t *testing.T) {
	h := hmac.New(sha256.New, []byte("Jefe"))
	h.Write([]byte("what do ya want for nothing?"))
	if got := hex.EncodeToString(h.Sum(nil)); got != "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843" {
		t.Fatalf("got %s", got)
	}
	if got := hex.EncodeToString(mac("Jefe", "1776182400", 7, []byte(`{"a": 1}`))); "v2="+got != signed("Jefe", 7, time.Unix(1776182400, 5), []byte(`{"a": 1}`)) {
		t.Errorf("got %s", got)
	}
}

// signed is the signature of a message as another program makes it, by docs/formats/hook.md alone.
func signed(secret string, feed int64, at time.Time, message []byte) string {
	h := hmac.New(sha256.New, []byte(secret))
	fmt.Fprintf(h, "%d.%d.%s", at.Unix(), feed, message)
	return "v2=" + hex.EncodeToString(h.Sum(nil))
}

func TestVerify(t *testing.T) {
	now := time.Unix(1776182400, 0)
	body := []byte(`{"a": 1}`)
	secrets := []string{"old secret of ours", "new secret of ours"}
	good := signed(secrets[1], 7, now, body)
	stamp := "1776182400"
	print, err := Verify(secrets, 7, stamp, good, body, now)
	if err != nil || len(print) != 64 {
		t.Fatalf("%q, %v", print, err)
	}
	for name, signatures := range map[string]string{
		"the old secret": signed(secrets[0], 7, now, body), "two": "v2=00, " + good, "other order": good + ",v9=zz", "spaces": "  " + good + " ",
	} {
		if p, err := Verify(secrets, 7, stamp, signatures, body, now); err != nil || p != print {
			t.Errorf("%s: %q, %v: a replay must have the same print, whatever it is signed with", name, p, err)
		}
	}
	if p, err := Verify(secrets, 7, "1776182401", signed(secrets[0], 7, now.Add(time.Second), body), body, now); err != nil || p == print {
		t.Errorf("a second later it is %q, %v", p, err)
	}
	for name, c := range map[string]struct {
		stamp, signatures string
		body              []byte
		secrets           []string
	}{
		"another body":      {stamp, good, []byte(`{"a": 2}`), secrets},
		"another time":      {"1776182401", good, body, secrets},
		"another feed":      {stamp, signed(secrets[1], 8, now, body), body, secrets},
		"half another feed": {stamp, signed(secrets[1], 77, now, body), body, secrets},
		"another secret":    {stamp, good, body, []string{"some other secret"}},
		"no secret":         {stamp, good, body, nil},
		"an empty secret":   {stamp, signed("", 7, now, body), body, []string{""}},
		"no signature":      {stamp, "", body, secrets},
		"half a signature":  {stamp, good[:40], body, secrets},
		"without scheme":    {stamp, strings.TrimPrefix(good, "v2="), body, secrets},
		"another scheme":    {stamp, "v1=" + strings.TrimPrefix(good, "v2="), body, secrets},
		"not hex":           {stamp, "v2=" + strings.Repeat("z", 64), body, secrets},
		"nine signatures":   {stamp, strings.Repeat("v2=00,", 8) + good, body, secrets},
		"no time":           {"", good, body, secrets},
		"a time of zeros":   {"0" + stamp, good, body, secrets},
		"a signed time":     {"+" + stamp, good, body, secrets},
		"a time with space": {stamp + " ", good, body, secrets},
		"a huge time":       {strings.Repeat("9", 40), good, body, secrets},
	} {
		if p, err := Verify(c.secrets, 7, c.stamp, c.signatures, c.body, now); !fault.Is(err, fault.Unknown) || p != "" {
			t.Errorf("%s: %q, %v", name, p, err)
		}
	}
	for name, c := range map[string][2]string{"no time": {"", good}, "long ago": {"1776082400", good}, "none": {stamp, ""}, "short": {stamp, good[:40]}, "nine": {stamp, strings.Repeat("v2=00,", 8) + good}} {
		if err := Look(c[0], c[1], now); !fault.Is(err, fault.Unknown) {
			t.Errorf("the headers alone, %s: %v", name, err)
		}
	}
	if err := Look(stamp, good, now); err != nil {
		t.Error(err)
	}
	for away, ok := range map[time.Duration]bool{Window: true, -Window: true, Window + time.Second: false, -Window - time.Second: false, 1e6 * time.Hour: false} {
		if _, err := Verify(secrets, 7, stamp, good, body, now.Add(away)); (err == nil) != ok {
			t.Errorf("%v away: %v", away, err)
		}
	}
}

func FuzzVerify(f *testing.F) {
	f.Add("1776182400", "v2=00", []byte("{}"))
	f.Fuzz(func(t *testing.T, stamp, signatures string, body []byte) {
		if p, err := Verify([]string{"a secret of ours 1"}, 7, stamp, signatures, body, time.Unix(1776182400, 0)); err == nil {
			t.Errorf("%q %q %q is taken: %s", stamp, signatures, body, p)
		}
	})
}
