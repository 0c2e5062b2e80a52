// Package speedtest holds what benchmarks of several rooms share: the time of the processor, and a large invented file.
package speedtest

import (
	"fmt"
	"strings"

	"solander/intake"
)

// Headings are those of Book.
var Headings = strings.Split("Date,Who,Address,Print,Size,No,Price,Paid,State,Order,Note,Weather,Frame,Met at,Mood", ",")

// Book is an invented book of sales as comma-separated text, an order a row: of each three rows one left the house long ago, one
// is paid and still to be sent, one is unpaid. Each edition has 200 sales.
func Book(rows int) []byte {
	var w strings.Builder
	w.WriteString(strings.Join(Headings, ",") + "\n")
	for i := range rows {
		state, paid := []string{"posted", "waits", "waits"}[i%3], []string{"80", "80", ""}[i%3]
		fmt.Fprintf(&w, "%d/%d/202%d,Edda Quill %d,\"%d Mill Lane, Roanoke, VA 24%03d\",Heron %d,12 x 18 in,%d/250,80,%s,%s,R-%d,%s,fair,oak,harbour,%d\n",
			i%12+1, i%28+1, 3+i%3, i/4, i/4%900, i/4%1000, i/200, i%200+1, paid, state, i, []string{"a gift", "", "met at the fair", ""}[i%4], i%7)
	}
	return []byte(w.String())
}

// Mapping reads Book for the outlet "Own shop".
func Mapping() intake.Mapping {
	m := intake.Mapping{
		Format: intake.MappingFormat, Name: "her book", Currency: "USD", Outlet: "Own shop", Country: "US", Days: intake.MonthDay, Decimal: ".", Unit: "in",
		Sheets: []intake.SheetMap{{Header: 1}}, Words: []intake.WordMap{{Text: "posted", Means: intake.Sent}, {Text: "waits", Means: intake.Waiting}},
	}
	fields := []intake.Field{
		intake.SoldOn, intake.Buyer, intake.Address, intake.Title, intake.Size, intake.Numbers, intake.Price, intake.Paid, intake.State, intake.Ref, intake.Note,
		intake.Unused, intake.Unused, intake.Unused, intake.Unused,
	}
	for i, heading := range Headings {
		m.Sheets[0].Columns = append(m.Sheets[0].Columns, intake.Column{Column: i, Heading: heading, Field: fields[i]})
	}
	return m
}
