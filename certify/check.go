package certify

import (
	"context"
	"slices"
	"strconv"

	"solander/certificate"
	"solander/edition"
	"solander/fault"
	"solander/record"
	"solander/sealog"
	"solander/studio"
)

func yearText(year int) string { return strconv.Itoa(year) }

// Keys are the public keys that the register ever had, the newest first.
func (t *Certify) Keys() ([]string, error) {
	all, err := t.LeavesOf(sealog.KeyEvent, 0)
	if err != nil {
		return nil, err
	}
	var out []string
	for _, l := range slices.Backward(all) {
		out = append(out, l.Get("key"))
	}
	return out, nil
}

// Ended is the list of certificates that were ended, as it stands.
func (t *Certify) Ended() (certificate.List, error) {
	out := certificate.List{Day: t.Today}
	var err error
	if out.Last, err = t.LastSerial(); err != nil {
		return out, err
	}
	ends, err := t.CertificateEnds()
	if err != nil {
		return out, err
	}
	for _, e := range ends {
		out.Ended = append(out.Ended, certificate.Ended{Serial: e.Certificate, Day: e.Day, By: e.FollowedBy})
	}
	slices.SortFunc(out.Ended, func(a, b certificate.Ended) int { return int(a.Serial - b.Serial) })
	return out, nil
}

// Check checks a certificate by what this studio knows: its keys, and what it ended.
func Check(ctx context.Context, s *studio.Studio, text string) (certificate.Verdict, error) {
	return studio.Got(ctx, s, read, func(t *Certify) (certificate.Verdict, error) { return t.check(text) })
}

func (t *Certify) check(text string) (certificate.Verdict, error) {
	keys, err := t.Keys()
	if err != nil {
		return certificate.Verdict{}, err
	}
	ended, err := t.Ended()
	if err != nil {
		return certificate.Verdict{}, err
	}
	v := certificate.Check(text, certificate.Known{Keys: keys, Own: &ended})
	return v, t.ownOnly(text, &v)
}

// notOurs is said of what the register's key signed, and the register does not know.
const notOurs = "The studio's key signed it, but this register knows no such certificate: a copy of the studio that has its key made it. Make the key anew, and look at which copy goes on."

// ownOnly takes back a good word for a certificate that the studio's key signed and the studio did not make: the key is elsewhere, too.
func (t *Certify) ownOnly(text string, v *certificate.Verdict) error {
	if !v.Word.Good() && v.Word != certificate.OldList {
		return nil
	}
	s, _, err := certificate.Read(certificate.CodeIn(text))
	if err != nil {
		return err
	}
	c, err := t.Certificate(s.Serial)
	if err != nil && !fault.Is(err, fault.Missing) {
		return err
	}
	if err != nil || c.Code != s.Small() {
		v.Word, v.Says = certificate.NotInLog, notOurs
	}
	return nil
}

// SignedList is the list of ended certificates, signed by the register's key: whoever has it knows which do not hold any more.
func SignedList(ctx context.Context, s *studio.Studio, passphrase string) (string, error) {
	key, err := record.Signer(ctx, s, passphrase)
	if err != nil {
		return "", err
	}
	l, err := studio.Got(ctx, s, read, func(t *Certify) (certificate.List, error) { return t.Ended() })
	if err != nil {
		return "", err
	}
	signed, err := key.Sign(l.Text())
	return string(signed), err
}

// OfNumber are the certificates of a number, oldest first, each with how it stands.
func OfNumber(ctx context.Context, s *studio.Studio, ed int64, n edition.Number) ([]Standing, error) {
	return studio.Got(ctx, s, read, func(t *Certify) ([]Standing, error) {
		all, err := t.Certificates(ed, n)
		if err != nil {
			return nil, err
		}
		return t.standings(all)
	})
}

// Standing is a certificate and whether it was ended.
type Standing struct {
	certificate.Kept
	End *certificate.End `json:"end,omitempty"`
}

// Words say how it stands.
func (s Standing) Words() string {
	switch {
	case s.End == nil:
		return "holds"
	case s.End.FollowedBy != 0:
		return "replaced by certificate " + strconv.FormatInt(s.End.FollowedBy, 10)
	}
	return "revoked"
}

func (t *Certify) standings(all []certificate.Kept) ([]Standing, error) {
	ends, err := t.CertificateEnds()
	if err != nil {
		return nil, err
	}
	out := make([]Standing, len(all))
	for i, c := range all {
		out[i].Kept = c
		if e, ended := ends[c.ID]; ended {
			out[i].End = &e
		}
	}
	return out, nil
}

// Lacking are the signed numbers of an edition that have no certificate.
func Lacking(ctx context.Context, s *studio.Studio, ed int64) ([]edition.Number, error) {
	return studio.Got(ctx, s, read, func(t *Certify) ([]edition.Number, error) { return t.lacking(ed) })
}

func (t *Certify) lacking(ed int64) ([]edition.Number, error) {
	e, err := t.EditionOf(ed)
	if err == nil {
		err = noneOfOpen(e)
	}
	if err != nil {
		return nil, err
	}
	all, err := t.Certificates(ed, edition.Number{})
	if err != nil {
		return nil, err
	}
	ends, err := t.CertificateEnds()
	if err != nil {
		return nil, err
	}
	has := map[edition.Number]bool{}
	for _, c := range all {
		if _, ended := ends[c.ID]; !ended {
			has[c.Number] = true
		}
	}
	var out []edition.Number
	for _, k := range edition.Kinds() {
		if e.Count(k) == 0 {
			continue
		}
		rows, err := t.NumbersIn(studio.NumberQuery{Edition: ed, Kind: k})
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			if r.Standing.Signed && r.Standing.State != edition.Withdrawn && !has[r.Number] {
				out = append(out, r.Number)
			}
		}
	}
	return out, nil
}

// ForThePage is what the page that checks certificates knows of a studio: its name, its keys and the newest list.
func ForThePage(ctx context.Context, s *studio.Studio, passphrase string) (name string, known certificate.Known, err error) {
	if known.List, err = SignedList(ctx, s, passphrase); err != nil {
		return "", known, err
	}
	err = read(ctx, s, func(t *Certify) (err error) {
		name = t.Set.Studio
		known.Keys, err = t.Keys()
		return err
	})
	return name, known, err
}
