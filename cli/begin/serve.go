// Package begin has the commands to begin with: to set up a studio, to serve it, and the invented one, in her browser if she likes.
package begin

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime/debug"
	"strconv"
	"sync"
	"syscall"
	"time"

	"solander/cli/desk"
	"solander/cli/movein"
	"solander/fault"
	moveinroom "solander/movein"
	"solander/studio"
)

// serving are the flags of commands that open the studio in a browser.
type serving struct {
	Listen  string `default:"127.0.0.1:8420" placeholder:"ADDRESS" help:"Address and port on this machine; port 0 takes a free one."`
	Browser bool   `help:"Open your browser too; if it is open already, show that one."`
}

// shutdownTime is how long a running request may take to end when the program is told to stop, if nothing else is said.
const shutdownTime = 5 * time.Second

// open takes the port. Only loopback addresses are allowed: the pages know no accounts.
// Faults: Invalid, Refused.
func (c serving) open(ctx context.Context) (net.Listener, error) {
	host, port, err := net.SplitHostPort(c.Listen)
	if err != nil {
		return nil, fault.Invalidf("listen", "%.60q is not an address", c.Listen).ToMend("write it like 127.0.0.1:8420")
	}
	if n, err := strconv.Atoi(port); err != nil || n < 0 || n > 65535 {
		return nil, fault.Invalidf("listen", "%.20q is not a port", port).ToMend("use 1024 to 65535, or 0 for a free one")
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, fault.New(fault.Refused, "%.60q is not an address of this machine alone", c.Listen).In("listen").
			ToMend("use 127.0.0.1 or [::1]: the pages have no accounts, so nobody else may reach them")
	}
	l, err := new(net.ListenConfig).Listen(ctx, "tcp", c.Listen)
	if err != nil {
		return nil, portFault(err, c.Listen, host)
	}
	return l, nil
}

func portFault(err error, listen, host string) error {
	switch {
	case addressInUse(err):
		return fault.New(fault.Refused, "%s is in use already", listen).In("listen").
			ToMend("stop what runs there, or choose another port: --listen %s", net.JoinHostPort(host, "8421")).Because(err)
	case errors.Is(err, syscall.EACCES):
		return fault.New(fault.Refused, "this user may not use the port of %s", listen).In("listen").ToMend("use a port from 1024 on").Because(err)
	}
	return fault.New(fault.Refused, "%s cannot be opened: %s", listen, err).In("listen").ToMend("use 127.0.0.1:8420").Because(err)
}

// wsaAddressInUse is what Windows says of a port that is taken. Source: Microsoft, Windows Sockets Error Codes, WSAEADDRINUSE.
const wsaAddressInUse = syscall.Errno(10048)

func addressInUse(err error) bool {
	return errors.Is(err, syscall.EADDRINUSE) || errors.Is(err, wsaAddressInUse)
}

func addressOf(l net.Listener) string { return "http://" + l.Addr().String() + "/" }

// pages are an opened studio about to be served, and what ends beside it.
type pages struct {
	face  func(desk.Face) http.Handler
	done  func()
	grace time.Duration // how long requests that run may take to finish in the end; 0 = as usual
}

// mostMemoryHeld is from where on memory is gathered up rather than let grow, in bytes, while the pages are served. The program
// rests far below; only a file of tens of thousands of rows comes near it.
const mostMemoryHeld = 225 << 20

// serve prints the address of l, and answers there until ctx ends; then requests that run have some time left. shown is called once
// the address is printed.
func serve(ctx context.Context, d *desk.Desk, l net.Listener, p pages, f desk.Face, name string, shown func()) error {
	h := p.face(f)
	if d.Env.Get("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(mostMemoryHeld)
	}
	address := addressOf(l)
	err := d.Show(map[string]string{"address": address}, func(w io.Writer) {
		fmt.Fprintf(w, "%s is open at %s (stop it with Ctrl+C)\n", name, address)
	})
	if err != nil {
		return errors.Join(err, l.Close())
	}
	return answer(ctx, d.Env.Server(h), l, cmp.Or(p.grace, shutdownTime), shown)
}

// answer answers on l until ctx ends, then lets running requests finish within grace. begun is called once it does.
func answer(ctx context.Context, server *http.Server, l net.Listener, grace time.Duration, begun func()) error {
	done := make(chan error, 1)
	go func() { done <- server.Serve(l) }()
	begun()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	return stop(ctx, server, grace, done)
}

