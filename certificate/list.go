package certificate

import (
	"fmt"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"

	"solander/calendar"
	"solander/fault"
	"solander/sealog"
)

// listHead is the first line of a list of ended certificates.
const listHead = "solander-certificates/1"

// List is which certificates were ended, as far as a day. It is signed by the register's key.
type List struct {
	Day   calendar.Day
	Last  int64 // the serial that was given last: of later ones it says nothing
	Ended []Ended
}

// Ended is a certificate that was revoked, or replaced by another one.
type Ended struct {
	Serial int64
	Day    calendar.Day
	By     int64 // the certificate in its place; 0 = it was revoked
}

// Text is the bytes that are signed.
func (l List) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\nday %s\nlast %d\n", listHead, l.Day, l.Last)
	for _, e := range l.Ended {
		if e.By == 0 {
			fmt.Fprintf(&b, "revoked %d %s\n", e.Serial, e.Day)
		} else {
			fmt.Fprintf(&b, "replaced %d %s %d\n", e.Serial, e.Day, e.By)
		}
	}
	return b.String()
}

// OpenList reads a signed list; one of the keys must have signed it. Faults: Invalid.
func OpenList(signed string, keys ...string) (List, error) {
	var last error = fault.New(fault.Invalid, "no key is known")
	for _, k := range keys {
		v, err := sealog.NewVerifier(k)
		if err != nil {
			continue
		}
		n, err := note.Open([]byte(signed), note.VerifierList(v))
		if err == nil {
			return parseList(n.Text)
		}
		last = fault.New(fault.Invalid, "it is not signed by a known key").ToMend("get the studio's newest one").Because(err)
	}
	return List{}, last
}

// parseList reads the lines of a list. Faults: Invalid.
func parseList(text string) (l List, err error) {
	bad := fault.New(fault.Invalid, "this is no list of ended certificates").ToMend("get the studio's newest one")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if len(lines) < 3 || lines[0] != listHead {
		return l, bad
	}
	for _, line := range lines[1:] {
		words := strings.Split(line, " ")
		numbers := make([]int64, len(words))
		for i, w := range words {
			numbers[i], _ = strconv.ParseInt(w, 10, 64)
		}
		switch {
		case words[0] == "day" && len(words) == 2:
			l.Day, err = calendar.ParseDay(words[1])
		case words[0] == "last" && len(words) == 2:
			l.Last = numbers[1]
		case words[0] == "revoked" && len(words) == 3, words[0] == "replaced" && len(words) == 4 && numbers[3] > 0:
			e := Ended{Serial: numbers[1]}
			if len(words) == 4 {
				e.By = numbers[3]
			}
			e.Day, err = calendar.ParseDay(words[2])
			l.Ended = append(l.Ended, e)
		default:
			return l, bad
		}
		if err != nil {
			return l, bad
		}
	}
	if l.Text() != text {
		return l, bad // one text for one list
	}
	return l, nil
}
