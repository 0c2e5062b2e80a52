package privacy

import (
	"context"

	"solander/fault"
	"solander/rota"
	"solander/studio"
)

// Job is the scheduled work of this room: who is due is erased in the night, when she chose so.
func Job() rota.Job {
	return rota.Job{
		Name: "erase",
		Due: func(ctx context.Context, st *studio.Studio) (rota.Rule, error) {
			set, err := st.Settings(ctx)
			if err != nil || set.Retention == nil || !set.Retention.Scheduled {
				return nil, err
			}
			return rota.Daily{Hour: 3, Minute: 30}, nil
		},
		Do: func(ctx context.Context, st *studio.Studio) (string, error) {
			done, err := EraseAllDue(ctx, st)
			return fault.Count(len(done), "buyer") + " erased", err
		},
	}
}
