package begin

import (
	"context"
	"errors"
	"net"
	"net/http"
	"os"
	"strings"
	"time"

	"solander/cli/desk"
	"solander/fault"
)

// watched are the flags by which whoever runs the program sees how it does.
type watched struct {
	Log       string        `default:"text" enum:"text,json" help:"How the log is written, on the error stream: text or json."`
	LogLevel  string        `default:"info" enum:"debug,info,warn,error" help:"From where on the log is written: debug, info, warn or error."`
	Slow      time.Duration `placeholder:"TIME" help:"Log statements of the store that take longer, like 250ms, without what is put into them."`
	Health    string        `placeholder:"ADDRESS" help:"Answer /alive, /ready and /metrics there, like 127.0.0.1:8430; another address than this machine's own needs a key."`
	HealthKey string        `name:"health-key-file" predictor:"file" placeholder:"FILE" help:"The key that /metrics is shown for, as a bearer token: the first line of this file."`
}

// fewestKey is how long a key must be, in bytes.
const fewestKey = 20

// health is what answers whoever watches; nil = nobody asked for it.
type health struct {
	listener net.Listener
	watcher  desk.Watcher
	key      string
}

// open does what the flags say that is to be done before a studio is opened. Faults: Invalid, Refused.
func (c watched) open(d *desk.Desk) (*health, error) {
	if c.Log == "text" && c.LogLevel == "info" && c.Slow == 0 && c.Health == "" {
		return nil, nil
	}
	if c.Slow < 0 {
		return nil, fault.Invalidf("slow", "it is less than nothing").ToMend("write it like 250ms")
	}
	h := &health{}
	var err error
	if h.watcher, err = d.Env.Watch(desk.Watching{Log: c.Log, Level: c.LogLevel, Slow: c.Slow}); err != nil {
		return nil, err
	}
	if h.key, err = c.key(); err != nil {
		return nil, err
	}
	if c.Health == "" {
		return h, nil
	}
	host, _, err := net.SplitHostPort(c.Health)
	if err != nil {
		return nil, fault.Invalidf("health", "%.60q is not an address", c.Health).ToMend("write it like 127.0.0.1:8430")
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) && h.key == "" {
		return nil, fault.New(fault.Refused, "%.60q is not an address of this machine alone, and there is no key", c.Health).In("health").
			ToMend("use 127.0.0.1 or [::1], or name a file with a key: --health-key-file FILE")
	}
	if h.listener, err = new(net.ListenConfig).Listen(d.Ctx, "tcp", c.Health); err != nil {
		return nil, fault.New(fault.Refused, "%.60q cannot be opened: %s", c.Health, err).In("health").ToMend("choose another port").Because(err)
	}
	return h, nil
}

// key reads the key; "" when none is asked for.
func (c watched) key() (string, error) {
	if c.HealthKey == "" {
		return "", nil
	}
	b, err := os.ReadFile(c.HealthKey)
	if err != nil {
		return "", desk.FileFault(err, c.HealthKey, "health-key-file")
	}
	line, _, _ := strings.Cut(string(b), "\n")
	if line = strings.TrimSpace(line); len(line) < fewestKey {
		return "", fault.Invalidf("health-key-file", "the key has %d signs, too few to be guessed by nobody", len(line)).ToMend("use at least %d, made by chance", fewestKey)
	}
	return line, nil
}

// answer answers while the studio is open, also while the program ends, until done is called.
func (h *health) answer(d *desk.Desk) (done func()) {
	if h == nil {
		return func() {}
	}
	forget := context.AfterFunc(d.Ctx, h.watcher.Stopping)
	if h.listener == nil {
		return func() { forget() }
	}
	ready := func(context.Context) error { return errors.New("this store does not say whether it is ready") }
	if r, ok := d.Store.(interface{ Ready(context.Context) error }); ok {
		ready = r.Ready
	}
	server := d.Env.Server(h.watcher.Pages(ready, h.key))
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(h.listener) }()
	desk.TellLine(d.Err, "health is answered at http://%s/", h.listener.Addr())
	return func() {
		forget()
		if err := server.Close(); err != nil {
			desk.TellLine(d.Err, "health: %s", err)
		}
		if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
			desk.TellLine(d.Err, "health: %s", err)
		}
	}
}

// close lets go of the port when no studio was opened.
func (h *health) close() {
	if h != nil && h.listener != nil {
		_ = h.listener.Close() // nobody was answered yet
	}
}
