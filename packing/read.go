package packing

import (
	"encoding/json"
	"io"

	"solander/fault"
	"solander/internal/strict"
)

// MaxBytes is the most that ReadProblem reads.
const MaxBytes = 10 << 20

// ReadProblem reads and checks a problem. Faults: TooLarge beyond MaxBytes; Invalid for anything that
// docs/formats/problem.md refuses, each with its JSON path and mend, at most 50, joined.
func ReadProblem(r io.Reader) (Problem, error) {
	text, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return Problem{}, fault.New(fault.Invalid, "the problem cannot be read").Because(err)
	}
	if len(text) > MaxBytes {
		return Problem{}, fault.New(fault.TooLarge, "the problem is larger than 10 MB").ToMend("plan fewer orders at a time")
	}
	var p Problem
	if err := strict.Decode(text, &p); err != nil {
		return Problem{}, err
	}
	if err := p.Check(); err != nil {
		return Problem{}, err
	}
	return p, nil
}

// WritePlan writes a plan as indented JSON with a newline at the end.
func WritePlan(w io.Writer, p Plan) error {
	text, err := json.MarshalIndent(p, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(text, '\n'))
	return err
}
