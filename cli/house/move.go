package house

import (
	"errors"
	"fmt"
	"io"

	"solander/cli/desk"
	"solander/moving"
	"solander/studio"
)

type Move struct {
	From string `placeholder:"PLACE" help:"Where the studio is: a file or postgres://… without a password; else as --store says."`
	To   string `placeholder:"PLACE" help:"Where it is to be: a new file, or an empty database postgres://… without a password (or set SOLANDER_MOVE_TO)."`
}

func (Move) Help() string {
	return `Every row is read back at the new place and compared by a digest before it is called moved. The new place must be empty; it holds the whole
studio or nothing, also when the program is killed. The old place is left as it is: name the new one from then on
(--store or SOLANDER_STORE), and keep the old one away from the programs that wrote into it.

A password belongs into the file that PGPASSFILE names (~/.pgpass), or into the variables SOLANDER_STORE and SOLANDER_MOVE_TO.

Example:

  solander move --to postgres://studio@db.local/prints
  solander move --from postgres://studio@db.local/prints --to ~/prints/studio.db`
}

func (c *Move) Run(d *desk.Desk) error {
	from, err := d.FromPlace(c.From)
	if err != nil {
		return err
	}
	to, err := d.ToPlace(c.To)
	if err != nil {
		return err
	}
	old, err := d.Env.Open(d.Ctx, from, d.Env.Clock)
	if err != nil {
		return desk.In(err, "from")
	}
	var digest moving.Digest
	var place string
	err = d.Env.Make(d.Ctx, to, d.Env.Clock, func(st studio.Store) (err error) {
		place = st.Place()
		digest, err = moving.Move(d.Ctx, old, st)
		return err
	})
	was := old.Place()
	if err := errors.Join(desk.In(err, "to"), old.Close()); err != nil {
		return err
	}
	if !desk.IsServer(to) {
		place = "SQLite file " + to // it stood beside until it was whole
	}
	return d.Show(map[string]any{"from": was, "to": place, "digest": digest}, func(w io.Writer) {
		fmt.Fprintf(w, "moved: %d rows of %d tables\nfrom:  %s\nto:    %s\ndigest of both: %s\n", digest.Rows, digest.Tables, was, place, digest.SHA256)
	})
}
