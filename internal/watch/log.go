package watch

import (
	"context"
	"io"
	"log/slog"

	"solander/fault"
)

// Log returns a log that writes lines of JSON or of text, from a level on. Each line of a request bears its id, and an error in it is told by
// its code and kind alone.
// Faults: Invalid for another format or level.
func Log(w io.Writer, format, level string) (*slog.Logger, error) {
	var from slog.Level
	if err := from.UnmarshalText([]byte(level)); err != nil {
		return nil, fault.Invalidf("log-level", "%.20q is no level of a log", level).ToMend("use debug, info, warn or error")
	}
	opt := &slog.HandlerOptions{Level: from, ReplaceAttr: told}
	switch format {
	case "json":
		return slog.New(identified{slog.NewJSONHandler(w, opt)}), nil
	case "text":
		return slog.New(identified{slog.NewTextHandler(w, opt)}), nil
	}
	return nil, fault.Invalidf("log", "%.20q is no form of a log", format).ToMend("use text or json")
}

// told replaces an error by what may be said of it.
func told(_ []string, a slog.Attr) slog.Attr {
	if err, ok := a.Value.Any().(error); ok {
		a.Value = slog.StringValue(Told(err))
	}
	return a
}

// identified adds the id of its request to a line.
type identified struct{ slog.Handler }

func (h identified) Handle(ctx context.Context, r slog.Record) error {
	if id := IDOf(ctx); id != "" {
		r.AddAttrs(slog.String("request", id))
	}
	return h.Handler.Handle(ctx, r)
}

func (h identified) WithAttrs(attrs []slog.Attr) slog.Handler {
	return identified{h.Handler.WithAttrs(attrs)}
}

func (h identified) WithGroup(name string) slog.Handler { return identified{h.Handler.WithGroup(name)} }
