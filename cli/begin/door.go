package begin

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"solander/cli/desk"
	"solander/fault"
	"solander/internal/authority"
	"solander/internal/nearby"
)

// nearing are the flags of the door to phones.
type nearing struct {
	Phones        bool          `help:"Open it to the phones that were let in, on the local network, from the start; else on the page Studio."`
	PhonesFor     time.Duration `default:"8h" placeholder:"TIME" help:"How long it stays open to them."`
	PhonesListen  string        `default:":8421" placeholder:"ADDRESS" help:"Address and port for phones; port 0 takes a free one."`
	PhonesCert    string        `placeholder:"FILE" predictor:"file" help:"A certificate of yours to show phones, as PEM; else the program makes its own."`
	PhonesCertKey string        `placeholder:"FILE" predictor:"file" help:"The key of that certificate, as PEM; you alone may read it."`
}

// door makes the door of a studio that is kept in a file, or is noted beside one.
func (c nearing) door(d *desk.Desk, file string) (*nearby.Door, error) {
	folder := desk.TrustBeside(file)
	keeper := authority.Own(folder)
	switch {
	case (c.PhonesCert == "") != (c.PhonesCertKey == ""):
		return nil, fault.Invalidf("phones-cert", "a certificate and its key go together").ToMend("give both --phones-cert and --phones-cert-key")
	case c.PhonesCert != "":
		keeper = authority.Given(c.PhonesCert, c.PhonesCertKey)
	}
	return nearby.New(nearby.Options{
		Listen: c.PhonesListen, Keeper: keeper, Clock: d.Env.Clock, Server: d.Env.Server, Note: desk.OpenToPhones(folder),
	}), nil
}

// opened returns the pages of a studio with a door to phones beside them, and what ends it.
func (c nearing) opened(d *desk.Desk, file string, p pages, f desk.Face) (h http.Handler, end func(), err error) {
	door, err := c.door(d, file)
	if err != nil {
		return nil, nil, err
	}
	door.Answer(p.face(desk.Face{Demo: f.Demo, Door: door, Near: true}))
	f.Door = door
	ctx, stop := context.WithCancel(d.Ctx)
	var running sync.WaitGroup
	running.Go(func() {
		tick := time.NewTicker(nearby.LookEvery)
		defer tick.Stop()
		door.Run(ctx, tick.C)
	})
	end = func() { stop(); running.Wait() }
	if c.Phones {
		if err := c.openNow(d, p, door); err != nil {
			end()
			return nil, nil, err
		}
	}
	return p.face(f), end, nil
}

// openNow opens the door from the start. Faults: Refused while there is no account, and those of the door.
func (c nearing) openNow(d *desk.Desk, p pages, door *nearby.Door) error {
	any, err := p.accounts(d.Ctx)
	if err != nil {
		return err
	}
	if !any {
		return fault.New(fault.Refused, "there is no account, so no phone could come in").In("phones").ToMend("begin it without --phones, and open Studio, Let a phone in")
	}
	if err := door.Open(c.PhonesFor); err != nil {
		return err
	}
	s := door.State()
	desk.TellLine(d.Err, "%s", fmt.Sprintf("phones reach it at %s until %s", strings.Join(s.Bases, ", "), s.Until.Format("15:04")))
	return nil
}

func besideDemo(folder string) string { return filepath.Join(folder, demoName) }
