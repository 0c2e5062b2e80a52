package dayplan

import (
	"context"
)

// search says until when plans are searched for, and who is told how far they are.
type search struct {
	until context.Context
	tell  Tell
}

type searchKey struct{}

// WithSearch returns a context with which plans are searched for until another context ends; then the best
// found by then is the answer, told as not proven, and what has no plan yet is held with that reason. The end
// of ctx itself gives no answer but the cause. tell hears how far the search is, from several goroutines; it
// may be nil.
func WithSearch(ctx, until context.Context, tell Tell) context.Context {
	return context.WithValue(ctx, searchKey{}, search{until, tell})
}

// SearchOf is the search of a context, for what plans by other means: until when, and whom to tell, never nil.
func SearchOf(ctx context.Context) (until context.Context, tell Tell) {
	s := SearchIn(ctx)
	return s.until, s.tell.Say
}

// SearchIn is the search of a context; without one plans are searched for as long as ctx lasts.
func SearchIn(ctx context.Context) search {
	if s, ok := ctx.Value(searchKey{}).(search); ok {
		return s
	}
	return search{until: ctx}
}

// Quietly is a context of the same search whose parts are told by the caller.
func Quietly(ctx context.Context) context.Context {
	until, _ := SearchOf(ctx)
	return WithSearch(ctx, until, nil)
}

// Stopped reports that plans are no longer searched for: those asked for now are what was found.
func Stopped(ctx context.Context) bool {
	until, _ := SearchOf(ctx)
	return until.Err() != nil
}

// Bounded returns the context that ends the search: with until, and with ctx.
func (s search) Bounded(ctx context.Context) (context.Context, context.CancelFunc) {
	out, cancel := context.WithCancel(s.until)
	release := context.AfterFunc(ctx, cancel)
	return out, func() {
		release()
		cancel()
	}
}
