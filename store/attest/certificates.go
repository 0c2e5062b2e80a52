package attest

import (
	"cmp"

	"solander/certificate"
	"solander/edition"
	"solander/fault"
	"solander/store/engine"
	"solander/store/table"
)

// Certificates are those that were made.
var Certificates = table.Make("certificates", "certificate", func(c *certificate.Kept) table.Columns {
	return table.Columns{
		"id", &c.ID, "edition", &c.Edition, "kind", &c.Number.Kind, "number", &c.Number.N, "code", &c.Code, "facts", &c.Facts, "key", &c.Key,
		"place", &c.Place, "before", &c.Before, "day", &c.Day, "at", &c.At, "who", &c.Who,
	}
})

// Ends are the ends of certificates.
var Ends = table.Make("certificate_ends", "end of certificate", func(e *certificate.End) table.Columns {
	return table.Columns{
		"id", &e.ID, "certificate", &e.Certificate, "followed_by", &e.FollowedBy, "reason", &e.Reason, "day", &e.Day, "at", &e.At, "who", &e.Who,
	}
})

// Transfers are what owners told.
var Transfers = table.Make("transfers", "transfer", func(x *certificate.Transfer) table.Columns {
	return table.Columns{
		"id", &x.ID, "edition", &x.Edition, "kind", &x.Number.Kind, "number", &x.Number.N, "certificate", &x.Certificate, "told", &x.Told,
		"kept", &x.Kept, "day", &x.Day, "at", &x.At, "who", &x.Who,
	}
})

// AddCertificate adds one; see certificate.Store.
func (t *AttestRows) AddCertificate(c certificate.Kept) (int64, error) {
	return Certificates.Add(t.conn, c)
}

// Certificate reads one. Faults: Missing.
func (t *AttestRows) Certificate(serial int64) (certificate.Kept, error) {
	return Certificates.Get(t.conn, serial)
}

// Certificates returns those of an edition, or of a number.
func (t *AttestRows) Certificates(ed int64, n edition.Number) ([]certificate.Kept, error) {
	if n.IsZero() {
		return Certificates.List(t.conn, "WHERE edition = $1 ORDER BY id", ed)
	}
	return Certificates.List(t.conn, "WHERE edition = $1 AND kind = $2 AND number = $3 ORDER BY id", ed, n.Kind, n.N)
}

// AddCertificateEnd adds one; see certificate.Store.
func (t *AttestRows) AddCertificateEnd(e certificate.End) (int64, error) {
	if err := t.conn.Exists("certificates", "certificate", e.Certificate); err != nil {
		return 0, err
	}
	taken := fault.New(fault.Taken, "certificate %d was ended already", e.Certificate)
	before, err := Ends.List(t.conn, "WHERE certificate = $1", e.Certificate)
	if err == nil && len(before) > 0 {
		err = taken
	}
	if err != nil {
		return 0, err
	}
	id, err := Ends.Add(t.conn, e)
	return id, engine.When(err, engine.Unique, taken)
}

// CertificateEnds returns all ends, by certificate.
func (t *AttestRows) CertificateEnds() (map[int64]certificate.End, error) {
	all, err := Ends.List(t.conn, "ORDER BY certificate")
	out := make(map[int64]certificate.End, len(all))
	for _, e := range all {
		out[e.Certificate] = e
	}
	return out, err
}

// LastSerial is the serial that was given last.
func (t *AttestRows) LastSerial() (n int64, err error) {
	_, err = t.conn.One(`SELECT coalesce(max(id), 0) FROM certificates`, nil, &n)
	return n, err
}

// AddTransfer adds what an owner told.
func (t *AttestRows) AddTransfer(x certificate.Transfer) (int64, error) {
	if err := t.conn.Exists("certificates", "certificate", x.Certificate); err != nil {
		return 0, err
	}
	id, err := Transfers.Add(t.conn, x)
	if err == nil {
		_, err = t.conn.Exec(`INSERT INTO transfer_names (transfer, words) VALUES ($1, $2)`, id, x.Words)
	}
	return id, err
}

// Transfers returns what owners told of a number, oldest first.
func (t *AttestRows) Transfers(ed int64, n edition.Number) ([]certificate.Transfer, error) {
	return toldBy(t.conn, "WHERE x.edition = $1 AND x.kind = $2 AND x.number = $3 ORDER BY x.id", ed, cmp.Or(n.Kind, edition.Numbered), n.N)
}

// TransfersAfter reads up to limit of them behind an id.
func TransfersAfter(c *table.Conn, id int64, limit int) ([]certificate.Transfer, error) {
	return toldBy(c, "WHERE x.id > $1 ORDER BY x.id LIMIT $2", id, limit)
}

func toldBy(c *table.Conn, rest string, args ...any) ([]certificate.Transfer, error) {
	return Transfers.Read(c, "SELECT "+Transfers.Under("x")+", w.words FROM transfers x JOIN transfer_names w ON w.transfer = x.id "+rest,
		args, func(x *certificate.Transfer) any { return &x.Words })
}

// ForgetTransfer forgets who told it, and returns what stays.
func (t *AttestRows) ForgetTransfer(id int64) (x certificate.Transfer, err error) {
	if err := t.conn.Change("transfer", id, `UPDATE transfer_names SET words = '`+certificate.Erased+`' WHERE transfer = $1`, id); err != nil {
		return x, err
	}
	all, err := toldBy(t.conn, "WHERE x.id = $1", id)
	if err == nil {
		x = all[0]
	}
	return x, err
}
