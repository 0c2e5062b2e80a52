package sealog

import (
	"golang.org/x/mod/sumdb/note"

	"solander/fault"
)

// KeyMade is the leaf of the first key of a log.
func KeyMade(k Key) Leaf {
	return Leaf{Kind: KeyEvent, Facts: []Fact{{"event", "made"}, {"key", k.Verifier()}}}
}

// handedOver is what both keys sign when one follows the other.
func handedOver(name, from, to string) string {
	return "solander hand-over/1\n" + name + "\n" + from + "\n" + to + "\n"
}

// HandOver is the leaf by which a key is followed by another one: both sign it.
func HandOver(from, to Key) (Leaf, error) {
	text := handedOver(from.name, from.Verifier(), to.Verifier())
	old, err := from.signer()
	if err != nil {
		return Leaf{}, err
	}
	next, err := to.signer()
	if err != nil {
		return Leaf{}, err
	}
	signed, err := note.Sign(&note.Note{Text: text}, old, next)
	return Leaf{Kind: KeyEvent, Facts: []Fact{{"event", "handed-over"}, {"key", to.Verifier()}, {"before", from.Verifier()}, {"signed", string(signed)}}}, err
}

// CheckKey looks at the leaf of a key: the first of a log, or one that the key before handed over to. Faults: Invalid.
func CheckKey(l Leaf, origin, before string) error {
	to, err := NewVerifier(l.Get("key"))
	if err != nil {
		return err
	}
	if to.Name() != origin {
		return fault.New(fault.Invalid, "the key is of another log").At("%s", to.Name())
	}
	if l.Get("event") == "made" && before == "" {
		return nil
	}
	bad := fault.New(fault.Invalid, "the key does not follow the one before it: both must have signed")
	from, err := NewVerifier(before)
	if err != nil || l.Get("event") != "handed-over" || l.Get("before") != before {
		return bad
	}
	n, err := note.Open([]byte(l.Get("signed")), note.VerifierList(from, to))
	if err != nil || len(n.Sigs) != 2 || n.Text != handedOver(origin, before, l.Get("key")) {
		return bad
	}
	return nil
}
