package begin

import (
	"context"
	"errors"
	"net"
	"path/filepath"
	"sync"

	"solander/cli/desk"
)

// lookAround opens the invented studio beside her own, in the same program, at an address of its own.
type lookAround struct {
	at     *desk.Desk
	ctx    context.Context // it is open until this ends
	listen string

	mu      sync.Mutex
	beside  *desk.Desk // nil = it is not open
	address string
	ended   chan error
}

// open returns the address of the invented studio, which it makes and opens when it is not open.
func (a *lookAround) open() (address string, err error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.beside != nil {
		return a.address, nil
	}
	demo := Demo{Seed: 1}
	folder, err := demo.folder(a.at)
	if err != nil {
		return "", err
	}
	note := filepath.Join(folder, demoName) + noteTail
	if address, ok := openAt(a.ctx, note); ok { // another program has it open
		return address, nil
	}
	host, _, _ := net.SplitHostPort(a.listen) // it was read before
	l, err := serving{Listen: net.JoinHostPort(host, "0")}.open(a.ctx)
	if err != nil {
		return "", err
	}
	d := &desk.Desk{Ctx: a.ctx, In: a.at.In, Out: a.at.Out, Err: a.at.Err, Env: a.at.Env}
	p, err := demo.pages(d, folder)
	if err != nil {
		return "", errors.Join(err, d.Close(), l.Close())
	}
	a.beside, a.address, a.ended = d, addressOf(l), make(chan error, 1)
	go func() {
		a.ended <- answer(a.ctx, d.Env.Server(p.face(desk.Face{Until: a.ctx})), l, shutdownTime, func() {})
	}()
	return a.address, nil
}

// end waits until the invented studio is closed, after the context ended.
func (a *lookAround) end() error {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.beside == nil {
		return nil
	}
	return errors.Join(<-a.ended, a.beside.Close())
}
