package proposal_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/edition"
	"solander/intake"
	"solander/intake/proposal"
	"solander/internal/intaketest"
)

// drawnPrint is a print as it is written into a cell, with the lines that it must become.
type drawnPrint struct {
	text  string
	lines []string
}

// drawnTitles are invented; some have marks that part prints, numbers, or the words of a paper.
var drawnTitles = []string{"Heron", "Low tide", "Salt and Smoke", "Ash, in winter", "Kiln door ajar", "Blue & gold", "Study no. 5", "Girl with rice paper", "Winter 2024/25"}

func drawPrint(t *rapid.T, title string) drawnPrint {
	size := rapid.SampledFrom([]string{"", "12x16 in", "30 x 40 cm", "A3"}).Draw(t, "size")
	first := rapid.IntRange(1, 40).Draw(t, "number")
	numbers := rapid.IntRange(0, 3).Draw(t, "numbers")
	p := drawnPrint{text: title}
	if size != "" {
		p.text += rapid.SampledFrom([]string{" ", ", "}).Draw(t, "before the size") + size
	}
	line := title + "/" + strings.ReplaceAll(size, " ", "")
	switch {
	case numbers == 0 && rapid.Bool().Draw(t, "twice"):
		p.text = "2x " + p.text
		p.lines = []string{line + "/", line + "/"}
	case numbers == 0:
		p.lines = []string{line + "/"}
	case numbers > 1 && rapid.Bool().Draw(t, "range"):
		p.text += fmt.Sprintf(" %d-%d/60", first, first+numbers-1)
	default:
		var all []string
		for i := range numbers {
			all = append(all, fmt.Sprintf("%d/60", first+i))
		}
		p.text += " " + strings.Join(all, ", ")
	}
	for i := range numbers {
		p.lines = append(p.lines, fmt.Sprintf("%s/%d", line, first+i))
	}
	return p
}

// Prints that are written into one cell come out of it as the same prints, or are asked about; no edition is ever made that is none of them.
func TestPrintsOfOneCellAreReadBackOrAsked(whole *testing.T) {
	asked, read := 0, 0
	rapid.Check(whole, func(t *rapid.T) {
		var cell string
		var want []string
		titles := rapid.Permutation(drawnTitles).Draw(t, "titles")
		for i := range rapid.IntRange(1, 3).Draw(t, "prints") {
			p := drawPrint(t, titles[i])
			if i > 0 {
				cell += rapid.SampledFrom([]string{", ", " + ", "+", " & ", " and ", "; ", ";", "\n", " und ", " et ", " y ", " / "}).Draw(t, "mark")
			}
			cell += p.text
			want = append(want, p.lines...)
		}
		in := intake.Input{Mapping: printsMapping(), Book: drawBook(t)}
		if rapid.Bool().Draw(t, "in the column of numbers") {
			in.Table = intaketest.TableOf(whole, printRows("||||"+strings.ReplaceAll(cell, "\n", "¶")))
		} else {
			in.Table = intaketest.TableOf(whole, printRows(strings.ReplaceAll(cell, "\n", "¶")))
		}
		r, err := proposal.Read(in)
		if err != nil {
			t.Fatal(err)
		}
		got, wait := linesOf(r)
		slices.Sort(got)
		slices.Sort(want)
		switch {
		case wait && slices.ContainsFunc(r.Editions, func(e intake.NewEdition) bool { return e.Lines > 0 }):
			t.Fatalf("%q is asked about, and makes editions %+v", cell, r.Editions)
		case wait:
			asked++
			checkChoices(t, in, r)
		case !slices.Equal(got, want):
			t.Fatalf("%q was read as %q, want %q", cell, got, want)
		default:
			read++
		}
	})
	if asked == 0 || read == 0 {
		whole.Fatalf("%d were asked about, %d were read: nothing was tested", asked, read)
	}
}

// drawBook knows some of the works.
func drawBook(t *rapid.T) *book {
	b := &book{}
	for i, title := range drawnTitles {
		if rapid.Bool().Draw(t, "knows "+title) {
			b.editions = append(b.editions, edition.Edition{ID: int64(i + 1), Work: int64(i + 1), Title: title, Grade: "of another book", Limit: 7})
		}
	}
	return b
}

// linesOf tells the lines of a report in short; wait says that a row waits because it is not clear which prints it names.
func linesOf(r intake.Report) (lines []string, wait bool) {
	for _, p := range r.Problems {
		wait = wait || p.Bars && (strings.HasPrefix(p.Rule, "prints.") || p.Rule == "number" || p.Rule == "title.missing")
	}
	for _, p := range r.Proposals {
		for _, l := range p.Lines {
			if l.Edition < 0 {
				lines = append(lines, "?")
				continue
			}
			e := r.Editions[l.Edition]
			n := ""
			if !l.Number.IsZero() {
				n = fmt.Sprint(l.Number.N)
			}
			size := strings.ReplaceAll(e.Size, " ", "")
			if e.Width == 0 {
				size = "" // of a work of the drawn book
			}
			lines = append(lines, e.Title+"/"+size+"/"+n)
		}
	}
	return lines, wait
}

// checkChoices answers each open question about prints by each of its choices: then the row is settled.
func checkChoices(t *rapid.T, in intake.Input, r intake.Report) {
	for _, q := range r.Questions {
		if !strings.HasPrefix(q.ID, "prints:") {
			continue
		}
		for _, c := range []intake.Choice{q.Choices[0], q.Choices[len(q.Choices)/2], q.Choices[len(q.Choices)-1]} {
			in.Answers = intake.Answers{q.ID: c.Value}
			again, err := proposal.Read(in)
			if err != nil {
				t.Fatal(err)
			}
			if slices.ContainsFunc(again.Problems, func(p intake.Problem) bool { return p.Rule == "prints.which" && p.Ask == q.ID }) {
				t.Fatalf("the answer %q settles nothing of %q", c.Value, q.ID)
			}
		}
	}
}
