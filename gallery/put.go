package gallery

import (
	"context"
	"errors"
	"runtime/debug"

	"solander/fault"
	"solander/picture"
	"solander/picture/develop"
	"solander/studio"
)

// darkroom lets one picture be developed at a time: a large one takes about a gigabyte while it is read.
var darkroom = make(chan struct{}, 1)

// Put develops the picture in a file and hangs it: upright, in sRGB, at every size, nothing else of the file. Whether the work is there
// is asked before, so that nobody waits for nothing.
// Faults: Missing for no such work; Invalid and TooLarge for the file; Invalid for the words. When the context ends it returns its error.
func Put(ctx context.Context, s *studio.Studio, work int64, file []byte, alt string) (picture.Picture, error) {
	if err := picture.Alt(alt); err != nil {
		return picture.Picture{}, err
	}
	if _, _, err := Of(ctx, s, work); err != nil {
		return picture.Picture{}, err
	}
	prints, err := Developed(ctx, file)
	if err != nil {
		return picture.Picture{}, err
	}
	return Hang(ctx, s, work, prints, alt)
}

// Developed is the picture in a file, upright, in sRGB, at every size, and nothing else of the file. Faults: Invalid and TooLarge for the file; Busy
// when it took too long.
func Developed(ctx context.Context, file []byte) (picture.Prints, error) {
	select {
	case darkroom <- struct{}{}:
	case <-ctx.Done():
		return picture.Prints{}, late(ctx.Err())
	}
	defer func() { <-darkroom }()
	defer debug.FreeOSMemory() // what a large picture took is given back before the next one
	out, err := develop.Develop(ctx, file)
	return out, late(err)
}

// late tells what took too long; who left himself is not told.
func late(err error) error {
	if errors.Is(err, context.DeadlineExceeded) {
		return fault.New(fault.Busy, "the picture could not be read in time; nothing was changed").In("file").ToMend("send it again, or save it smaller first").Because(err)
	}
	return err
}
