package tax

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/calendar"
	"solander/fault"
	"solander/money"
)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

var day = calendar.Date(2031, 3, 4)

// Worked by hand; rounded half away from zero, which is common practice, no source.
func TestOn(t *testing.T) {
	for name, tc := range map[string]struct {
		rate           Rate
		goods, postage int64
		base, tax      int64
	}{
		"added":                  {Rate{Rate: 57500}, 12000, 800, 12000, 690},
		"added, half a cent up":  {Rate{Rate: 62500}, 10040, 0, 10040, 628},
		"added, on postage":      {Rate{Rate: 57500, Postage: true}, 12000, 800, 12800, 736},
		"inside 19 % of 119.00":  {Rate{Rate: 190000, Inside: true}, 11900, 0, 10000, 1900},
		"inside, with postage":   {Rate{Rate: 70000, Inside: true, Postage: true}, 10000, 700, 10000, 700},
		"inside, to be rounded":  {Rate{Rate: 190000, Inside: true}, 12000, 0, 10084, 1916},
		"nothing":                {Rate{}, 12000, 800, 12000, 0},
		"all of it":              {Rate{Rate: 1_000_000}, 12000, 0, 12000, 12000},
		"the smallest rate":      {Rate{Rate: 1}, 1_000_000_00, 0, 1_000_000_00, 100},
		"nothing at some rate":   {Rate{Rate: 62500}, 0, 0, 0, 0},
		"a refund at some rate":  {Rate{Rate: 62500}, -10040, 0, -10040, -628},
		"inside of nothing":      {Rate{Rate: 62500, Inside: true}, 0, 0, 0, 0},
		"one cent, added 50 %":   {Rate{Rate: 500000}, 1, 0, 1, 1},
		"one cent, added 49.9 %": {Rate{Rate: 499000}, 1, 0, 1, 0},
	} {
		base, tax, err := tc.rate.On(usd(tc.goods), usd(tc.postage))
		if err != nil || base.Minor != tc.base || tax.Minor != tc.tax {
			t.Errorf("%s: %s of %s, %v", name, tax, base, err)
		}
	}
	if _, _, err := (Rate{Rate: 1, Postage: true}).On(usd(1), money.Of(1, "EUR")); err == nil {
		t.Error("dollars and euros were taxed together")
	}
}

// Inside a price, base and tax are the price, to the cent; and the base at that rate gives the tax again, to a cent.
func TestInsideIsTheWayBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		price, rate := rapid.Int64Range(0, 10_000_000).Draw(t, "price"), rapid.Int64Range(0, 300_000).Draw(t, "rate")
		base, inside, err := Rate{Rate: rate, Inside: true}.On(usd(price), usd(0))
		if err != nil || base.Minor+inside.Minor != price {
			t.Fatalf("%s and %s are not %d: %v", base, inside, price, err)
		}
		_, added, err := Rate{Rate: rate}.On(base, usd(0))
		if d := added.Minor - inside.Minor; err != nil || d < -1 || d > 1 {
			t.Fatalf("%d at %d: inside %s, added %s", price, rate, inside, added)
		}
	})
}

func TestPerCent(t *testing.T) {
	for text, want := range map[string]int64{"6.25": 62500, "6,25 %": 62500, " 0 ": 0, "19%": 190000, "100": 1_000_000, "0.0001": 1, "7.": 70000} {
		if n, err := ParsePerCent(text); n != want || err != nil {
			t.Errorf("%q is %d, %v", text, n, err)
		}
	}
	for _, text := range []string{"", "%", "much", "-1", "+1", "1.23456", "100.0001", "1_0", "1.2.3", "1000", ".5", "1e2", "６"} {
		if n, err := ParsePerCent(text); !fault.Is(err, fault.Invalid) {
			t.Errorf("%q is %d, %v", text, n, err)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		r := Rate{Rate: rapid.Int64Range(0, 1_000_000).Draw(t, "rate")}
		if n, err := ParsePerCent(r.PerCent()); n != r.Rate || err != nil {
			t.Fatalf("%d is written %q and read %d, %v", r.Rate, r.PerCent(), n, err)
		}
	})
}

// The state's own rate goes before that of its country, whatever their days; of one place the latest that has begun counts; none is guessed.
func TestFind(t *testing.T) {
	rates := []Rate{
		{Country: "US", Region: "OH", From: day.Add(-100), Rate: 1},
		{Country: "US", Region: "OH", From: day, Rate: 2},
		{Country: "US", Region: "OH", From: day.Add(9), Rate: 3},
		{Country: "US", From: day.Add(5), Rate: 4},
		{Country: "DE", From: day, Rate: 5},
	}
	for _, tc := range []struct {
		country, region string
		day             calendar.Day
		want            int64
	}{
		{"US", "OH", day.Add(-1), 1},
		{"US", "OH", day, 2},
		{"us", "Ohio", day.Add(8), 2},
		{"US", "OH", day.Add(9), 3},
		{"US", "OH", day.Add(-101), -1},
		{"US", "PA", day.Add(4), -1},
		{"US", "PA", day.Add(5), 4},
		{"Germany", "Sachsen", day, 5},
		{"FR", "", day, -1},
	} {
		r, ok := Find(rates, tc.country, tc.region, tc.day)
		if !ok {
			r.Rate = -1
		}
		if r.Rate != tc.want {
			t.Errorf("%s %s on %s: %d, want %d", tc.country, tc.region, tc.day, r.Rate, tc.want)
		}
	}
}

