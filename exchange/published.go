package exchange

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/intake"
	"solander/intake/cell"
	"solander/money"
)

// Source of the two forms: the euro foreign exchange reference rates of the European Central Bank, as a table (a column of days, one column a
// currency) and as XML (Cube elements with time, currency and rate), from memory. Both say how much of a currency one euro is.

// Published is how the rates of those files are told.
const Published = "euro reference rates, European Central Bank"

// mostRates is how many rates are read from a file.
const mostRates = 500_000

// IsXML reports whether a file begins as the XML form does.
func IsXML(data []byte) bool {
	return bytes.HasPrefix(bytes.TrimSpace(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))), []byte("<"))
}

// ReadXML reads the XML form. Faults: Invalid, TooLarge.
func ReadXML(data []byte) ([]Rate, error) {
	d := xml.NewDecoder(bytes.NewReader(data))
	var out []Rate
	var day calendar.Day
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fault.Invalidf("file", "it cannot be read as XML near byte %d", d.InputOffset()).ToMend("take it from the central bank again").Because(err)
		}
		e, ok := tok.(xml.StartElement)
		if !ok || e.Name.Local != "Cube" {
			continue
		}
		var code, rate string
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "time":
				if day, err = calendar.ParseDay(a.Value); err != nil {
					return nil, fault.Invalidf("file", "%q is no day", fault.Clip(a.Value)).ToMend("take it from the central bank again")
				}
			case "currency":
				code = a.Value
			case "rate":
				rate = a.Value
			}
		}
		if code == "" {
			continue
		}
		if out, err = add(out, code, day, rate); err != nil {
			return nil, err
		}
	}
	return some(out)
}

// add adds a rate that is published; a currency that is none any more is left out.
func add(out []Rate, code string, day calendar.Day, rate string) ([]Rate, error) {
	if !money.Known(code) || code == "EUR" {
		return out, nil
	}
	if len(out) >= mostRates {
		return out, fault.New(fault.TooLarge, "it has more than %d rates", mostRates).In("file").ToMend("take a file of a shorter time")
	}
	r := Rate{Base: "EUR", Quote: code, Day: day, Rate: strings.TrimSpace(rate), Source: Published}
	if err := r.Validate(); err != nil {
		return out, fault.Invalidf("file", "%.12s of %s: %s", code, day, fault.All(err)[0].What).ToMend("take it from the central bank again")
	}
	return append(out, r), nil
}

func some(out []Rate) ([]Rate, error) {
	if len(out) == 0 {
		return nil, fault.Invalidf("file", "it holds no rates").ToMend("choose a file of euro reference rates, as a table or as XML")
	}
	return out, nil
}

// ReadTable reads the table. Faults: Invalid, TooLarge.
func ReadTable(t intake.Table) ([]Rate, error) {
	if len(t.Sheets) == 0 || len(t.Sheets[0].Rows) == 0 || !strings.EqualFold(strings.TrimSpace(t.Sheets[0].Rows[0].At(0).Text), "date") {
		return nil, fault.Invalidf("file", "its first heading is not Date").ToMend("choose a file of euro reference rates, as a table or as XML")
	}
	rows := t.Sheets[0].Rows
	var out []Rate
	for _, r := range rows[1:] {
		d, ok, _ := cell.DayOf(r.At(0), intake.DayMonth)
		if !ok || d.Year == 0 {
			return nil, fault.Invalidf("file", "%q is no day", fault.Clip(r.At(0).Text)).At("line %d", r.N).ToMend("take it from the central bank again")
		}
		for i, h := range rows[0].Cells {
			rate := strings.TrimSpace(r.At(i).Text)
			if code := strings.TrimSpace(h.Text); i > 0 && rate != "" && rate != "N/A" && code != "" {
				var err error
				if out, err = add(out, code, d.In(d.Year), rate); err != nil {
					return nil, fault.All(err)[0].At("line %d", r.N)
				}
			}
		}
	}
	return some(out)
}
