package recipes

import (
	"fmt"
	"net/http"

	"solander/fault"
	"solander/house"
	"solander/internal/strict"
	"solander/packing"
	"solander/studio"
	"solander/web/form"
	"solander/web/page"
)

// recipeFile is wraps and house rules as a file.
type recipeFile struct {
	Wraps []packing.Wrap `json:"wraps"`
	Rules []packing.Rule `json:"rules"`
}

// fileForm takes a file in the place of all wraps and rules that stand.
func fileForm(set *studio.Settings) *form.Form {
	fm := form.New("file", "/studio/wraps")
	fm.Ask("file", "A file of wraps and house rules").As("file").WithHint("it takes the place of all that stand here, and is checked whole before").Half()
	fm.Ask("wraps", "").As("hidden").Is(pretty(set.Wraps, set.Units))
	fm.Ask("rules", "").As("hidden").Is(pretty(set.Rules, set.Units))
	fm.Sealed()
	fm.Find("wraps").Value, fm.Find("rules").Value = "", "" // only for the seal
	return fm
}

// Download gives wraps and house rules as a file, sizes in the studio's units.
func (f *Recipes) Download(w http.ResponseWriter, r *http.Request) error {
	set := page.Settings(r)
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", `attachment; filename="wraps-and-rules.json"`)
	_, err := fmt.Fprintf(w, "{\"wraps\": %s,\n\"rules\": %s}\n", pretty(set.Wraps, set.Units), pretty(set.Rules, set.Units))
	return err
}

// Upload takes a file in the place of all wraps and house rules. Faults: Invalid, with where in the file; Taken when another window
// changed something since.
func (f *Recipes) Upload(w http.ResponseWriter, r *http.Request) error {
	in, err := readFile[recipeFile](r, "file")
	if err == nil {
		err = house.ChangeSettings(r.Context(), f.Studio, func(set *studio.Settings) error {
			if stood := r.PostForm.Get("stood"); stood != "" && fileForm(set).Find("stood").Value != stood {
				return fault.New(fault.Taken, "wraps or rules were changed in another window since the page was opened").ToMend("look at them as they stand now, and send the file again")
			}
			set.Wraps, set.Rules = in.Wraps, in.Rules
			return nil
		})
	}
	if err != nil {
		return f.ShowAgain(w, r, "file", inFile(err), f.List)
	}
	return f.DoneSaying(w, r, "/studio/wraps", "wraps")
}

// inFile puts every fault beside the field of the file, with its place there.
func inFile(err error) error {
	var l fault.List
	for _, e := range fault.All(err) {
		if e.Where == "" && e.Field != "file" {
			e = e.At("%s", e.Field)
		}
		l.Add(e.In("file"))
	}
	return l.Err()
}

// mostFile bounds a file that holds data of the studio.
const mostFile = 4 << 20

// readFile reads a file of JSON, strictly. Faults: Invalid, TooLarge.
func readFile[T any](r *http.Request, name string) (v T, err error) {
	text, err := page.FileOf(r, name, mostFile)
	if err != nil {
		return v, err
	}
	return v, form.FromJSON(name, string(strict.AsSaved(text)), &v)
}
