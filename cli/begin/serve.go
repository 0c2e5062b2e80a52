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
	"solander/people"
	"solander/studio"
)

// serving are the flags of commands that open the studio in a browser.
type serving struct {
	Listen  string `default:"127.0.0.1:8420" placeholder:"ADDRESS" help:"Address and port on this machine; port 0 takes a free one."`
	Browser bool   `help:"Open your browser too; if it is open already, show that one."`
	nearing
}

// shutdownTime is how long a running request may take to end when the program is told to stop, if nothing else is said.
const shutdownTime = 5 * time.Second

// open takes the port, of this machine alone. Faults: Invalid, Refused.
func (c serving) open(ctx context.Context) (net.Listener, error) {
	host, _, err := net.SplitHostPort(c.Listen)
	if err == nil && !loopback(host) {
		return nil, fault.New(fault.Refused, "%.60q is not an address of this machine alone", c.Listen).In("listen").
			ToMend("use 127.0.0.1 or [::1]: nobody has to sign in here, so nobody else may reach it")
	}
	return c.listen(ctx)
}

// sane looks at the address alone, before anything is opened. Faults: Invalid.
func (c serving) sane() error {
	_, port, err := net.SplitHostPort(c.Listen)
	if err != nil {
		return fault.Invalidf("listen", "%.60q is not an address", c.Listen).ToMend("write it like 127.0.0.1:8420")
	}
	if n, err := strconv.Atoi(port); err != nil || n < 0 || n > 65535 {
		return fault.Invalidf("listen", "%.20q is not a port", port).ToMend("use 1024 to 65535, or 0 for a free one")
	}
	return nil
}

// listen takes the port. Faults: Invalid, Refused.
func (c serving) listen(ctx context.Context) (net.Listener, error) {
	if err := c.sane(); err != nil {
		return nil, err
	}
	host, _, _ := net.SplitHostPort(c.Listen) // it is one
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
	case mayNotHave(err):
		return fault.New(fault.Refused, "this user may not use the port of %s", listen).In("listen").ToMend("use another port from 1024 on").Because(err)
	}
	return fault.New(fault.Refused, "%s cannot be opened: %s", listen, err).In("listen").ToMend("use 127.0.0.1:8420").Because(err)
}

// What Windows says of a port: that it is taken, and that the system keeps it for itself, as it does with whole ranges where it runs
// other systems. Source: Microsoft, Windows Sockets Error Codes, WSAEADDRINUSE and WSAEACCES.
const (
	wsaAddressInUse = syscall.Errno(10048)
	wsaAccess       = syscall.Errno(10013)
)

func addressInUse(err error) bool {
	return errors.Is(err, syscall.EADDRINUSE) || errors.Is(err, wsaAddressInUse)
}

func mayNotHave(err error) bool { return errors.Is(err, syscall.EACCES) || errors.Is(err, wsaAccess) }

// cannotHave reports whether another port would do.
func cannotHave(err error) bool { return addressInUse(err) || mayNotHave(err) }

func addressOf(l net.Listener) string { return "http://" + l.Addr().String() + "/" }

// pages are an opened studio about to be served, and what ends beside it.
type pages struct {
	face     func(desk.Face) http.Handler
	done     func()
	accounts func(context.Context) (bool, error) // whether there are any
	grace    time.Duration                       // how long requests that run may take to finish in the end; 0 = as usual
}

// mostMemoryHeld is from where on memory is gathered up rather than let grow, in bytes, while the pages are served. The program
// rests far below; only a file of tens of thousands of rows comes near it.
const mostMemoryHeld = 225 << 20

// serve prints the address of l, and answers there until ctx ends; then requests that run have grace to finish, 0 = as usual. shown is
// called once the address is printed.
func serve(ctx context.Context, d *desk.Desk, l net.Listener, address string, h http.Handler, grace time.Duration, name string, shown func()) error {
	if d.Env.Get("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(mostMemoryHeld)
	}
	err := d.Show(map[string]string{"address": address}, func(w io.Writer) {
		fmt.Fprintf(w, "%s is open at %s (stop it with Ctrl+C)\n", name, address)
	})
	if err != nil {
		return errors.Join(err, l.Close())
	}
	return answer(ctx, d.Env.Server(h), l, cmp.Or(grace, shutdownTime), shown)
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
	beyond
	watched
	StopWithin time.Duration `default:"5s" placeholder:"TIME" help:"How long requests that run may take to finish when the program is told to stop; then they are cut off."`

	Watch   []string `sep:"none" placeholder:"FOLDER" help:"Bring in the files that are dropped into this folder; say it again for another one."`
	Mapping []string `sep:"none" placeholder:"NAME" help:"The saved reading for the files of each watched folder, in the same order."`
}

