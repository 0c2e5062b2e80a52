package begin

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"

	"solander/cli/desk"
)

// noteTail makes the name of the note beside a studio's file that says where its pages are open.
const noteTail = "-open"

// An openNote says where the pages of a studio are open. Only its owner reads it.
type openNote struct {
	Address string `json:"address"`
	Key     string `json:"key"` // what the pages answer at opened, so that another program at the address is not taken for them
}

// opened is where pages say by which note they are open.
const opened = "opened"

const (
	askTime   = 2 * time.Second        // how long pages may take to say that they are there
	noteTime  = 3 * time.Second        // how long a start waits for the note of one that holds the port
	noteEvery = 100 * time.Millisecond // how often it looks
)

// openAt returns the address at which the pages of a note answer; none when there is no note, or nobody answers by its key.
func openAt(ctx context.Context, note string) (address string, ok bool) {
	b, err := os.ReadFile(note)
	var n openNote
	if err != nil || json.Unmarshal(b, &n) != nil || n.Key == "" || !strings.HasPrefix(n.Address, "http://") {
		return "", false
	}
	ctx, stop := context.WithTimeout(ctx, askTime)
	defer stop()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, n.Address+opened, nil)
	if err != nil {
		return "", false
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return "", false
	}
	defer res.Body.Close()
	key, err := io.ReadAll(io.LimitReader(res.Body, 200))
	return n.Address, err == nil && res.StatusCode == http.StatusOK && string(key) == n.Key
}

// openSoon is openAt, with some patience: of two starts at once one takes the port before it has written its note.
func openSoon(ctx context.Context, note string) (address string, ok bool) {
	tick := time.NewTicker(noteEvery)
	defer tick.Stop()
	for ends := time.After(noteTime); ; {
		if address, ok = openAt(ctx, note); ok {
			return address, true
		}
		select {
		case <-tick.C:
		case <-ends:
			return "", false
		case <-ctx.Done():
			return "", false
		}
	}
}

// writeNote writes the note of pages that are open. It is written in place: on Windows no file takes the place of one that another
// start is reading, and a note that is half there is not believed.
func writeNote(note string, n openNote) error {
	b, err := json.Marshal(n)
	if err != nil {
		return err
	}
	return desk.FileFault(os.WriteFile(note, b, 0o600), note, "store")
}

// inBrowser opens the pages of a studio that is kept in a file, and her browser with them: those that are open already if there are
// any, else on the port that is asked for or, when another program has it, on a free one. make opens the studio.
func (c serving) inBrowser(d *desk.Desk, file, name string, make func() (pages, error)) (err error) {
	note := file + noteTail
	if address, ok := openAt(d.Ctx, note); ok {
		return browseThere(d, address, name)
	}
	l, err := c.open(d.Ctx)
	if cannotHave(err) {
		if address, ok := openSoon(d.Ctx, note); ok {
			return browseThere(d, address, name)
		}
		host, _, _ := net.SplitHostPort(c.Listen) // it was read before
		l, err = serving{Listen: net.JoinHostPort(host, "0")}.open(d.Ctx)
	}
	if err != nil {
		return err
	}
	p, err := make()
	if err != nil {
		return errors.Join(err, l.Close())
	}
	n := openNote{Address: addressOf(l), Key: rand.Text()}
	if err := errors.Join(desk.FileFault(os.MkdirAll(filepath.Dir(note), 0o700), note, "store"), writeNote(note, n)); err != nil {
		p.done()
		return errors.Join(err, l.Close())
	}
	defer os.Remove(note) // a note that stays is not believed: nobody answers by its key
	ctx, stop := context.WithCancel(d.Ctx)
	defer stop()
	defer p.done()
	beside := &lookAround{at: d, ctx: ctx, listen: c.Listen}
	defer func() { stop(); err = errors.Join(err, beside.end()) }()
	h, out, err := c.opened(d, file, p, desk.Face{Until: ctx, Opened: n.Key, Close: stop, Look: beside.open})
	if err != nil {
		return errors.Join(err, l.Close())
	}
	defer out()
	return serve(ctx, d, l, n.Address, h, p.grace, name, func() { go browse(d, n.Address) }) // some browsers keep who opened them
}

// browseThere shows her the pages that another start has opened.
func browseThere(d *desk.Desk, address, name string) error {
	browse(d, address)
	return d.Say(map[string]string{"address": address}, "%s is open already at %s", name, address)
}

// browse opens her browser; if there is none, the address that was printed is enough.
func browse(d *desk.Desk, address string) {
	if err := d.Env.Browse(address); err != nil {
		desk.TellLine(d.Err, "no browser could be opened (%s): open %s in one", err, address)
	}
}
