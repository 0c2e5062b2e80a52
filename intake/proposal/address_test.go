package proposal_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/intake"
	"solander/internal/intaketest"
	"solander/order"
)

// The addresses are invented; the order of their lines: Universal Postal Union, addressing templates, from memory.
func TestAddressesInOneCell(t *testing.T) {
	for in, want := range map[string]string{
		"Edda Quill\n4 Mill Lane\nFlat 2\nRoanoke, VA 24011": "Edda Quill|4 Mill Lane|Flat 2|Roanoke|VA|24011|",
		"4 Mill Lane, Roanoke VA 24011-1234, USA":            "|4 Mill Lane||Roanoke|VA|24011-1234|US",
		"12 Quay\nHalifax NS B3H 1A1\nCanada":                "|12 Quay||Halifax|NS|B3H 1A1|CA",
		"3 High Street\nBath\nBA1 1AA\nUnited Kingdom":       "|3 High Street||Bath||BA1 1AA|GB",
		"3 High Street\nBath BA1 1AA\nEngland":               "|3 High Street||Bath||BA1 1AA|GB",
		"Mühlweg 4\n10115 Berlin\nDeutschland":               "|Mühlweg 4||Berlin||10115|DE",
		"Gracht 4\n1012 AB Amsterdam\nNetherlands":           "|Gracht 4||Amsterdam||1012 AB|NL",
		"somewhere": "|somewhere||||| address.apart",
	} {
		m := intaketest.MappingOf(1, "Who=buyer, Where=address")
		r := intaketest.Read(t, intake.Input{Table: intake.Table{Sheets: []intake.Sheet{{Name: "s", Rows: []intake.Row{{N: 1, Cells: []intake.Cell{intaketest.Text("Who"), intaketest.Text("Where")}}, {N: 2, Cells: []intake.Cell{intaketest.Text("Edda Quill"), intaketest.Text(in)}}}}}}, Mapping: withoutCountry(m)})
		a := r.Proposals[0].ShipTo
		if !strings.HasPrefix(want, "Edda") {
			if a.Name != "Edda Quill" {
				t.Errorf("%q goes to %q", in, a.Name)
			}
			a.Name = ""
		}
		got := strings.Join([]string{a.Name, a.Line1, a.Line2, a.City, a.Region, a.Postcode, a.Country}, "|")
		for _, p := range r.Problems {
			if p.Rule == "address.apart" {
				got += " " + p.Rule
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%q: %s", in, diff)
		}
	}
}

func withoutCountry(m intake.Mapping) intake.Mapping {
	m.Country = ""
	return m
}

func TestZeroesOfAZip(t *testing.T) {
	m := intaketest.MappingOf(1, "Date=sold_on, Who=buyer, Street=line1, Town=city, State=region, Zip=postcode, Picture=title, Price=price")
	r := intaketest.Read(t, intake.Input{Table: intaketest.TableOf(t, "Date|Who|Street|Town|State|Zip|Picture|Price\n@2025-03-04|A|4 Mill Lane|Boston|MA|=2108|Heron|=10"), Mapping: m})
	if a := r.Proposals[0].ShipTo; a.Postcode != "02108" || cmp.Diff([]string{"address.zeros 2F"}, intaketest.Rules(r)) != "" {
		t.Errorf("postcode %q, problems %v", a.Postcode, intaketest.Rules(r))
	}
}

// Names: Unicode CLDR; codes: ISO 3166-1.
func TestCountries(t *testing.T) {
	for in, want := range map[string]string{"US": "US", "usa": "US", "U.S.A.": "US", "United States": "US", "Germany": "DE", "Deutschland": "DE", "uk": "GB", "Côte d’Ivoire": "CI", "Atlantis": "", "": "", "UKR": ""} {
		if got, _ := order.CountryNamed(in); got != want {
			t.Errorf("%q is %q, want %q", in, got, want)
		}
	}
}
