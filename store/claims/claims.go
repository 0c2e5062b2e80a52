// Package claims keeps claims on operators, with the photos of the damage. Bytes of photos are kept in base64 (RFC 4648), as those of other
// pictures are, in a row of their own.
package claims

import (
	"database/sql"
	"encoding/base64"
	"fmt"
	"strconv"

	"solander/claim"
	"solander/fault"
	"solander/ledger"
	"solander/posted"
	"solander/store/engine"
	"solander/store/table"
	"solander/studio"
)

// Claims are the claims.
var Claims = table.Make("claims", "claim", func(c *claim.Claim) table.Columns {
	return table.Columns{
		"id", &c.ID, "parcel", &c.Parcel, "order_id", &c.Order, "kind", &c.Kind, "lines", table.JSON(&c.Lines), "losses", table.JSON(&c.Losses),
		"told", &c.Told, "state", &c.State, "filed", &c.Filed, "reference", &c.Reference, "claimed", &c.Claimed, "above", &c.Above,
		"answered", &c.Answered, "granted", &c.Granted, "answer", &c.Answer, "paid_on", &c.PaidOn, "paid", &c.Paid, "ended", &c.Ended,
		"made", &c.Made, "made_on", &c.MadeOn, "instead", table.JSON(&c.Instead), "note", &c.Note, "turn", &c.Turn, "at", &c.At, "who", &c.Who,
	}
})

// Photos are what is known of the photos.
var Photos = table.Make("claim_photos", "photo of a claim", func(p *claim.Photo) table.Columns {
	return table.Columns{
		"id", &p.ID, "claim", &p.Claim, "alt", &p.Alt, "digest", &p.Digest, "width", &p.Width, "height", &p.Height, "at", &p.At, "who", &p.Who,
	}
})

// Bodies are the columns of their bytes.
const Bodies = "id, body"

// ClaimRows are the claims within one transaction.
type ClaimRows struct{ conn *table.Conn }

// New are the claims of a transaction.
func New(c *table.Conn) *ClaimRows { return &ClaimRows{c} }

// Claims returns claims, the latest told first.
func (t *ClaimRows) Claims(q claim.Query) ([]claim.Claim, error) {
	where, args := "WHERE 1 = 1", []any(nil)
	and := func(condition string, of int64) {
		args = append(args, of)
		where += fmt.Sprintf(" AND "+condition, "$"+strconv.Itoa(len(args)))
	}
	if q.Parcel != 0 {
		and("parcel = %s", q.Parcel)
	}
	if q.Order != 0 {
		and("parcel IN (SELECT parcel FROM lines WHERE order_id = %s AND parcel IS NOT NULL)", q.Order)
	}
	if q.Open {
		where += " AND state NOT IN ('closed', 'void')"
	}
	return Claims.List(t.conn, where+" ORDER BY told DESC, id DESC", args...)
}

// Claim returns one. Faults: Missing.
func (t *ClaimRows) Claim(id int64) (claim.Claim, error) { return Claims.Get(t.conn, id) }

var claimed = fault.New(fault.Taken, "there is a claim for this parcel already").In("parcel").ToMend("look at that one")

// AddClaim adds one. Faults: Taken; Missing.
func (t *ClaimRows) AddClaim(c claim.Claim) (int64, error) {
	id, err := Claims.Add(t.conn, c)
	t.conn.Touch(ledger.Claim, id)
	return id, engine.When(engine.When(err, engine.Unique, claimed), engine.Foreign, engine.Missing("parcel %d", c.Parcel))
}

// SaveClaim keeps how a claim stands; a line of the bank that was its payment is open again when that is taken back. Faults: Missing.
func (t *ClaimRows) SaveClaim(c claim.Claim) error {
	t.conn.Touch(ledger.Claim, c.ID)
	if c.Paid.IsZero() || c.State == claim.Void { // what came of it to the bank is something else
		if err := t.conn.TouchAll(ledger.BankLine, `SELECT id FROM bank_lines WHERE claim = $1`, c.ID); err != nil {
			return err
		}
		if _, err := t.conn.Exec(`UPDATE bank_lines SET state = 'open', claim = NULL WHERE claim = $1`, c.ID); err != nil {
			return err
		}
	}
	return Claims.Change(t.conn, c)
}

