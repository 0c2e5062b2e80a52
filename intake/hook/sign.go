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

// scheme stands before each signature, so that there can be another one some day. The first one signed no feed.
const scheme = "v2="

// mostSignatures bounds the signatures of one message.
const mostSignatures = 8

// mac is what signs a message to a feed, sent at an instant: the HMAC-SHA-256 under the secret of the instant in whole seconds since
// 1970, a point, the feed's number, a point, and the message. A signature is "v2=" and this in hex.
// Source: RFC 2104 (HMAC) with FIPS 180-4 (SHA-256).
func mac(secret, stamp string, feed int64, message []byte) []byte {
	h := hmac.New(sha256.New, []byte(secret))
	h.Write([]byte(stamp + "." + strconv.FormatInt(feed, 10) + "."))
	h.Write(message)
	return h.Sum(nil)
}

func unsigned() *fault.Error {
	return fault.New(fault.Unknown, "the message is not signed by a secret that is known here").
		ToMend("sign the time, a point, the number of this web-hook, a point and the body, byte by byte as sent, with its secret")
}

// Look checks the headers of a message alone, without its body or a secret: what it refuses, Verify refuses. It costs next to
// nothing, so that what cannot be right need not be read. Faults: Unknown.
func Look(stamp, signatures string, now time.Time) error {
	_, err := look(stamp, signatures, now)
	return err
}

// look returns the signatures, of which one may be right.
func look(stamp, signatures string, now time.Time) (given [][]byte, err error) {
	if stamp == "" || len(stamp) > 12 || strings.Trim(stamp, "0123456789") != "" || stamp[0] == '0' {
		return nil, unsigned()
	}
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil {
		return nil, unsigned()
	}
	if away := now.Sub(time.Unix(seconds, 0)).Abs(); away > Window {
		return nil, fault.New(fault.Unknown, "the message's time is %s away from the time here", away.Truncate(time.Second)).
			ToMend("set the sender's clock, and send within %d minutes of signing", int(Window.Minutes()))
	}
	all := strings.Split(signatures, ",")
	if len(all) > mostSignatures {
		return nil, unsigned()
	}
	for _, s := range all {
		text, named := strings.CutPrefix(strings.TrimSpace(s), scheme)
		if sum, err := hex.DecodeString(text); named && err == nil && len(sum) == sha256.Size {
			given = append(given, sum)
		}
	}
	if len(given) == 0 {
		return nil, unsigned()
	}
	return given, nil
}

// Verify checks that a message to a feed was signed with one of the secrets, at a time not further from now than Window.
// stamp is the time as sent; signatures are one or more with commas, of which one must be right. Each is
// compared in constant time. It returns what tells the message from every other one, whatever it was signed
// with: a second message with the same print is a replay. Faults: Unknown.
func Verify(secrets []string, feed int64, stamp, signatures string, message []byte, now time.Time) (print string, err error) {
	given, err := look(stamp, signatures, now)
	if err != nil {
		return "", err
	}
	right := false
	for _, secret := range secrets {
		want := mac(secret, stamp, feed, message)
		for _, got := range given {
			right = hmac.Equal(got, want) && secret != "" || right
		}
	}
	if !right {
		return "", unsigned()
	}
	sum := sha256.Sum256(append([]byte(stamp+"."), message...))
	return hex.EncodeToString(sum[:]), nil
}
