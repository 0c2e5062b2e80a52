package demo

import (
	"context"
	"fmt"
	"sync"

	"solander/demo/painting"
	"solander/gallery"
	"solander/picture"
	"solander/picture/develop"
)

// painted are the paintings of the works, in their order. They are painted once, and the same for every studio.
var painted = sync.OnceValues(func() ([]picture.Prints, error) {
	out, failed := make([]picture.Prints, len(works)), make([]error, len(works))
	var all sync.WaitGroup
	for i, w := range works {
		all.Go(func() {
			img, ok := painting.Paint(w.title)
			if !ok {
				failed[i] = fmt.Errorf("nobody painted %s", w.title)
				return
			}
			out[i], failed[i] = develop.Prints(context.Background(), img)
		})
	}
	all.Wait()
	for _, err := range failed {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
})

// paint begins to paint while the story is told.
func paint() {
	go func() { _, _ = painted() }() // what goes wrong is told when the paintings are hung
}

// hang hangs the paintings of all works.
func (p *past) hang() error {
	prints, err := painted()
	if err != nil {
		return err
	}
	for i, w := range p.works {
		if _, err := gallery.Hang(p.ctx, p.studio, w.ID, prints[i], painting.Seen(w.Title)); err != nil {
			return err
		}
	}
	return nil
}
