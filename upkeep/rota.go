package upkeep

import "time"

// Lease is who does the scheduled work of a studio now. A runner that is gone leaves its lease behind: whoever sees it unchanged for as
// long as it lasts takes it, under a higher fence, and what the one before writes after that is refused.
type Lease struct {
	Holder string // "" = nobody
	Fence  int64  // grows by one each time it is taken; 0 = it never was
	Beat   int64  // grows by one each time the holder says that it goes on
	Lasts  time.Duration
}

// RotaJob is how a job of the scheduled work stands.
type RotaJob struct {
	Name     string    `json:"name"`
	Rule     string    `json:"rule"` // by which Due was reckoned; "" = it is not due at present
	Due      time.Time `json:"due_at,omitzero"`
	Asked    time.Time `json:"asked_at,omitzero"` // when it was asked for out of its turn; zero = it was done since
	Began    time.Time `json:"began_at,omitzero"`
	Ended    time.Time `json:"ended_at,omitzero"`
	Good     time.Time `json:"good_at,omitzero"` // when it ended well last
	Failures int       `json:"failures"`         // since then
	Said     string    `json:"said"`             // what came of it last, in words
}

// RotaStore keeps the scheduled work of one database. Nothing of it is in a copy.
type RotaStore interface {
	Lease() (Lease, error) // the zero Lease when nobody ever had it
	SaveLease(Lease) error
	RotaJobs() ([]RotaJob, error) // by name
	SaveRotaJob(RotaJob) error    // by name; replaces
}
