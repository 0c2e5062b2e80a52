package cli_test

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"solander/measure"
	"solander/money"
)

// untold are the members of a trial's JSON that its text says in another way, each with how.
var untold = map[string]string{
	"buyer": "a place in the list of buyers: its name is told", "outlet": "a place in the list of outlets: its name is told", "edition": "a place, or an edition: told by its parts",
	"problems": "places in the list of problems: their rules and rows are told", "place": "a place in the list of editions",
	"column": "a fact's column, told by its letters", "id": "of an order: the hash of its first row, which is told", "key": "of an edition: part of the ids of the answers, told",
	"bars": "a star", "taken": "a word", "refused": "a word", "confirmed": "a sentence", "doubt": "a question mark", "no_year": "words", "closed": "never of a new edition",
	"kind": "of a fact, told; of a number, told with it", "width_nm": "told in millimetres", "height_nm": "told in millimetres",
}

// tells holds that a text tells everything that a trial's JSON does: tells trial.json trial.txt. It walks the JSON, and looks
// for each value in the text, whose lines are joined.
func tells(ts *testscript.TestScript, neg bool, args []string) {
	raw, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	var v any
	ts.Check(json.Unmarshal(raw, &v))
	w := &walk{text: oneSpace(ts.ReadFile(args[1]))}
	w.value("", "", v)
	if w.told < 100 {
		ts.Fatalf("only %d values were looked for: nothing was tested", w.told)
	}
	if neg == (len(w.missing) > 0) {
		return
	}
	ts.Fatalf("%d of %d values: the text does not tell:\n%s", len(w.missing), w.told+len(w.missing), strings.Join(w.missing[:min(len(w.missing), 40)], "\n"))
}

func oneSpace(s string) string { return strings.Join(strings.Fields(s), " ") }

type walk struct {
	text    string
	told    int
	missing []string
}

func (w *walk) want(path, text string) {
	if text = oneSpace(text); text == "" || strings.Contains(w.text, text) || strings.Contains(w.text, oneSpace(fmt.Sprintf("%q", text))) {
		w.told++
		return
	}
	w.missing = append(w.missing, path+": "+text)
}

func (w *walk) value(path, name string, v any) {
	if _, in := untold[name]; in {
		switch v.(type) {
		case map[string]any, []any: // told by its parts
			if name == "problems" && strings.HasPrefix(path, ".proposals") {
				return
			}
		default:
			if name != "kind" && !strings.HasSuffix(name, "_nm") {
				return
			}
		}
	}
	switch x := v.(type) {
	case map[string]any:
		if minor, ok := x["minor"].(float64); ok && len(x) == 2 {
			if currency := fmt.Sprint(x["currency"]); currency != "" {
				w.want(path, money.Of(int64(minor), currency).String())
			}
			return
		}
		names := make([]string, 0, len(x))
		for n := range x {
			names = append(names, n)
		}
		slices.Sort(names)
		for _, n := range names {
			w.value(path+"."+n, n, x[n])
		}
	case []any:
		for i, one := range x {
			w.value(fmt.Sprintf("%s.%d", path, i), name, one)
		}
	case string:
		w.want(path, x)
	case float64:
		w.number(path, name, x)
	}
}

func (w *walk) number(path, name string, x float64) {
	switch {
	case name == "grammage_mg_m2" && x != 0:
		w.want(path, measure.Grammage(x).String())
	case strings.HasSuffix(name, "_nm") && x != 0:
		w.want(path, measure.Length(x).In(measure.Metric))
	case name == "row" && strings.Contains(path, ".lines."), name == "row" && strings.Contains(path, ".facts."): // told as the row of the file
	case x != 0:
		w.want(path, fmt.Sprint(int64(x)))
	}
}
