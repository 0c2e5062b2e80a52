// Package copies makes copies of a studio by itself, daily, into a folder or a bucket; lets go of old ones by their age; proves once a week,
// by bringing the newest back in a scratch place, that it would serve; and carries a studio to another machine.
//
// A copy is what house.Backup writes, and nothing else writes one (docs/formats/backup.md). It is sealed unless she says that it may lie
// open. To seal needs the public half of a key alone, which stands in the database; its secret half, and what lets in at a storage, stand in a
// file beside the studio that only its owner reads, and in no copy.
package copies

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"time"

	"solander/copies/ages"
	"solander/copies/place"
	"solander/fault"
	"solander/studio"
	"solander/upkeep"
)

// Store is what this room asks of the store.
type Store interface {
	upkeep.CopyStore
	Settings() (studio.Settings, error)
	RotaJobs() ([]upkeep.RotaJob, error)
	Now() time.Time
}

// Keeper is what keeps the copies of one studio on one machine.
type Keeper struct {
	Keys Keys
	// Scratch opens an empty studio in a scratch place, which is gone when use returns.
	Scratch func(ctx context.Context, use func(studio.Store, string) error) error
	// Transport carries requests to a storage; nil = as usual.
	Transport http.RoundTripper
}

// Where copies go.
const (
	ToFolder = "folder"
	ToBucket = "bucket"
)

// Plan is what copies go by. The zero Plan makes none.
type Plan struct {
	To      string        `json:"to"` // ToFolder, ToBucket or ""
	Folder  string        `json:"folder,omitempty"`
	Storage place.Storage `json:"storage,omitzero"`
	Open    bool          `json:"open,omitempty"` // not sealed: whoever has a copy can read it
	Public  string        `json:"public,omitempty"`
	Hour    int           `json:"hour"`
	Minute  int           `json:"minute"`
	Keep    ages.Policy   `json:"keep"`
	Since   time.Time     `json:"since,omitzero"` // when it was chosen

	Last    *Made    `json:"last,omitempty"`    // the last good copy
	Drilled *Drilled `json:"drilled,omitempty"` // the last good drill
}

// Made is a copy that was made, and read back.
type Made struct {
	Name string    `json:"name"`
	At   time.Time `json:"at"`
	place.Put
	Went int `json:"went"` // older ones that were let go
}

// Drilled is a copy that was brought back, and found sound.
type Drilled struct {
	Name string    `json:"name"`
	At   time.Time `json:"at"`
	Of   time.Time `json:"of"` // when the copy was made
	// Found is how many things the check finds in what was brought back. They came with the rows, and are in the studio itself.
	Found int `json:"found"`
}

// read reads what copies go by, and which studio it is.
func read(tx Store) (p Plan, mark string, err error) {
	raw, err := tx.Copying()
	if err != nil {
		return p, "", err
	}
	if raw != nil {
		if err := json.Unmarshal(raw, &p); err != nil {
			return p, "", fmt.Errorf("what copies go by: %w", err)
		}
	}
	mark, err = tx.Identity()
	return p, mark, err
}

func save(tx Store, p Plan) error {
	raw, err := json.Marshal(p)
	if err != nil {
		return err
	}
	return tx.SaveCopying(raw)
}

func planOf(ctx context.Context, st *studio.Studio) (p Plan, mark string, err error) {
	err = st.Store.Read(ctx, func(tx studio.Tx) (err error) {
		p, mark, err = read(tx)
		return err
	})
	return p, mark, err
}

// marked returns the mark of the studio, giving it one when it has none.
func marked(tx Store, chance io.Reader) (string, error) {
	mark, err := tx.Identity()
	if err != nil || mark != "" {
		return mark, err
	}
	b := make([]byte, 8)
	if _, err := io.ReadFull(chance, b); err != nil {
		return "", err
	}
	mark = hex.EncodeToString(b)
	return mark, tx.SaveIdentity(mark)
}

func (k *Keeper) place(p Plan, mark string) (place.Place, error) {
	switch p.To {
	case ToFolder:
		return place.In(p.Folder, mark), nil
	case ToBucket:
		c, err := k.Keys.credentials(mark)
		if err != nil {
			return nil, err
		}
		return place.At(p.Storage, c, k.Transport)
	}
	return nil, fault.New(fault.Refused, "no copies are made by themselves yet").ToMend("choose where they go, on the page Copies or by: solander copies --to")
}

var chance = rand.Reader