func (Serve) Help() string {
	return `An empty place leads through set-up first. With --browser your browser opens too, a studio that is open already is shown there,
and the Studio page can close the program: that is what solander does without a command.

Beyond this machine the studio is answered by TLS alone, under the names that are said, and only once there is an owner's account:
then everybody signs in, on this machine too.

A file in a watched folder is brought in when nothing in it is left
to look at, and moves into brought-in; else it moves into left-aside with a report, and waits in the studio.
It is read when it was unchanged for 10 seconds and no program holds it open, and moves only as it was read.

Example:

  solander serve --store ~/prints/studio.db
  solander serve --browser
  solander serve --listen 0.0.0.0:8420 --host studio.example --cert studio.pem --cert-key studio.key
  solander serve --watch ~/fairs --mapping "fair takings"`
}

func (c *Serve) Run(d *desk.Desk) error {
	if len(c.Watch) != len(c.Mapping) {
		return fault.Invalidf("watch", "%d folders are to be watched, and %d readings are named", len(c.Watch), len(c.Mapping)).ToMend("give each --watch its --mapping")
	}
	if c.StopWithin <= 0 {
		return fault.Invalidf("stop-within", "no time is left for requests that run").ToMend("write it like 5s")
	}
	if err := c.sane(); err != nil {
		return err
	}
	health, err := c.watched.open(d)
	if err != nil {
		return err
	}
	defer health.close()
	const name = "the studio"
	if c.shut() {
		if c.Phones {
			return fault.New(fault.Refused, "whoever may come in reaches this studio at its own address, phones too").In("phones").ToMend("leave out --phones")
		}
		return c.toOthers(d, name, health)
	}
	file, err := d.NoteBeside()
	if err != nil {
		return err
	}
	if c.Browser {
		return c.inBrowser(d, file, name, func() (pages, error) { return c.pages(d, health) })
	}
	return c.plainly(d, file, name, func() (pages, error) { return c.pages(d, health) })
}

// pages opens the studio and begins to watch its folders.
func (c *Serve) pages(d *desk.Desk, h *health) (pages, error) {
	st, err := d.Begin()
	if err != nil {
		return pages{}, err
	}
	if c.shut() {
		if err := ownerIsThere(d.Ctx, st); err != nil {
			return pages{}, err
		}
	}
	watched, err := c.watch(d, st)
	if err != nil {
		return pages{}, err
	}
	k, err := d.Keeper()
	mail, mailErr := d.Mail()
	if err = errors.Join(err, mailErr); err != nil {
		watched()
		return pages{}, err
	}
	worked := onRota(d, st, k)
	ended := h.answer(d)
	face := func(f desk.Face) http.Handler {
		f.Keep, f.Mail = k, mail
		return d.Env.Web(st, f)
	}
	return pages{face: face, done: func() { worked(); watched(); ended() }, accounts: accountsOf(st), grace: c.StopWithin}, nil
}

func accountsOf(st *studio.Studio) func(context.Context) (bool, error) {
	return func(ctx context.Context) (bool, error) { return people.Any(ctx, st) }
}

// plainly opens the pages of a studio that is kept in a file on the port that is asked for. make opens the studio.
func (c serving) plainly(d *desk.Desk, file, name string, make func() (pages, error)) error {
	l, err := c.open(d.Ctx)
	if err != nil {
		return err
	}
	p, err := make()
	if err != nil {
		return errors.Join(err, l.Close())
	}
	defer p.done()
	h, end, err := c.opened(d, file, p, desk.Face{Until: d.Ctx})
	if err != nil {
		return errors.Join(err, l.Close())
	}
	defer end()
	return serve(d.Ctx, d, l, addressOf(l), h, p.grace, name, func() {})
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