func TestOf(t *testing.T) {
	rates := []Rate{{Country: "US", Region: "OH", From: day, Rate: 57500, Name: "Sales tax"}, {Country: "DE", From: day, Rate: 190000, Inside: true, Name: "Tax"}}
	resale := []Certificate{{Country: "US", Region: "OH", Number: "12-77", From: day.Add(1), Until: day.Add(3)}}
	for name, tc := range map[string]struct {
		sale  Sale
		words string
		added int64
		known bool
	}{
		"added":        {Sale{Country: "US", Region: "OH", Day: day, Goods: usd(12000), Postage: usd(0)}, "Sales tax 5.75 % of 120.00 USD is 6.90 USD", 690, true},
		"inside":       {Sale{Country: "DE", Day: day, Goods: usd(11900), Postage: usd(0)}, "inside the prices", 0, true},
		"no rate":      {Sale{Country: "US", Region: "PA", Day: day, Goods: usd(12000)}, "no rate is entered for PA, US, and none is guessed", 0, false},
		"by outlet":    {Sale{Country: "US", Region: "OH", Day: day, Goods: usd(12000), ByOutlet: true}, "the outlet collects", 0, false},
		"resale":       {Sale{Country: "US", Region: "OH", Day: day.Add(3), Goods: usd(12000), Resales: resale}, "certificate 12-77", 0, true},
		"resale ended": {Sale{Country: "US", Region: "OH", Day: day.Add(4), Goods: usd(12000), Postage: usd(0), Resales: resale}, "6.90", 690, true},
	} {
		a, err := Of(tc.sale, rates)
		if err != nil {
			t.Fatal(err)
		}
		added, known := a.Added()
		if !strings.Contains(a.Words(), tc.words) || added.Minor != tc.added || known != tc.known {
			t.Errorf("%s: %q, added %s, %v", name, a.Words(), added, known)
		}
	}
}

func TestRead(t *testing.T) {
	rates, err := Read([]byte("\ufeffFrom,Country,Region,Rate,Inside\r\n2031-01-01,Germany,,19 %,yes\r\n2031-01-01,US,ohio,\"5,75\",\r\n"))
	if err != nil || len(rates) != 2 || rates[0].Country != "DE" || !rates[0].Inside || rates[1].Region != "OH" || rates[1].Rate != 57500 || rates[1].Name != "Tax" {
		t.Errorf("%+v %v", rates, err)
	}
	for name, text := range map[string]string{
		"empty": "", "a head alone": "country,region,from,rate\n", "no rate": "country,region,from\nUS,OH,2031-01-01\n",
		"a column that is none": "country,region,from,rate,tip\nUS,OH,2031-01-01,5,1\n", "a column twice": "country,region,from,rate,rate\nUS,OH,2031-01-01,5,5\n",
		"a cell too many": "country,region,from,rate\nUS,OH,2031-01-01,5,7\n", "no day": "country,region,from,rate\nUS,OH,,5\n", "no country": "country,region,from,rate\n,,2031-01-01,5\n",
		"twice": "country,region,from,rate\nUS,OH,2031-01-01,5\nUS,Ohio,2031-01-01,6\n", "an open quote": "country,region,from,rate\nUS,\"OH,2031-01-01,5\n",
		"neither yes nor no": "country,region,from,rate,inside\nUS,OH,2031-01-01,5,perhaps\n",
	} {
		if rates, err := Read([]byte(text)); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %+v %v", name, rates, err)
		}
	}
	_, err = Read([]byte("country,region,from,rate\nAtlantis,,2031-01-01,5\nUS,OH,2031-01-01,5\nUS,PA,soon,-1\n"))
	if all := fault.All(err); len(all) != 3 || all[0].Where != "row 2" || all[1].Where != "row 4" || all[2].Where != "row 4" {
		t.Errorf("faults by row: %+v", all)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("country,region,from,rate\nUS,OH,2031-01-01,5.75\n"))
	f.Add([]byte("\ufefffrom,country,region,rate,inside\n2031-01-01,DE,,19 %,yes\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		rates, err := Read(data)
		for _, r := range rates {
			if err == nil && r.Validate() != nil {
				t.Fatalf("%+v was read", r)
			}
		}
		for _, e := range fault.All(err) {
			if e.Mend == "" {
				t.Fatalf("%v says not how to mend it", e)
			}
		}
	})
}
