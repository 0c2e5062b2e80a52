package certify

import (
	"context"
	"fmt"
	"slices"

	"solander/certificate"
	"solander/disclosure"
	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/record"
	"solander/sealog"
	"solander/studio"
)

// MakeIn asks for certificates of numbers of an edition.
type MakeIn struct {
	Edition    int64
	Numbers    []edition.Number
	Place      string // where the print was signed; "" = not said
	Passphrase string // of the register's key; "" = the one that this program was given
	Reissue    bool   // a number that has a certificate gets another one in its place
	Reason     string // of a re-issue
}

// mostAtOnce bounds how many certificates are made at once.
const mostAtOnce = 1000

// Validate looks at the input alone.
func (in MakeIn) Validate() error {
	var l fault.List
	l.Check(len(in.Numbers) > 0, "numbers", "no number is named", "say for which numbers")
	l.Check(len(in.Numbers) <= mostAtOnce, "numbers", "these are too many at once", fmt.Sprintf("make up to %d at once", mostAtOnce))
	l.Add(order.Text("place", in.Place, 120, false))
	if in.Reissue {
		l.Add(studio.ReasonGiven(in.Reason))
	}
	return l.Err()
}

// Make makes certificates for signed numbers: each is signed by the register's key, and told by a leaf of its log, which is signed with them.
// Faults: Invalid, Missing; Refused for a number that is not signed, or without the key; Taken when it has a certificate.
func Make(ctx context.Context, s *studio.Studio, in MakeIn) ([]certificate.Kept, error) {
	if err := in.Validate(); err != nil {
		return nil, err
	}
	key, err := record.Signer(ctx, s, in.Passphrase)
	if err != nil {
		return nil, err
	}
	var out []certificate.Kept
	var seal sealog.Signed
	err = write(ctx, s, func(t *Certify) (err error) {
		if out, err = t.make(in, key); err == nil {
			seal, err = record.In(t.Turn).Checkpoint(key)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, record.Keep(s, seal)
}

// making is what all certificates of one making share.
type making struct {
	e      edition.Edition
	year   int
	facts  string
	key    sealog.Key
	serial int64
	in     MakeIn
}

func (t *Certify) make(in MakeIn, key sealog.Key) ([]certificate.Kept, error) {
	v, err := t.Facts(in.Edition)
	if err != nil {
		return nil, err
	}
	if err := noneOfOpen(v.Edition); err != nil {
		return nil, err
	}
	w, err := t.Work(v.Edition.Work)
	if err != nil {
		return nil, err
	}
	last, err := t.LastSerial()
	if err != nil {
		return nil, err
	}
	m := making{e: v.Edition, year: w.Year, facts: t.factsText(v), key: key, serial: last, in: in}
	var out []certificate.Kept
	for _, n := range in.Numbers {
		c, err := t.makeOne(&m, n)
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, t.Note(0, "%s: %d certified, from certificate %d on", m.e.Name(t.Set.Units), len(out), out[0].ID)
}

func (t *Certify) makeOne(m *making, n edition.Number) (certificate.Kept, error) {
	where := n.Of(m.e) + " of " + m.e.Title
	if err := n.In(m.e); err != nil {
		return certificate.Kept{}, err
	}
	st, err := t.Standing(m.e.ID, n)
	if err != nil {
		return certificate.Kept{}, err
	}
	if !st.Signed || st.State == edition.Withdrawn {
		return certificate.Kept{}, fault.New(fault.Refused, "a %s number has no signed sheet to certify", st.State).At("%s", where).In("numbers").ToMend("sign it first")
	}
	before, err := t.Valid(m.e.ID, n)
	switch {
	case err != nil:
		return certificate.Kept{}, err
	case before != 0 && !m.in.Reissue:
		return certificate.Kept{}, fault.New(fault.Taken, "it has certificate %d", before).At("%s", where).In("numbers").ToMend("re-issue or revoke that one")
	case before == 0 && m.in.Reissue:
		return certificate.Kept{}, fault.New(fault.Refused, "it has no certificate to be replaced").At("%s", where).In("numbers").ToMend("make one")
	}
	m.serial++
	signed, err := certificate.Sign(certificate.Statement{
		Serial: m.serial, Edition: m.e.ID, Number: n, Limit: m.e.Limit, Proofs: m.e.Proofs, Year: m.year, Declared: m.e.Declared, Day: t.Today,
		Title: m.e.Title, Artist: t.Set.Artist, Facts: certificate.Digest(m.facts),
	}, m.key)
	if err != nil {
		return certificate.Kept{}, err
	}
	c := certificate.Kept{
		Edition: m.e.ID, Number: n, Code: signed.Small(), Facts: m.facts, Key: m.key.Verifier(), Place: m.in.Place, Before: before,
		Day: t.Today, At: t.Now, Who: t.Who,
	}
	if c.ID, err = t.AddCertificate(c); err == nil && c.ID != m.serial {
		err = fmt.Errorf("certificate %d was kept as %d", m.serial, c.ID)
	}
	if err != nil {
		return c, err
	}
	if _, err := t.AppendLeaf(signed.Leaf()); err != nil || before == 0 {
		return c, err
	}
	return c, t.end(certificate.End{Certificate: before, FollowedBy: c.ID, Reason: m.in.Reason})
}

// Valid is the certificate of a number that was not ended; 0 = it has none.
func (t *Certify) Valid(ed int64, n edition.Number) (int64, error) {
	all, err := t.Certificates(ed, n)
	if err != nil {
		return 0, err
	}
	ends, err := t.CertificateEnds()
	if err != nil {
		return 0, err
	}
	for _, c := range slices.Backward(all) {
		if _, ended := ends[c.ID]; !ended {
			return c.ID, nil
		}
	}
	return 0, nil
}

// end ends a certificate, and tells the log.
func (t *Certify) end(e certificate.End) error {
	e.Day, e.At, e.Who = t.Today, t.Now, t.Who
	if _, err := t.AddCertificateEnd(e); err != nil {
		return err
	}
	_, err := t.AppendLeaf(e.Leaf())
	return err
}

// Revoke revokes a certificate for good; its number may get another one. Faults: Invalid, Missing; Taken when it was ended already.
func Revoke(ctx context.Context, s *studio.Studio, serial int64, reason string) error {
	if err := studio.ReasonGiven(reason); err != nil {
		return err
	}
	return write(ctx, s, func(t *Certify) error {
		c, err := t.Certificate(serial)
		if err != nil {
			return err
		}
		e, err := t.EditionOf(c.Edition)
		if err != nil {
			return err
		}
		if err := t.end(certificate.End{Certificate: serial, Reason: reason}); err != nil {
			return err
		}
		return t.Note(0, "certificate %d of %s of %s revoked: %s", serial, c.Number.Of(e), e.Title, reason)
	})
}

// factsText are the facts that go with a certificate: what the print is, an empty line, and all that is told.
func (t *Certify) factsText(v FactsView) string {
	text := ""
	for _, r := range t.about(v.Edition) {
		if r.Text != "" {
			text += r.Label + ": " + r.Text + "\n"
		}
	}
	for _, f := range []disclosure.Fact{disclosure.Image, disclosure.Signature, disclosure.Year, disclosure.Workshop} {
		if told := v.Facts[f]; told.Said == disclosure.Stated {
			text += f.Label() + ": " + told.Text() + "\n"
		}
	}
	text += "\n"
	for _, f := range []disclosure.Fact{disclosure.Limited, disclosure.MaxSigned, disclosure.MaxProofs, disclosure.Total} {
		text += f.Label() + ": " + v.Facts[f].Text() + "\n"
	}
	for _, a := range disclosure.Asked() {
		if told := v.Facts[a.Fact]; told.Said != disclosure.Missing {
			text += a.Label + ": " + told.Text() + "\n"
		}
	}
	return text
}
