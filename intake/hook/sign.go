package hook

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"strconv"
	"strings"
	"time"

	"solander/fault"
)

// Window is how far the time of a message may lie from now, before or behind.
const Window = 5 * time.Minute

// scheme stands before each signature, so that there can be another one some day.
const scheme = "v1="

// mostSignatures bounds the signatures of one message.
const mostSignatures = 8

// Sign returns the signature of a message sent at an instant: "v1=" and, in hex, the HMAC-SHA-256 under the secret
// of the instant in whole seconds since 1970, a point, and the message.
// Source: RFC 2104 (HMAC) with FIPS 180-4 (SHA-256).
func Sign(secret string, at time.Time, message []byte) string {
	return scheme + hex.EncodeToString(mac(secret, strconv.FormatInt(at.Unix(), 10), message))
}

func mac(secret, stamp string, message []byte) []byte {
	h := hmac.New(sha256.New, []byte(secret))
	h.Write([]byte(stamp + "."))
	h.Write(message)
	return h.Sum(nil)
}

// Verify checks that a message was signed with one of the secrets, at a time not further from now than Window.
// stamp is the time as sent; signatures are one or more with commas, of which one must be right. Each is
// compared in constant time. It returns what tells the message from every other one, whatever it was signed
// with: a second message with the same print is a replay. Faults: Unknown.
func Verify(secrets []string, stamp, signatures string, message []byte, now time.Time) (print string, err error) {
	unsigned := fault.New(fault.Unknown, "the message is not signed by a secret that is known here").
		ToMend("sign the time, a point and the body, byte by byte as sent, with the secret of this web-hook")
	if stamp == "" || len(stamp) > 12 || strings.Trim(stamp, "0123456789") != "" || stamp[0] == '0' {
		return "", unsigned
	}
	given := strings.Split(signatures, ",")
	if len(given) > mostSignatures {
		return "", unsigned
	}
	right := false
	for _, secret := range secrets {
		want := mac(secret, stamp, message)
		for _, s := range given {
			text, named := strings.CutPrefix(strings.TrimSpace(s), scheme)
			got, err := hex.DecodeString(text)
			right = hmac.Equal(got, want) && named && err == nil && secret != "" || right
		}
	}
	if !right {
		return "", unsigned
	}
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil {
		return "", unsigned
	}
	if away := now.Sub(time.Unix(seconds, 0)).Abs(); away > Window {
		return "", fault.New(fault.Unknown, "the message's time is %s away from the time here", away.Truncate(time.Second)).
			ToMend("set the sender's clock, and send within %d minutes of signing", int(Window.Minutes()))
	}
	sum := sha256.Sum256(append([]byte(stamp+"."), message...))
	return hex.EncodeToString(sum[:]), nil
}
