package cards

import (
	"encoding/csv"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"sync"

	"solander/fault"
	"solander/tariff"
)

// Domestic is the name of the zone table that the bundled domestic services use.
const Domestic = "domestic"

// bands are the upper ends of the zones 1 to 7 in miles; beyond lies zone 8.
// Source: 67 FR 20644 (2002) and the operator's zone chart page: the zone is the great-circle distance
// between areas of three-digit ZIP prefixes.
var bands = []float64{50, 150, 300, 600, 1000, 1400, 1800}

// earthMiles is the mean radius of the earth (IUGG) in statute miles.
const earthMiles = 3958.8

type position struct{ lat, lon float64 } // radians

// Estimated returns a zone table for parcels from a US postcode whose area has no bundled chart: the zone
// of each prefix by the distance between the mean positions of the two areas. Its status is "estimated",
// so that every plan that uses it warns: against the published chart of one origin 93 in 100 prefixes
// agree and the others lie one zone off. Military prefixes are left out, since the operator counts them
// from a gateway: they need the published chart. ok is false for an origin that is not a known US area.
// Source of the positions: npm package zipcodes 8.0.0 (BSD), mean over the ZIP codes of a prefix.
func Estimated(from tariff.Place) (table tariff.ZoneTable, ok bool) {
	prefixes, where, err := positions()
	code := tariff.Postcode(from.Postcode)
	if err != nil || from.Country != "US" || len(code) < 3 {
		return tariff.ZoneTable{}, false
	}
	home, ok := where[code[:3]]
	if !ok {
		return tariff.ZoneTable{}, false
	}
	table = tariff.ZoneTable{
		Name:   Domestic,
		Origin: tariff.Origin{Country: "US", Prefix: code[:3]},
		Source: "great-circle distance between mean positions of ZIP prefixes (npm zipcodes 8.0.0), bands of 67 FR 20644",
		Status: "estimated",
	}
	for _, p := range prefixes {
		row := tariff.ZoneRow{Country: "US", From: p, To: p, Zone: zone(miles(home, where[p]))}
		table.Rows = append(table.Rows, row)
	}
	return table, true
}

func zone(distance float64) string {
	for i, end := range bands {
		if distance <= end {
			return strconv.Itoa(i + 1)
		}
	}
	return strconv.Itoa(len(bands) + 1)
}

// miles is the great-circle distance by the haversine formula.
func miles(a, b position) float64 {
	h := hav(b.lat-a.lat) + math.Cos(a.lat)*math.Cos(b.lat)*hav(b.lon-a.lon)
	return 2 * earthMiles * math.Asin(math.Min(1, math.Sqrt(h)))
}

func hav(x float64) float64 { s := math.Sin(x / 2); return s * s }

var loadPositions = sync.OnceValues(func() (map[string]position, error) {
	f, err := files.Open("zip-prefixes.csv")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := csv.NewReader(f)
	if _, err := r.Read(); err != nil {
		return nil, err
	}
	where := make(map[string]position)
	for {
		row, err := r.Read()
		if err == io.EOF {
			return where, nil
		}
		if err != nil {
			return nil, err
		}
		lat, err1 := strconv.Atoi(row[1])
		lon, err2 := strconv.Atoi(row[2])
		if err1 != nil || err2 != nil {
			return nil, fault.New(fault.Internal, "zip-prefixes.csv: %v is no position", row)
		}
		where[row[0]] = position{radians(lat), radians(lon)}
	}
})

func radians(microdegrees int) float64 { return float64(microdegrees) / 1e6 * math.Pi / 180 }

// positions returns the prefixes in ascending order and where each lies.
func positions() ([]string, map[string]position, error) {
	where, err := loadPositions()
	if err != nil {
		return nil, nil, err
	}
	return slices.Sorted(maps.Keys(where)), where, nil
}
