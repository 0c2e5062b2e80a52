package studio_test

import (
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"solander/internal/bed"
	"solander/internal/schematest"
	"solander/internal/strict"
	"solander/packing"
	"solander/planning"
	"solander/quote"
	"solander/studio"
	"solander/suppose"
	"solander/tariff"
)

var update = flag.Bool("update", false, "write the schemas anew")

const formats = "../docs/formats/"

// asked lists the fields without which the questions of this room are none; boards.md and what-if.md say which.
var asked = map[reflect.Type][]string{
	reflect.TypeFor[planning.BoardsIn]():    {"format", "sheets", "boards"},
	reflect.TypeFor[planning.BigSheet]():    {"id", "width", "height"},
	reflect.TypeFor[planning.BoardWanted](): {"id", "width", "height", "count"},
	reflect.TypeFor[suppose.WhatIfIn]():     {"format"},
}

func schemaOf[T any](t *testing.T, name, title, format string, written bool) *jsonschema.Schema {
	t.Helper()
	return schematest.Schema{
		File: formats + name + ".schema.json", Title: title, Format: format, Of: reflect.TypeFor[T](), Written: written, Required: asked,
	}.Check(t, *update)
}

func obeys(t *testing.T, schema *jsonschema.Schema, doc any) {
	t.Helper()
	if err := schema.Validate(doc); err != nil {
		t.Error(err)
	}
}

// example returns the first JSON of a page of docs/formats.
func example(t *testing.T, page string) string {
	t.Helper()
	text, err := os.ReadFile(formats + page)
	if err != nil {
		t.Fatal(err)
	}
	_, after, ok := strings.Cut(string(text), "```json\n")
	json, _, closed := strings.Cut(after, "```")
	if !ok || !closed {
		t.Fatalf("%s has no example", page)
	}
	return json
}

func readBoards(text string) (planning.BoardsIn, error) {
	var in planning.BoardsIn
	if err := strict.Decode([]byte(text), &in); err != nil {
		return in, err
	}
	return in, in.Validate()
}

// The schemas of boards say what the types say; the page's example, read by the program, and what is
// answered to it obey them.
func TestBoardsSchemas(t *testing.T) {
	question := schemaOf[planning.BoardsIn](t, "boards", "Boards wanted from big sheets. Its meaning and further rules: boards.md", planning.BoardsFormat, false)
	answer := schemaOf[planning.CutList](t, "cut-list", "A cutting list. Its meaning: boards.md", planning.CutListFormat, true)
	text := example(t, "boards.md")
	obeys(t, question, schematest.Parse(t, text))
	in, err := readBoards(text)
	if err != nil {
		t.Fatal(err)
	}
	obeys(t, question, schematest.Value(t, in))
	list, err := planning.CutBoards(t.Context(), studio.New(nil, studio.Options{}), in)
	if err != nil {
		t.Fatal(err)
	}
	obeys(t, answer, schematest.Value(t, list))
	for old, wrong := range map[string]string{
		`"count": 8`:     `"count": "8"`,
		`"id": "mount",`: ``,
		`"kerf"`:         `"blade"`,
		`"cost": 650`:    `"cost": -650`,
	} {
		bad := strings.Replace(text, old, wrong, 1)
		if question.Validate(schematest.Parse(t, bad)) == nil {
			t.Errorf("the schema passes %s", wrong)
		}
		if _, err := readBoards(bad); err == nil {
			t.Errorf("the reader passes %s", wrong)
		}
	}
}

// The same for what-if, with a studio that has sent something.
func TestWhatIfSchemas(t *testing.T) {
	question := schemaOf[suppose.WhatIfIn](t, "what-if", "A question about another way. Its meaning and further rules: what-if.md", suppose.WhatIfFormat, false)
	answer := schemaOf[suppose.WhatIf](t, "what-if-answer", "What another way would cost. Its meaning: what-if.md", suppose.WhatIfAnswerFormat, true)
	obeys(t, question, schematest.Parse(t, example(t, "what-if.md")))
	b := bed.New(t)
	b.SentOff(b.Heron.ID)
	for _, in := range []suppose.WhatIfIn{
		bed.Past(func(in *suppose.WhatIfIn) { in.Cards = []tariff.Card{bed.Dearer()} }),
		bed.Past(func(in *suppose.WhatIfIn) {
			in.Item = &packing.Item{ID: "bag", Name: "Large bag", Kind: packing.Envelope, Width: 13 * bed.Inch, Height: 17 * bed.Inch, Mass: 1, Cost: 10}
		}),
	} {
		obeys(t, question, schematest.Value(t, in))
		out, err := suppose.AskWhatIf(b.Ctx, b.Studio, in, nil)
		b.Must(err)
		if len(out.Rows) == 0 {
			t.Error("nothing was answered")
		}
		obeys(t, answer, schematest.Value(t, out))
	}
}

// The schema of a quote says what the type says, and what is answered obeys it, whether something sends the prints or nothing does.
func TestQuoteSchema(t *testing.T) {
	answer := schemaOf[quote.Answer](t, "quote", "What sending prints would cost. Its meaning: choices.md", quote.Format, true)
	b := bed.New(t)
	for _, in := range []quote.In{{Size: "11 x 14", Prints: 2, Postcode: "97201"}, {Edition: b.Heron.ID, Postcode: "24060"}, {Size: "11 x 14", Country: "CA"}} {
		out, err := quote.Ask(b.Ctx, b.Studio, in)
		b.Must(err)
		obeys(t, answer, schematest.Value(t, out))
	}
}
