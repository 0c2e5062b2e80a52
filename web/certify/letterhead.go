package certify

import (
	"net/http"

	"solander/certificate"
	"solander/certify"
	paper "solander/papers/certificate"
	"solander/picture/header"
	"solander/web/form"
	"solander/web/page"
)

// LetterheadPage is what of her own stands on certificates.
type LetterheadPage struct {
	page.Frame
	Form  *form.Form
	Crest bool // one is kept
	Looks bool // there is an edition of which a certificate can be looked at
}

const atLetterhead = "/certificates/letterhead"

// letterheadIn is what the form asks.
type letterheadIn struct {
	certificate.Letterhead
	away    bool // the crest is taken away
	edition int64
	format  paper.Format
}

func letterheadForm(in *letterheadIn, crest bool, editions []form.Choice) *form.Form {
	fm := form.New("letterhead", atLetterhead)
	fm.Area("words", "Words of your own", &in.Words).Wide().WithHint("a sentence or two below what the print is, up to 400 characters; empty: none")
	file := fm.Ask("crest", "Crest").As("file").Half().WithHint("in the place of the studio's name: JPEG, PNG, WebP or TIFF; none chosen: as it is")
	file.Accept = "image/jpeg,image/png,image/webp,image/tiff"
	if crest {
		fm.Tick("away", "Take the crest away; the studio's name stands there again", &in.away).Half()
	}
	fm.Tick("truth", "Certify in set words that all of it is true and correct", &in.Truth).Wide().WithHint("as California asks: “" + certify.Truth + "”")
	if len(editions) > 0 {
		fm.ID("edition", "To look at: a certificate of", &in.edition, editions...).Half()
		form.Select(fm, "format", "As", &in.format, form.Pick(string(paper.Sheet), "a sheet"), form.Pick(string(paper.Card), "a card")).Half()
	}
	return fm
}

// certifiable are the editions of which a certificate can be looked at: those with numbers.
func (f *Certify) certifiable(r *http.Request) ([]form.Choice, error) {
	all, err := certify.Certifiable(r.Context(), f.Seen(r))
	var out []form.Choice
	for _, e := range all {
		out = append(out, form.PickID(e.ID, e.Name(page.Units(r))))
	}
	return out, err
}

// Letterhead is the page.
func (f *Certify) Letterhead(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	editions, err := f.certifiable(r)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "editions", "Words and crest of certificates")
	if err != nil {
		return err
	}
	p := &LetterheadPage{Frame: fr, Looks: len(editions) > 0}
	p.Tell(fail)
	var in letterheadIn
	if l := page.Settings(r).Letterhead; l != nil {
		in.Letterhead = *l
	}
	p.Crest = len(in.Crest) > 0
	p.Form = p.Put(letterheadForm(&in, p.Crest, editions), fail)
	return f.Show(w, r, page.StatusOf(fail), "letterhead", p)
}

// taken reads the form, and returns what it changes.
func (f *Certify) taken(r *http.Request, do func(in *letterheadIn, change func(*certificate.Letterhead) error) error) error {
	editions, err := f.certifiable(r)
	if err != nil {
		return err
	}
	var in letterheadIn
	return letterheadForm(&in, true, editions).TakeAnd(r.PostForm, func() error {
		var crest []byte
		if _, head, err := r.FormFile("crest"); err == nil && head.Filename != "" {
			file, err := page.BytesOf(r, "crest", header.MaxFile)
			if err != nil {
				return err
			}
			if crest, err = certify.Crest(r.Context(), file); err != nil {
				return err
			}
		}
		return do(&in, func(l *certificate.Letterhead) error {
			l.Words, l.Truth = in.Words, in.Truth
			switch {
			case crest != nil:
				l.Crest = crest
			case in.away:
				l.Crest = nil
			}
			return nil
		})
	})
}

// ChangeLetterhead keeps what of her own stands on certificates.
func (f *Certify) ChangeLetterhead(w http.ResponseWriter, r *http.Request) error {
	err := f.taken(r, func(_ *letterheadIn, change func(*certificate.Letterhead) error) error {
		_, err := certify.ChangeLetterhead(r.Context(), f.Studio, change)
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "letterhead", err, f.Letterhead)
	}
	return f.DoneSaying(w, r, atLetterhead, "letterhead")
}

// Beforehand is a certificate as it would look. It writes nothing.
func (f *Certify) Beforehand(w http.ResponseWriter, r *http.Request) error {
	var body []byte
	err := f.taken(r, func(in *letterheadIn, change func(*certificate.Letterhead) error) error {
		c, err := certify.Foresee(r.Context(), f.Studio, in.edition, change)
		if err == nil {
			body, err = paper.Draw(in.format, []paper.Certificate{c})
		}
		return err
	})
	if err != nil {
		return f.ShowAgain(w, r, "letterhead", err, f.Letterhead)
	}
	return send(w, r, "application/pdf", "beforehand.pdf", "inline", body)
}
