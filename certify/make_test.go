package certify_test

import (
	"strings"
	"testing"

	"solander/certificate"
	"solander/certify"
	"solander/edition"
	"solander/fault"
	"solander/internal/bed"
	paper "solander/papers/certificate"
	"solander/register"
)

// signedTwo is a bed in which numbers 1 and 2 of the heron are signed.
func signedTwo(t *testing.T) *bed.Bed {
	t.Helper()
	b := bed.New(t)
	b.Must(register.SignAhead(b.Ctx, b.Studio, b.Heron.ID, []edition.Number{bed.Num(1), bed.Num(2)}))
	return b
}

func made(b *bed.Bed, ns ...int) []certificate.Kept {
	in := certify.MakeIn{Edition: b.Heron.ID, Place: "Pinfold"}
	for _, n := range ns {
		in.Numbers = append(in.Numbers, bed.Num(n))
	}
	out, err := certify.Make(b.Ctx, b.Studio, in)
	b.Must(err)
	return out
}

func TestMakeRevokeReissue(t *testing.T) {
	b := signedTwo(t)
	in := certify.MakeIn{Edition: b.Heron.ID, Numbers: []edition.Number{bed.Num(1), bed.Num(3)}}
	_, err := certify.Make(b.Ctx, b.Studio, in)
	b.Refused(err, fault.Refused, "numbers", "no signed sheet")
	if all, err := certify.OfNumber(b.Ctx, b.Studio, b.Heron.ID, edition.Number{}); err != nil || len(all) != 0 {
		t.Errorf("a fault leaves nothing: %d, %v", len(all), err)
	}
	for field, bad := range map[string]certify.MakeIn{
		"numbers": {Edition: b.Heron.ID}, "place": {Edition: b.Heron.ID, Numbers: in.Numbers[:1], Place: strings.Repeat("x", 121)},
		"reason": {Edition: b.Heron.ID, Numbers: in.Numbers[:1], Reissue: true},
	} {
		_, err := certify.Make(b.Ctx, b.Studio, bad)
		b.Refused(err, fault.Invalid, field, "")
	}
	lacking, err := certify.Lacking(b.Ctx, b.Studio, b.Heron.ID)
	b.Must(err)
	if len(lacking) != 2 {
		t.Errorf("lacking %v", lacking)
	}
	all := made(b, 1, 2)
	if all[0].ID != 1 || all[1].ID != 2 {
		t.Errorf("%+v", all)
	}
	in.Numbers = in.Numbers[:1]
	_, err = certify.Make(b.Ctx, b.Studio, in)
	b.Refused(err, fault.Taken, "numbers", "certificate 1")

	first, err := certify.Read(b.Ctx, b.Studio, 1)
	b.Must(err)
	word := func(text string) certificate.Word {
		t.Helper()
		v, err := certify.Check(b.Ctx, b.Studio, text)
		b.Must(err)
		return v.Word
	}
	if got := word(first.File()); got != certificate.Holds {
		t.Errorf("it is %s", got)
	}
	in.Reissue, in.Reason = true, "framed anew"
	again, err := certify.Make(b.Ctx, b.Studio, in)
	b.Must(err)
	if again[0].ID != 3 || again[0].Before != 1 || word(first.Code) != certificate.Replaced {
		t.Errorf("%+v, the first is %s", again[0], word(first.Code))
	}
	b.Must(certify.Revoke(b.Ctx, b.Studio, 2, "wrong paper"))
	if got := word(all[1].Code); got != certificate.Revoked {
		t.Errorf("it is %s", got)
	}
	b.Refused(certify.Revoke(b.Ctx, b.Studio, 2, "again"), fault.Taken, "", "already")
	b.Refused(certify.Revoke(b.Ctx, b.Studio, 9, "none"), fault.Missing, "", "")
	b.Refused(certify.Revoke(b.Ctx, b.Studio, 3, ""), fault.Invalid, "reason", "")
	standings, err := certify.OfNumber(b.Ctx, b.Studio, b.Heron.ID, bed.Num(1))
	b.Must(err)
	if len(standings) != 2 || standings[0].Words() != "replaced by certificate 3" || standings[1].Words() != "holds" {
		t.Errorf("%+v", standings)
	}

	// Whoever has only the key and the signed list comes to the same.
	_, known, err := certify.ForThePage(b.Ctx, b.Studio, "")
	b.Must(err)
	third, err := certify.Read(b.Ctx, b.Studio, 3)
	b.Must(err)
	for text, want := range map[string]certificate.Word{first.File(): certificate.Replaced, all[1].Code: certificate.Revoked, third.Large(): certificate.Holds} {
		if got := certificate.Check(text, known); got.Word != want {
			t.Errorf("outside it is %s (%s), want %s", got.Word, got.Says, want)
		}
	}
	b.Sound()
}

func TestPapersOfCertificates(t *testing.T) {
	b := signedTwo(t)
	made(b, 1, 2)
	_, err := certify.ChangeLetterhead(b.Ctx, b.Studio, func(l *certificate.Letterhead) error {
		l.Words, l.Truth = "Printed slowly.", true
		return nil
	})
	b.Must(err)
	for field, change := range map[string]func(*certificate.Letterhead){
		"words": func(l *certificate.Letterhead) { l.Words = strings.Repeat("x", 401) },
		"crest": func(l *certificate.Letterhead) { l.Crest = []byte("GIF89a") },
	} {
		_, err := certify.ChangeLetterhead(b.Ctx, b.Studio, func(l *certificate.Letterhead) error { change(l); return nil })
		b.Refused(err, fault.Invalid, field, "")
	}
	all, err := certify.Papers(b.Ctx, b.Studio, []int64{1, 2})
	b.Must(err)
	if len(all) != 2 || all[0].Words != "Printed slowly." || all[0].Truth != certify.Truth || all[1].Number != "2/5" || all[0].Place != "Pinfold" {
		t.Errorf("%+v", all)
	}
	for _, f := range paper.Formats() {
		_, err := paper.Draw(f, all)
		b.Must(err)
	}
	_, err = certify.Papers(b.Ctx, b.Studio, nil)
	b.Refused(err, fault.Invalid, "certificates", "")
	_, err = certify.Papers(b.Ctx, b.Studio, []int64{9})
	b.Refused(err, fault.Missing, "", "")
}
