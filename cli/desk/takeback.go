package desk

import (
	"context"

	"solander/fault"
	"solander/studio"
)

// TakeBack takes back what was noted wrongly, by its number; named is what the command names beside it, which must be nothing: of says what that would
// be. Faults: Invalid; those of take.
func TakeBack[T any](d *Open, number int64, named, of, what string, take func(context.Context, *studio.Studio, int64) (T, error)) error {
	if named != "" {
		return fault.Invalidf("reverse", "%s is named, too", of).ToMend("say --reverse alone")
	}
	x, err := take(d.Ctx, d.Studio, number)
	return d.Done(err, x, "%s %d is taken back", what, number)
}
