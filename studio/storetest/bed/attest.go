package bed

import (
	"solander/certificate"
	"solander/edition"
	"solander/sealog"
	"solander/studio"
)

// Certified makes a certificate of number 2 of an edition, in the place of another one or of none, with its leaf; a key of zeros signs it.
func Certified(tx studio.Tx, ed, before int64) (certificate.Kept, error) {
	c := certificate.Kept{Edition: ed, Number: Num(2), Facts: "Paper: cotton\n", Place: "Pinfold", Before: before, Day: Today, At: tx.Now(), Who: "Ada"}
	key, err := sealog.NewKey("solander-register/0011223344556677", make([]byte, sealog.SeedSize))
	if err != nil {
		return c, err
	}
	last, err := tx.LastSerial()
	if err != nil {
		return c, err
	}
	signed, err := certificate.Sign(certificate.Statement{Serial: last + 1, Edition: ed, Number: c.Number, Limit: 3, Day: c.Day, Facts: certificate.Digest(c.Facts)}, key)
	if err != nil {
		return c, err
	}
	c.Code, c.Key = signed.Small(), key.Verifier()
	if c.ID, err = tx.AddCertificate(c); err == nil {
		_, err = tx.AppendLeaf(signed.Leaf())
	}
	return c, err
}

// Ended ends a certificate, with its leaf.
func Ended(tx studio.Tx, e certificate.End) (certificate.End, error) {
	e.At = tx.Now()
	var err error
	if e.ID, err = tx.AddCertificateEnd(e); err == nil {
		_, err = tx.AppendLeaf(e.Leaf())
	}
	return e, err
}

// Told adds what an owner told, with its leaf.
func Told(tx studio.Tx, x certificate.Transfer, o certificate.Owner) (certificate.Transfer, error) {
	x.At, x.Kept, x.Words = tx.Now(), o.Commitment(), o.Words()
	var err error
	if x.ID, err = tx.AddTransfer(x); err == nil {
		_, err = tx.AppendLeaf(x.Leaf())
	}
	return x, err
}

// Ending adds the end of an edition, with its leaf.
func Ending(tx studio.Tx, c edition.Closing) (edition.Closing, error) {
	c.At = tx.Now()
	var err error
	if c.ID, err = tx.AddClosing(c); err == nil {
		_, err = tx.AppendLeaf(sealog.OfClosing(c))
	}
	return c, err
}