// stop ends a server: requests that run may finish within grace, then they are cut off.
func stop(ctx context.Context, server *http.Server, grace time.Duration, done <-chan error) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), grace)
	defer cancel()
	err := server.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = server.Close()
	}
	if ended := <-done; !errors.Is(ended, http.ErrServerClosed) {
		err = errors.Join(err, ended)
	}
	return err
}

type Serve struct {
	serving
	watched
	StopWithin time.Duration `default:"5s" placeholder:"TIME" help:"How long requests that run may take to finish when the program is told to stop; then they are cut off."`

	Watch   []string `sep:"none" placeholder:"FOLDER" help:"Bring in the files that are dropped into this folder; say it again for another one."`
	Mapping []string `sep:"none" placeholder:"NAME" help:"The saved reading for the files of each watched folder, in the same order."`
}

func (Serve) Help() string {
	return `An empty place leads through set-up first. With --browser your browser opens too, a studio that is open already is shown there,
and the Studio page can close the program: that is what solander does without a command.

A file in a watched folder is brought in when nothing in it is left
to look at, and moves into brought-in; else it moves into left-aside with a report, and waits in the studio.
It is read when it was unchanged for 10 seconds and no program holds it open, and moves only as it was read.

Example:

  solander serve --store ~/prints/studio.db
  solander serve --browser
  solander serve --watch ~/fairs --mapping "fair takings"`
}

func (c *Serve) Run(d *desk.Desk) error {
	if len(c.Watch) != len(c.Mapping) {
		return fault.Invalidf("watch", "%d folders are to be watched, and %d readings are named", len(c.Watch), len(c.Mapping)).ToMend("give each --watch its --mapping")
	}
	if c.StopWithin <= 0 {
		return fault.Invalidf("stop-within", "no time is left for requests that run").ToMend("write it like 5s")
	}
	health, err := c.watched.open(d)
	if err != nil {
		return err
	}
	defer health.close()
	const name = "the studio"
	if c.Browser {
		file, err := d.NoteBeside()
		if err != nil {
			return err
		}
		return c.inBrowser(d, file, name, func() (pages, error) { return c.pages(d, health) })
	}
	return c.plainly(d, name, func() (pages, error) { return c.pages(d, health) })
}

// pages opens the studio and begins to watch its folders.
func (c *Serve) pages(d *desk.Desk, h *health) (pages, error) {
	st, err := d.Begin()
	if err != nil {
		return pages{}, err
	}
	done, err := c.watch(d, st)
	if err != nil {
		return pages{}, err
	}
	ended := h.answer(d)
	return pages{face: func(f desk.Face) http.Handler { return d.Env.Web(st, f) }, done: func() { done(); ended() }, grace: c.StopWithin}, nil
}

// plainly opens the pages of a studio on the port that is asked for. make opens the studio.
func (c serving) plainly(d *desk.Desk, name string, make func() (pages, error)) error {
	l, err := c.open(d.Ctx)
	if err != nil {
		return err
	}
	p, err := make()
	if err != nil {
		return errors.Join(err, l.Close())
	}
	defer p.done()
	return serve(d.Ctx, d, l, p, desk.Face{}, name, func() {})
}

// watch looks at the folders side by side until the function it returns is called, which waits for the looks that run.
func (c *Serve) watch(d *desk.Desk, st *studio.Studio) (done func(), err error) {
	var folders []*movein.Watched
	for i, folder := range c.Watch {
		if _, err := moveinroom.Mapping(d.Ctx, st, c.Mapping[i]); err != nil {
			return nil, err
		}
		w, err := movein.NewWatched(st, folder, c.Mapping[i], func(format string, args ...any) { desk.TellLine(d.Err, format, args...) })
		if err != nil {
			return nil, err
		}
		folders = append(folders, w)
	}
	ctx, stop := context.WithCancel(studio.WithWho(d.Ctx, "watched folder"))
	var all sync.WaitGroup
	for _, w := range folders {
		all.Go(func() {
			tick := time.NewTicker(movein.LookEvery)
			defer tick.Stop()
			w.Run(ctx, tick.C)
		})
	}
	return func() { stop(); all.Wait() }, nil
}
