package tariff

import (
	"encoding/json"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"solander/calendar"
	"solander/fault"
	"solander/internal/strict"
)

const cardTOML = `
id = "x-2025"
series = "x"
operator = "Example Post"
currency = "USD"
from = 2025-10-05
to = "2026-01-18"
price_class = "counter"
source = "invented"
status = "invented"
zone_files = ["zones.csv"]

[[services]]
id = "ground"
class = "ground"
name = "Ground"
zones = "home"
days = { min = 2, max = 5, counted = "no-sundays-holidays" }
prices = { by = "mass", file = "ground.csv" }
dimensional = { over = "1728 in3", divisor = { volume = "166 in3", mass = "1 lb" }, round = { step = "1 in", mode = "nearest" }, step = "1 lb", cylinder = { num = 785, den = 1000 } }
cover = { included = 10000, file = "cover.csv", per = 10000, per_price = 150 }
  [[services.limits]]
  measure = "length+girth"
  max = "108 in"
  [[services.surcharges]]
  id = "long"
  name = "longer than 22 in"
  amount = 400
  when = [{ measure = "length", over = "22 in" }]

[[services]]
id = "cubic"
class = "ground"
name = "Cubic"
zones = "home"
prices = { by = "volume", round = { step = "1/4 in", mode = "down" }, file = "shared.csv", only = "cubic" }
`

func folder(change map[string]string) fstest.MapFS {
	files := map[string]string{
		"card.toml":  cardTOML,
		"ground.csv": "step,zone,price,source,status\n4 oz,1,4.50,p15,primary\n1 lb,1,7.10,p15,primary\n4 oz,2,4.56,p15,primary\n1 lb,2,-,p15,primary\n",
		"shared.csv": "service,step,zone,price,source,status\nother,0.1 ft3,1,1.00,,\ncubic,0.1 ft3,1,6.92,,\n",
		"zones.csv":  "table,origin_country,origin_prefix,country,from,to,zone,most,source,status\nhome,US,240,US,000,499,1,,chart,secondary\nhome,US,240,US,500,999,2,20 lb,chart,secondary\nhome,US,972,US,,,2,,other chart,estimated\n",
		"cover.csv":  "up_to,price,source,status\n100.00,3.40,p27,primary\n200.00,4.40,p27,primary\n",
	}
	for name, text := range change {
		files[name] = text
	}
	out := fstest.MapFS{}
	for name, text := range files {
		if text != "" {
			out[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return out
}

func TestLoad(t *testing.T) {
	c, err := Load(folder(nil))
	if err != nil {
		t.Fatal(err)
	}
	if c.From != day("2025-10-05") || c.To != day("2026-01-18") || len(c.Services) != 2 || len(c.Zones) != 2 {
		t.Fatalf("%+v", c)
	}
	want := Prices{By: ByMass, Zones: []string{"1", "2"}, Rows: []Row{
		{Mass: 4 * oz, Prices: []Cell{450, 456}, Source: "p15", Status: "primary"},
		{Mass: lb, Prices: []Cell{710, NotCarried}, Source: "p15", Status: "primary"},
	}}
	if d := cmp.Diff(want, c.Services[0].Prices); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]CoverStep{{10000, 340}, {20000, 440}}, c.Services[0].Cover.Steps); d != "" {
		t.Error(d)
	}
	if got := c.Services[1].Prices.Rows[0]; len(c.Services[1].Prices.Rows) != 1 || got.Volume != 172_800*CubicInch/1000 || got.Prices[0] != 692 {
		t.Errorf("cubic: %+v", c.Services[1].Prices)
	}
	if z := c.Table("home", Place{"US", "97201"}); z == nil || z.Status != "estimated" {
		t.Errorf("the table of the second origin: %+v", z)
	}
	if z := c.Table("home", Place{"US", "24060"}); z == nil || z.Rows[1].Most != 20*lb {
		t.Errorf("zone 2: %+v", z)
	}
}

// A card written as JSON and read again is the same card.
func TestCardSurvivesJSON(t *testing.T) {
	want, err := Load(folder(nil))
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got Card
	if err := strict.Decode(text, &got); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, got, cmp.Comparer(func(a, b calendar.Day) bool { return a == b }), cmpopts.EquateEmpty()); d != "" {
		t.Error(d)
	}
}

