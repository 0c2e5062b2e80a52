package privacy

import (
	"archive/zip"
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"strconv"

	"solander/export"
	"solander/fault"
	"solander/order"
	"solander/studio"
	"solander/upkeep"
)

// Format is the value of "format" in the data of an export.
const Format = "solander-buyer/1"

// Data is everything that the studio keeps of one buyer.
type Data struct {
	Format string             `json:"format"`
	Made   string             `json:"made"` // the instant, RFC 3339
	Studio string             `json:"studio"`
	Buyer  order.Buyer        `json:"buyer"`
	Tables []upkeep.KeptTable `json:"tables"`
}

// KeptOf reads everything that the studio keeps of one buyer, as it stands: every row that is hers, and every row in which she is named.
// Secrets are left out. Faults: Missing; Refused when she was taken as another.
func KeptOf(ctx context.Context, s *studio.Studio, buyer int64) (Data, error) {
	return studio.Got(ctx, s, read, func(t *Privacy) (Data, error) {
		d := Data{Format: Format, Made: t.Now.Format("2006-01-02T15:04:05Z"), Studio: t.Set.Studio}
		var err error
		if d.Buyer, err = t.Buyer(buyer); err != nil {
			return d, err
		}
		if d.Tables, err = t.Kept(buyer); err != nil {
			return d, err
		}
		rows, err := t.reading(s).waiting(buyer)
		if len(rows) > 0 {
			d.Tables = append(d.Tables, waitingTable(rows))
		}
		return d, err
	})
}

// FileName is what the file of a buyer's data is called.
func (d Data) FileName() string { return fmt.Sprintf("buyer-%d.zip", d.Buyer.ID) }

// Zip writes the data as files: a page to read, the whole as JSON, and each table as comma-separated text.
func (d Data) Zip(w io.Writer) error {
	z := zip.NewWriter(w)
	mk := func(name string, write func(io.Writer) error) error {
		f, err := z.Create(name)
		if err != nil {
			return err
		}
		return write(f)
	}
	if err := mk("read-me.html", d.page); err != nil {
		return err
	}
	if err := mk("data.json", d.json); err != nil {
		return err
	}
	for _, t := range d.Tables {
		if err := mk("csv/"+t.Name+".csv", func(w io.Writer) error { return csvOf(t, w) }); err != nil {
			return err
		}
	}
	return z.Close()
}

func (d Data) json(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(d)
}

func csvOf(t upkeep.KeptTable, w io.Writer) error {
	out := export.NewWriter(w, ',')
	head := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = c.Name
	}
	if err := out.Write(head...); err != nil {
		return err
	}
	for _, row := range t.Rows {
		cells := make([]string, len(row))
		for i, v := range row {
			cells[i] = text(v)
		}
		if err := out.Write(cells...); err != nil {
			return err
		}
	}
	return out.Flush()
}

// text is a value as it is read.
func text(v any) string {
	switch x := v.(type) {
	case nil:
		return ""
	case int64:
		return strconv.FormatInt(x, 10)
	case string:
		return x
	}
	return fmt.Sprint(v)
}

//go:embed export.html
var pageText string

var pageForm = template.Must(template.New("export").Funcs(template.FuncMap{"text": text}).Parse(pageText))

func (d Data) page(w io.Writer) error {
	if err := pageForm.Execute(w, d); err != nil {
		return fault.New(fault.Internal, "the page of a buyer's data cannot be written").Because(err)
	}
	return nil
}
