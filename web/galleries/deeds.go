package galleries

import (
	"net/http"
	"strconv"
	"strings"

	"solander/consign"
	"solander/consigning"
	"solander/edition"
	"solander/fault"
	"solander/register"
	"solander/web/page"
)

// Change changes a gallery.
func (f *Galleries) Change(w http.ResponseWriter, r *http.Request, id int64) error {
	v, err := consigning.Gallery(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	if err = galleryForm(&v.House).Take(r.PostForm); err == nil {
		_, err = consigning.Save(r.Context(), f.Studio, v.House)
	}
	if err != nil {
		return f.ShowAgain(w, r, "gallery", err, f.Gallery)
	}
	return f.DoneSaying(w, r, address(id), "gallery")
}

// Send notes that a print goes there.
func (f *Galleries) Send(w http.ResponseWriter, r *http.Request, id int64) error {
	var in sendIn
	eds, err := f.sellable(r)
	if err != nil {
		return err
	}
	if err = sendForm(&in, id, signed(eds), page.Settings(r)).Take(r.PostForm); err == nil {
		err = f.send(r, id, in)
	}
	if err != nil {
		return f.ShowAgain(w, r, "send", err, f.Gallery)
	}
	return f.DoneSaying(w, r, address(id), "gallery-sent")
}

func (f *Galleries) send(r *http.Request, id int64, in sendIn) error {
	p := consigning.SendPrint{Edition: in.Edition, Price: in.Price}
	if text := strings.TrimSpace(in.Number); text != "" {
		e, err := register.DeclaredEdition(r.Context(), f.Studio, in.Edition)
		if err != nil {
			return err
		}
		if p.Number, err = edition.ParseNumber(text, e); err != nil {
			return fault.All(err)[0].In("number")
		}
	}
	_, err := consigning.Send(r.Context(), f.Studio, consigning.SendIn{Gallery: id, Day: in.Day, Due: in.Due, Prints: []consigning.SendPrint{p}})
	return err
}

// End notes what became of a print.
func (f *Galleries) End(w http.ResponseWriter, r *http.Request, id int64) error {
	deed := r.PathValue("deed")
	if deed == "take-back" {
		p, err := consigning.TakeBack(r.Context(), f.Studio, id)
		if err != nil {
			return err
		}
		return f.DoneSaying(w, r, address(p.Gallery), "gallery-undone")
	}
	p, err := consigning.Print(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	in := consigning.EndIn{Print: id, State: consign.State(deed)}
	if err = endForm(p, deed, &in, in.Day).Take(r.PostForm); err == nil {
		_, err = consigning.End(r.Context(), f.Studio, in)
	}
	if err != nil {
		r.SetPathValue("gallery", strconv.FormatInt(p.Gallery, 10))
		return f.ShowAgain(w, r, deed+"-"+strconv.FormatInt(id, 10), err, f.Gallery)
	}
	return f.DoneSaying(w, r, address(p.Gallery), "gallery-"+deed)
}

// NoteMoney notes money of a gallery.
func (f *Galleries) NoteMoney(w http.ResponseWriter, r *http.Request, id int64) error {
	in := consigning.MoneyIn{Gallery: id, Kind: consign.Paid}
	err := moneyForm(&in, page.Settings(r)).Take(r.PostForm)
	if err == nil {
		_, err = consigning.NoteMoney(r.Context(), f.Studio, in)
	}
	if err != nil {
		return f.ShowAgain(w, r, "money", err, f.Gallery)
	}
	return f.DoneSaying(w, r, address(id), "gallery-money")
}

// ReverseMoney takes money back that was noted wrongly.
func (f *Galleries) ReverseMoney(w http.ResponseWriter, r *http.Request, id int64) error {
	m, err := consigning.ReverseMoney(r.Context(), f.Studio, id)
	if err != nil {
		return err
	}
	return f.DoneSaying(w, r, address(m.Gallery), "gallery-undone")
}
