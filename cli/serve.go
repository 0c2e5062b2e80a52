package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strconv"
	"syscall"
	"time"

	"solander/fault"
)

// serving are the flags of commands that open the studio in a browser.
type serving struct {
	Listen string `default:"127.0.0.1:8420" placeholder:"ADDRESS" help:"Address and port on this machine; port 0 takes a free one."`
}

// shutdownTime is how long a running request may take to end when the program is told to stop.
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
	case errors.Is(err, syscall.EADDRINUSE):
		return fault.New(fault.Refused, "%s is in use already", listen).In("listen").
			ToMend("stop what runs there, or choose another port: --listen %s", net.JoinHostPort(host, "8421")).Because(err)
	case errors.Is(err, syscall.EACCES):
		return fault.New(fault.Refused, "this user may not use the port of %s", listen).In("listen").ToMend("use a port from 1024 on").Because(err)
	}
	return fault.New(fault.Refused, "%s cannot be opened: %s", listen, err).In("listen").ToMend("use 127.0.0.1:8420").Because(err)
}

// serve answers on l until the context ends, then lets running requests finish.
func (d *desk) serve(l net.Listener, h http.Handler, name string) error {
	address := "http://" + l.Addr().String() + "/"
	err := d.show(map[string]string{"address": address}, func(w io.Writer) {
		fmt.Fprintf(w, "%s is open at %s (stop it with Ctrl+C)\n", name, address)
	})
	if err != nil {
		return errors.Join(err, l.Close())
	}
	server := d.env.Server(h)
	done := make(chan error, 1)
	go func() { done <- server.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-d.ctx.Done():
	}
	return stop(d.ctx, server, done)
}

// stop ends a server: requests that run may finish within shutdownTime, then they are cut off.
func stop(ctx context.Context, server *http.Server, done <-chan error) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTime)
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

type serveCmd struct{ serving }

func (serveCmd) Help() string {
	return "An empty place leads through set-up first.\n\nExample:\n\n  solander serve --store ~/prints/studio.db"
}

func (c *serveCmd) Run(d *desk) error {
	l, err := c.open(d.ctx)
	if err != nil {
		return err
	}
	st, err := d.begin()
	if err != nil {
		return errors.Join(err, l.Close())
	}
	return d.serve(l, d.env.Web(st, false), "the studio")
}
