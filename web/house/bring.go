package house

import (
	"io"
	"net/http"

	"solander/copies"
	"solander/edition"
	"solander/house"
	"solander/measure"
	"solander/web/form"
	"solander/web/page"
)

// mostKey bounds the file of a key, in bytes.
const mostKey = 64 << 10

// bringForm asks for a studio from another computer: a copy, or the file in which it was left.
func bringForm(words *string) *form.Form {
	fm := form.New("bring", "/set-up/bring")
	fm.Ask("file", "The file from the other computer, or a copy").As("file").Must().Wide()
	fm.Text("words", "Its passphrase", words).Half().WithAuto("off").WithHint("as the other computer showed it; of a sealed copy, leave it empty and give the key")
	fm.Ask("key", "or the file of the key").As("file").Half()
	return fm
}

// Bring opens a studio from another computer in this empty place.
func (f *House) Bring(w http.ResponseWriter, r *http.Request) error {
	var words string
	err := bringForm(&words).Take(r.PostForm)
	if err == nil {
		err = f.bring(r, words)
	}
	if err != nil {
		return f.ShowAgain(w, r, "bring", err, func(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
			in := house.Defaults(measure.Imperial)
			return f.showSetUp(w, r, setUpForm(&in), stepStudio, edition.Edition{}, fail)
		})
	}
	return f.DoneSaying(w, r, "/", "moved-in")
}

func (f *House) bring(r *http.Request, words string) error {
	file, err := page.Sent(r, "file")
	if err != nil {
		return err
	}
	defer file.Close()
	if _, _, none := r.FormFile("key"); none == nil {
		key, err := page.FileOf(r, "key", mostKey)
		if err != nil {
			return err
		}
		words = string(key)
	}
	return copies.Bring(r.Context(), f.Studio, io.Reader(file), words)
}
