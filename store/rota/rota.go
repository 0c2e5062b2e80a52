// Package rota keeps the scheduled work of one database: who does it, and how each job stands.
package rota

import (
	"solander/store/table"
	"solander/upkeep"
)

// Jobs are the jobs, by name.
var Jobs = table.Make("rota_jobs", "job", func(j *upkeep.RotaJob) table.Columns {
	return table.Columns{
		"name", &j.Name, "rule", &j.Rule, "due", &j.Due, "asked", &j.Asked, "began", &j.Began, "ended", &j.Ended, "good", &j.Good,
		"failures", &j.Failures, "said", &j.Said,
	}
})

var leases = table.Make("rota_lease", "lease", func(l *upkeep.Lease) table.Columns {
	one := int64(1)
	return table.Columns{"id", &one, "holder", &l.Holder, "fence", &l.Fence, "beat", &l.Beat, "lasts", &l.Lasts}
})

// RotaRows are the scheduled work within one transaction.
type RotaRows struct{ conn *table.Conn }

// New is the scheduled work as a transaction sees it.
func New(c *table.Conn) *RotaRows { return &RotaRows{c} }

// Lease returns who does the work; the zero Lease when nobody ever did.
func (t *RotaRows) Lease() (upkeep.Lease, error) {
	out, err := leases.List(t.conn, "")
	if err != nil || len(out) == 0 {
		return upkeep.Lease{}, err
	}
	return out[0], nil
}

// SaveLease keeps who does the work.
func (t *RotaRows) SaveLease(l upkeep.Lease) error {
	_, err := leases.Insert(t.conn, l, ` ON CONFLICT (id) DO UPDATE SET holder = excluded.holder, fence = excluded.fence, beat = excluded.beat, lasts = excluded.lasts`)
	return err
}

// RotaJobs returns how the jobs stand, by name.
func (t *RotaRows) RotaJobs() ([]upkeep.RotaJob, error) { return Jobs.List(t.conn, "ORDER BY name") }

// SaveRotaJob keeps how a job stands, in the place of how it stood.
func (t *RotaRows) SaveRotaJob(j upkeep.RotaJob) error {
	_, err := Jobs.Insert(t.conn, j, ` ON CONFLICT (name) DO UPDATE SET rule = excluded.rule, due = excluded.due, asked = excluded.asked,
		began = excluded.began, ended = excluded.ended, good = excluded.good, failures = excluded.failures, said = excluded.said`)
	return err
}
