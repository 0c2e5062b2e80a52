// Package pictures keeps the pictures of works: what is known of each in one row, and its bytes at every size in a row of
// their own, so that a list of pictures reads none of them. Bytes are kept in base64 (RFC 4648), as those of other files are: a copy
// then holds whole numbers and texts alone, on both engines.
package pictures

import (
	"encoding/base64"
	"fmt"
	"slices"

	"solander/picture"
	"solander/store/engine"
	"solander/store/table"
	"solander/studio"
)

// Pictures are what is known of them.
var Pictures = table.Make("pictures", "picture of work", func(p *picture.Picture) table.Columns {
	return table.Columns{
		"work", &p.Work, "alt", &p.Alt, "digest", &p.Digest, "small_width", &p.Small.Width, "small_height", &p.Small.Height,
		"middle_width", &p.Middle.Width, "middle_height", &p.Middle.Height, "large_width", &p.Large.Width, "large_height", &p.Large.Height,
		"at", &p.At, "who", &p.Who,
	}
})

// Bodies are the columns of the bytes.
const Bodies = "work, size, body"

// PictureRows are the pictures within one transaction.
type PictureRows struct{ conn *table.Conn }

// New returns the pictures of a transaction.
func New(c *table.Conn) *PictureRows { return &PictureRows{c} }

// The title of the work is read along.
func (t *PictureRows) pictures(rest string, args ...any) ([]picture.Picture, error) {
	return Pictures.Read(t.conn, "SELECT "+Pictures.Under("p")+", w.title FROM pictures p JOIN works w ON w.id = p.work "+rest, args,
		func(p *picture.Picture) any { return &p.Title })
}

// Pictures returns what is known of all pictures, by work.
func (t *PictureRows) Pictures() ([]picture.Picture, error) { return t.pictures("ORDER BY p.work") }

// PicturesOf returns what is known of the pictures of works, each named once.
func (t *PictureRows) PicturesOf(works []int64) ([]picture.Picture, error) {
	var out []picture.Picture
	for part := range slices.Chunk(works, table.Batch) {
		in, args := table.InList(part)
		found, err := t.pictures("WHERE p.work IN "+in, args...)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

// Picture returns what is known of the picture of a work. Faults: Missing.
func (t *PictureRows) Picture(work int64) (picture.Picture, error) {
	out, err := t.pictures("WHERE p.work = $1", work)
	return table.Only(out, err, "picture of work %d", work)
}

// PictureBody returns the bytes of a picture at a size. Faults: Missing.
func (t *PictureRows) PictureBody(work int64, size picture.Size) ([]byte, error) {
	text, err := table.Values[string](t.conn, `SELECT body FROM picture_bodies WHERE work = $1 AND size = $2`, work, size)
	if err := table.Must(len(text) > 0, err, "picture of work %d, %s", work, size); err != nil {
		return nil, err
	}
	body, err := base64.StdEncoding.DecodeString(text[0])
	if err != nil {
		return nil, fmt.Errorf("picture of work %d, %s: %w: %w", work, size, studio.ErrDamaged, err)
	}
	return body, nil
}

// SavePicture keeps a picture in place of the one that the work had. Faults: Missing for no such work.
func (t *PictureRows) SavePicture(p picture.Picture, prints picture.Prints) error {
	if err := t.conn.Exists("works", "work", p.Work); err != nil {
		return err
	}
	if _, err := t.drop(p.Work); err != nil {
		return err
	}
	if _, err := Pictures.Insert(t.conn, p, ""); err != nil {
		return err
	}
	for _, size := range picture.Sizes() {
		body := base64.StdEncoding.EncodeToString(prints.At(size).JPEG)
		if _, err := t.conn.Exec(`INSERT INTO picture_bodies (work, size, body) VALUES ($1, $2, $3)`, p.Work, size, body); err != nil {
			return err
		}
	}
	return nil
}

// SayPicture changes what is said to be seen. Faults: Missing.
func (t *PictureRows) SayPicture(work int64, alt string) error {
	return t.conn.Change("picture of work", work, `UPDATE pictures SET alt = $2 WHERE work = $1`, work, alt)
}

// DropPicture forgets a picture. Faults: Missing.
func (t *PictureRows) DropPicture(work int64) error {
	n, err := t.drop(work)
	if err == nil && n == 0 {
		return engine.Missing("picture of work %d", work)
	}
	return err
}

func (t *PictureRows) drop(work int64) (int64, error) {
	if _, err := t.conn.Exec(`DELETE FROM picture_bodies WHERE work = $1`, work); err != nil {
		return 0, err
	}
	return t.conn.Exec(`DELETE FROM pictures WHERE work = $1`, work)
}