func TestLoadNamesFileRowAndMend(t *testing.T) {
	for name, c := range map[string]struct {
		change map[string]string
		want   []string
	}{
		"no card":           {map[string]string{"card.toml": ""}, []string{"card.toml", "cannot be opened"}},
		"not TOML":          {map[string]string{"card.toml": "id = "}, []string{"card.toml", "not TOML"}},
		"unknown field":     {map[string]string{"card.toml": "colour = 1\n" + cardTOML}, []string{"card.toml", "colour", "there is no field"}},
		"unknown status":    {map[string]string{"card.toml": strings.Replace(cardTOML, `status = "invented"`, `status = "sure"`, 1)}, []string{"card.toml", "status"}},
		"unknown measure":   {map[string]string{"card.toml": strings.Replace(cardTOML, `"length+girth"`, `"depth"`, 1)}, []string{"services[0].limits[0].measure", "not a measure"}},
		"wrong unit":        {map[string]string{"card.toml": strings.Replace(cardTOML, `"108 in"`, `"108 lb"`, 1)}, []string{"services[0].limits[0]", "lb"}},
		"float money":       {map[string]string{"card.toml": strings.Replace(cardTOML, `amount = 400`, `amount = 4.5`, 1)}, []string{"services[0].surcharges[0].amount", "whole number"}},
		"wrong header":      {map[string]string{"ground.csv": "mass,zone,price\n"}, []string{"ground.csv, row 1", "step,zone,price,source,status"}},
		"no rows":           {map[string]string{"ground.csv": "step,zone,price,source,status\n"}, []string{"ground.csv", "no rows"}},
		"price not a price": {map[string]string{"ground.csv": "step,zone,price,source,status\n4 oz,1,cheap,,\n"}, []string{"ground.csv, row 2, column price"}},
		"negative price":    {map[string]string{"ground.csv": "step,zone,price,source,status\n4 oz,1,-4.00,,\n"}, []string{"row 2, column price", "negative"}},
		"step not a mass":   {map[string]string{"ground.csv": "step,zone,price,source,status\n4 in,1,4.00,,\n"}, []string{"row 2, column step"}},
		"twice":             {map[string]string{"ground.csv": "step,zone,price,source,status\n4 oz,1,4.00,,\n4 oz,1,4.00,,\n"}, []string{"row 3, column zone", "twice"}},
		"hole":              {map[string]string{"ground.csv": "step,zone,price,source,status\n4 oz,1,4.00,,\n8 oz,2,4.00,,\n"}, []string{"ground.csv", "zone 2 has no price"}},
		"two sources":       {map[string]string{"ground.csv": "step,zone,price,source,status\n4 oz,1,4.00,a,\n4 oz,2,4.00,b,\n"}, []string{"row 3, column source"}},
		"missing table":     {map[string]string{"zones.csv": ""}, []string{"zones.csv", "cannot be opened"}},
		"postcodes crossed": {map[string]string{"zones.csv": "table,origin_country,origin_prefix,country,from,to,zone,most,source,status\nhome,US,240,US,499,000,1,,chart,secondary\n"}, []string{"zones[0].rows[0].to", "before from"}},
		"broken UTF-8":      {map[string]string{"ground.csv": "step,zone,price,source,status\n4 oz,1,4.00,\xff,\n"}, []string{"ground.csv", "UTF-8"}},
		"none of its own":   {map[string]string{"shared.csv": "service,step,zone,price,source,status\nother,0.1 ft3,1,1.00,,\n"}, []string{"shared.csv", "cubic"}},
	} {
		_, err := Load(folder(c.change))
		if err == nil {
			t.Errorf("%s: loaded", name)
			continue
		}
		if fault.Is(err, fault.Internal) {
			t.Errorf("%s: not a fault: %v", name, err)
		}
		for _, w := range c.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %q lacks %q", name, err, w)
			}
		}
	}
}

func TestSuspicions(t *testing.T) {
	c := ground()
	if got := c.Suspicions(); len(got) != 3 || got[0].Kind != "gap" || got[1].Kind != "gap" || got[2].Kind != "missing zone" || got[2].Cell() != "zone 9" {
		t.Fatalf("the card has steps of 1, 16 and 70 lb, and no prices for zone 9: %+v", got)
	}
	rows := c.Services[0].Prices.Rows
	rows[1].Prices[0] = NotCarried
	rows[2].Prices[1] = 700
	kinds := map[string]int{}
	for _, s := range c.Suspicions() {
		kinds[s.Kind]++
	}
	if d := cmp.Diff(map[string]int{"gap": 2, "hole": 1, "weight dip": 1, "zone dip": 1, "missing zone": 1}, kinds); d != "" {
		t.Error(d)
	}
}

func TestVolumes(t *testing.T) {
	for text, want := range map[string]Volume{"1728 in3": CubicFoot, "1 ft³": CubicFoot, "0.1 ft3": 2_831_684_659_200_000, "1 in3": 16_387_064_000_000, "2 dm3": 2 * Litre, "1 m3": 1000 * Litre} {
		if got, err := ParseVolume(text); err != nil || got != want {
			t.Errorf("%s: %d %v, want %d", text, got, err, want)
		}
	}
	for _, text := range []string{"", "5", "5 lb", "-1 in3", "1e3 in3", "1/2 ft3", "99999999 m3", ". in3"} {
		if got, err := ParseVolume(text); err == nil {
			t.Errorf("%q is a volume: %d", text, got)
		}
	}
}
