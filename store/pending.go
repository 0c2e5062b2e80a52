package store

import (
	"context"
	"io"

	"solander/fault"
)

var errPending = fault.New(fault.Internal, "copies are not written yet")

func (s *store) Dump(context.Context, io.Writer) error { return errPending }

func (s *store) Load(context.Context, io.Reader) error { return errPending }
