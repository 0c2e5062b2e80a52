package sealog

import (
	"encoding/base64"
	"errors"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"

	"solander/fault"
)

// Checkpoint is how far a log has come. Source of its form: C2SP tlog-checkpoint.
type Checkpoint struct {
	Origin string // names the log; it is the name of its key, too
	Size   int64  // leaves
	Root   tlog.Hash
}

// OriginHead begins the origin of every log of a register.
const OriginHead = "solander-register/"

// Family is the origin of the first log of the register that a log is of.
func Family(origin string) string {
	first, _, _ := strings.Cut(strings.TrimPrefix(origin, OriginHead), "/")
	return OriginHead + first
}

// Text is the body of a checkpoint, which is signed.
func (c Checkpoint) Text() string {
	return c.Origin + "\n" + strconv.FormatInt(c.Size, 10) + "\n" + base64.StdEncoding.EncodeToString(c.Root[:]) + "\n"
}

// ParseCheckpoint reads the body of a checkpoint. Lines behind the third are let be. Faults: Invalid.
func ParseCheckpoint(text string) (Checkpoint, error) {
	bad := fault.New(fault.Invalid, "this is no checkpoint of a register").ToMend("give it as it was signed, with its signature")
	lines := strings.Split(text, "\n")
	if len(lines) < 4 || lines[0] == "" || lines[len(lines)-1] != "" {
		return Checkpoint{}, bad
	}
	size, err := strconv.ParseInt(lines[1], 10, 64)
	if err != nil || size < 0 || strconv.FormatInt(size, 10) != lines[1] {
		return Checkpoint{}, bad
	}
	root, err := base64.StdEncoding.Strict().DecodeString(lines[2])
	if err != nil || len(root) != tlog.HashSize {
		return Checkpoint{}, bad
	}
	return Checkpoint{lines[0], size, tlog.Hash(root)}, nil
}

// Open reads a signed checkpoint; one of the verifiers must have signed it. Faults: Invalid.
func Open(signed []byte, by ...note.Verifier) (Checkpoint, *note.Note, error) {
	n, err := note.Open(signed, note.VerifierList(by...))
	if err != nil {
		return Checkpoint{}, nil, unsigned(err)
	}
	c, err := ParseCheckpoint(n.Text)
	return c, n, err
}

// unsigned tells why a signature is not taken.
func unsigned(err error) *fault.Error {
	var bad *note.InvalidSignatureError
	var none *note.UnverifiedNoteError
	switch {
	case errors.As(err, &bad):
		return fault.New(fault.Invalid, "the signature of %s is wrong: the text was changed, or another key signed it", bad.Name).ToMend("ask the studio for it anew").Because(err)
	case errors.As(err, &none):
		return fault.New(fault.Invalid, "it is signed by another key").ToMend("look whether it is of this studio, and of this log").Because(err)
	}
	return fault.New(fault.Invalid, "this is no signed text").ToMend("give it whole, with its signature").Because(err)
}
