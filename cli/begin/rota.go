package begin

import (
	"context"
	"sync"
	"time"

	"solander/cli/desk"
	"solander/copies"
	"solander/rota"
	"solander/studio"
)

// onRota does the scheduled work of a studio beside its pages, until the function it returns is called, which waits for what runs.
func onRota(d *desk.Desk, st *studio.Studio, k *copies.Keeper) (done func()) {
	if d.Env.Jobs == nil {
		return func() {}
	}
	r := &rota.Runner{Studio: st, Jobs: d.Env.Jobs(st, k), Holder: desk.ThisProgram()}
	ctx, stop := context.WithCancel(d.Ctx)
	var all sync.WaitGroup
	all.Go(func() {
		tick := time.NewTicker(rota.LookEvery)
		defer tick.Stop()
		r.Run(ctx, tick.C)
	})
	return func() { stop(); all.Wait() }
}
