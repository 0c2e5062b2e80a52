package papers

import (
	"errors"
	"strings"

	"solander/fault"
	"solander/letters"
)

// said is a text of a paper: the field it was typed into, what it is called, and how its letters can be mended.
type said struct {
	field, name, mend string
	texts             []string
}

const (
	mendAddress = "write the address in Latin letters; operators ask for them on parcels abroad"
	mendOrder   = "write it in Latin letters, under the order's days, amounts and notes"
	mendEdition = "write it in Latin letters, under Editions"
	mendStudio  = "write it in Latin letters, under Studio"
)

// Readable refuses a paper that others read, a label or a slip, when the type cannot write all of it: a gap in it
// is of no use to an operator or a buyer. Papers of the house are printed with gaps to write into.
func Readable(paper Paper) error {
	switch x := paper.(type) {
	case AddressLabel:
		return lacking(x.Mark, "label", []said{
			{"ship_to", "address", mendAddress, x.To},
			{"address", "return address", mendStudio, x.From},
			{"mark", "mark", mendOrder, []string{x.Mark}},
			{"service", "service", "name the service in Latin letters", []string{x.Service}},
		})
	case PackingSlip:
		lines := x.Lines
		for _, o := range x.With {
			lines = append(lines[:len(lines):len(lines)], o.Lines...)
		}
		var prints []string
		for _, l := range lines {
			prints = append(prints, l.Title, l.Facts)
		}
		return lacking(x.Mark, "slip", []said{
			{"ship_to", "address", mendAddress, x.To},
			{"gift_message", "gift message", mendOrder, []string{x.Message}},
			{"ref", "outlet's reference", mendOrder, []string{x.Ref}},
			{"title", "title or paper of a print", mendEdition, prints},
			{"outlet", "name of the outlet", mendStudio, []string{x.Outlet}},
			{"address", "return address", mendStudio, x.From},
			{"studio", "name of the studio", mendStudio, []string{x.Studio}},
		})
	}
	return readableBill(paper)
}

// readableBill is Readable of papers of money.
func readableBill(paper Paper) error {
	switch x := paper.(type) {
	case Bill:
		var lines []string
		for _, l := range x.Lines {
			lines = append(lines, l.Text, l.Facts)
		}
		return lacking(x.Label, "paper", []said{
			{"ship_to", "name or address", mendAddress, x.To},
			{"about", "reference or reason", mendOrder, x.About},
			{"title", "title or paper of a print", mendEdition, lines},
			{"words", "words below it", "write them in Latin letters, under Papers of money", []string{x.Words}},
			{"address", "return address", mendStudio, x.From},
		})
	case Statement:
		return lacking("", "statement", []said{{"ship_to", "name or address", mendAddress, x.To}, {"address", "return address", mendStudio, x.From}})
	}
	return nil
}

func lacking(mark, paper string, all []said) error {
	var out []error
	for _, s := range all {
		if bad := letters.Named(strings.Join(s.texts, "\n")); bad != "" {
			out = append(out, fault.New(fault.Refused, "the %s's type has no letters for %s, which the %s has", paper, bad, s.name).At("%s", mark).In(s.field).ToMend("%s", s.mend))
		}
	}
	return errors.Join(out...)
}
