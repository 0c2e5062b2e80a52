package book

import (
	"solander/fault"
)

func (in Sale) ValidateFed() error {
	var l fault.List
	l.Check(in.Ref != "", "ref", "the reference is missing", "give the name that the order has at the outlet")
	l.Add(in.Validate())
	return l.Err()
}