// ClaimPhotos returns what is known of the photos of a claim, oldest first.
func (t *ClaimRows) ClaimPhotos(of int64) ([]claim.Photo, error) {
	return Photos.List(t.conn, "WHERE claim = $1 ORDER BY id", of)
}

// ClaimPhoto returns what is known of one. Faults: Missing.
func (t *ClaimRows) ClaimPhoto(id int64) (claim.Photo, error) { return Photos.Get(t.conn, id) }

// ClaimPhotoBody returns the bytes of one, none when its buyer was erased. Faults: Missing.
func (t *ClaimRows) ClaimPhotoBody(id int64) ([]byte, error) {
	text, err := table.Values[string](t.conn, `SELECT body FROM claim_photo_bodies WHERE id = $1`, id)
	if err := table.Must(len(text) > 0, err, "photo %d of a claim", id); err != nil {
		return nil, err
	}
	plain, err := t.conn.OpenCell("claim_photo_bodies", "body", table.KeyText(id), text[0])
	if err != nil || plain == "" {
		return nil, err
	}
	body, err := base64.StdEncoding.DecodeString(plain)
	if err != nil {
		return nil, fmt.Errorf("photo %d of a claim: %w: %w", id, studio.ErrDamaged, err)
	}
	return body, nil
}

// AddClaimPhoto keeps a photo with its bytes. Faults: Missing.
func (t *ClaimRows) AddClaimPhoto(p claim.Photo, jpeg []byte) (int64, error) {
	id, err := Photos.Add(t.conn, p)
	if err != nil {
		return id, engine.When(err, engine.Foreign, engine.Missing("claim %d", p.Claim))
	}
	text, err := t.conn.SealCell("claim_photo_bodies", "body", table.KeyText(id), base64.StdEncoding.EncodeToString(jpeg))
	if err != nil {
		return id, err
	}
	_, err = t.conn.Exec(`INSERT INTO claim_photo_bodies (id, body) VALUES ($1, $2)`, id, text)
	return id, err
}

// DropClaimPhoto forgets a photo. Faults: Missing.
func (t *ClaimRows) DropClaimPhoto(id int64) error {
	if _, err := t.conn.Exec(`DELETE FROM claim_photo_bodies WHERE id = $1`, id); err != nil {
		return err
	}
	return Photos.Drop(t.conn, id)
}

// ClaimEvents returns what claims ought to have in the journal.
func (t *ClaimRows) ClaimEvents(ids []int64) (map[int64][]ledger.Event, error) {
	all, err := Claims.In(t.conn, "id", ids, "ORDER BY id")
	if err != nil {
		return nil, err
	}
	out := make(map[int64][]ledger.Event, len(all))
	for _, c := range all {
		prints, err := t.prints(c.Lines)
		if err != nil {
			return nil, err
		}
		out[c.ID] = posted.Claim(c, prints)
	}
	return out, nil
}

// prints are order lines as the journal refers to them.
func (t *ClaimRows) prints(lines []int64) ([]posted.Print, error) {
	if len(lines) == 0 { // a damaged claim: the check tells of it
		return nil, nil
	}
	var out []posted.Print
	in, args := table.InList(lines)
	err := t.conn.Each(`SELECT l.id, l.order_id, l.edition, o.outlet, o.mark FROM lines l JOIN orders o ON o.id = l.order_id WHERE l.id IN `+in+` ORDER BY l.id`, args,
		func(rows *sql.Rows) error {
			var p posted.Print
			err := rows.Scan(&p.Line, &p.Order, &p.Edition, &p.Outlet, &p.Mark)
			out = append(out, p)
			return err
		})
	return out, err
}
