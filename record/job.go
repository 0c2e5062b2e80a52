package record

import (
	"context"
	"fmt"

	"solander/fault"
	"solander/rota"
	"solander/studio"
)

// Job is the scheduled work of this room: each night the rows of the day are sealed, and the register is signed as far as it has come. A key that is
// locked signs only where this program was given its passphrase.
func Job() rota.Job {
	return rota.Job{
		Name: "seal",
		Due: func(ctx context.Context, st *studio.Studio) (rota.Rule, error) {
			s, err := Stands(ctx, st)
			if fault.Is(err, fault.Missing) {
				return nil, nil
			}
			if err != nil || s.KeyFile == "" || s.Verifier != "" && (!s.KeyThere || s.Locked && st.Store.RegisterKey().Passphrase == "") {
				return nil, err
			}
			return rota.Daily{Hour: 2, Minute: 30}, nil
		},
		Do: func(ctx context.Context, st *studio.Studio) (string, error) {
			c, err := Sign(ctx, st, "")
			return fmt.Sprintf("%d leaves signed", c.Size), err
		},
	}
}
