package edition

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"solander/fault"
	"solander/measure"
	"solander/money"
)

func usd(minor int64) money.Amount { return money.Of(minor, "USD") }

// heron is an edition that may be declared.
func heron() Edition {
	return Edition{
		Work: 1, Title: "Heron at dusk", Width: 12 * measure.Inch, Height: 16 * measure.Inch, Paper: "cotton rag", Grade: "fine",
		Technique: "pigment print", Grammage: 310 * measure.GSM, Caliper: 20 * measure.Mil, Limit: 250, Proofs: Proofs{AP: 25},
		TightestRoll: 3 * measure.Inch, Price: usd(9_000), Steps: []PriceStep{{50, usd(12_000)}, {200, usd(18_000)}}, PrintCost: usd(1_450),
	}
}

func TestSize(t *testing.T) {
	mm, in := measure.Millimetre, measure.Inch
	odd := in + in/64 // tidy in inches alone
	for _, tc := range []struct {
		w, h             measure.Length
		imperial, metric string
	}{
		{12 * in, 16 * in, "12 × 16 in", "304.8 × 406.4 mm"},
		{17 * in / 2, 11 * in, "8 1/2 × 11 in", "215.9 × 279.4 mm"},
		{210 * mm, 297 * mm, "210 × 297 mm", "210 × 297 mm"}, // Source: ISO 216, A4
		{254 * mm, 300 * mm, "254 × 300 mm", "254 × 300 mm"}, // 10 in, but 300 mm is tidy in no inches
		{300 * mm, 254 * mm, "300 × 254 mm", "300 × 254 mm"},
		{odd, 10 * in, "1 1/64 × 10 in", "1 1/64 × 10 in"},
		{odd, 300 * mm, "1 1/64 in × 300 mm", "1 1/64 in × 300 mm"}, // no unit is tidy for both
		{300 * mm, odd, "300 mm × 1 1/64 in", "300 mm × 1 1/64 in"},
	} {
		e := Edition{Width: tc.w, Height: tc.h}
		if got := e.Size(measure.Imperial); got != tc.imperial {
			t.Errorf("in inches %q, want %q", got, tc.imperial)
		}
		if got := e.Size(measure.Metric); got != tc.metric {
			t.Errorf("in millimetres %q, want %q", got, tc.metric)
		}
	}
}

// Both sides are read back from a printed size exactly; a side without a unit has that of the other.
func TestSizesComeBack(t *testing.T) {
	side := rapid.OneOf(
		rapid.Map(rapid.Int64Range(40, 12_000), func(n int64) measure.Length { return measure.Length(n) * measure.Inch / 64 }),
		rapid.Map(rapid.Int64Range(10, 5_000), func(n int64) measure.Length { return measure.Length(n) * measure.Millimetre }),
		rapid.Map(rapid.Int64Range(int64(MinSide), int64(MaxSide)), func(n int64) measure.Length { return measure.Length(n) }),
	)
	rapid.Check(t, func(t *rapid.T) {
		e := Edition{Width: side.Draw(t, "width"), Height: side.Draw(t, "height")}
		s := rapid.SampledFrom(measure.Systems()).Draw(t, "system")
		printed := e.Size(s)
		w, h, ok := strings.Cut(printed, " × ")
		if unit := h[strings.LastIndexByte(h, ' '):]; !strings.HasSuffix(w, "in") && !strings.HasSuffix(w, "mm") {
			w += unit
		}
		width, err1 := measure.ParseLength(w, s)
		height, err2 := measure.ParseLength(h, s)
		if !ok || err1 != nil || err2 != nil || width != e.Width || height != e.Height {
			t.Fatalf("%d × %d is printed %q and read %d × %d (%v, %v)", e.Width, e.Height, printed, width, height, err1, err2)
		}
	})
}

func TestNameAndOpen(t *testing.T) {
	e := heron()
	if got := e.Name(measure.Imperial); got != "Heron at dusk, 12 × 16 in, fine" {
		t.Error(got)
	}
	e.Limit, e.Proofs, e.Grade = 0, Proofs{}, ""
	if !e.Open() || e.Total() != 0 || e.Name(measure.Imperial) != "Heron at dusk, 12 × 16 in" {
		t.Errorf("open %v, %d impressions, %q", e.Open(), e.Total(), e.Name(measure.Imperial))
	}
}

func TestPriceAt(t *testing.T) {
	e := heron()
	for sold, want := range map[int]int64{0: 9_000, 49: 9_000, 50: 12_000, 51: 12_000, 199: 12_000, 200: 18_000, 250: 18_000} {
		if got := e.PriceAt(sold); got != usd(want) {
			t.Errorf("with %d sold it costs %s, want %s", sold, got, usd(want))
		}
	}
	e.Steps = nil
	if got := e.PriceAt(249); got != e.Price {
		t.Errorf("without steps it costs %s", got)
	}
}

// The price is that of the last threshold reached, however many steps there are.
func TestPriceStepLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.SliceOfNDistinct(rapid.IntRange(1, 300), 0, 6, rapid.ID).Draw(t, "thresholds")
		slices.Sort(at)
		e := Edition{Price: usd(rapid.Int64Range(0, 100_000).Draw(t, "price"))}
		for _, from := range at {
			e.Steps = append(e.Steps, PriceStep{from, usd(rapid.Int64Range(0, 100_000).Draw(t, "step"))})
		}
		if err := PricesValid(e.Price, e.Steps); err != nil {
			t.Fatal(err)
		}
		sold := rapid.IntRange(0, 310).Draw(t, "sold")
		want := e.Price
		if i, reached := slices.BinarySearch(at, sold); reached {
			want = e.Steps[i].Price
		} else if i > 0 {
			want = e.Steps[i-1].Price
		}
		if got := e.PriceAt(sold); got != want {
			t.Fatalf("with %d sold it costs %s, want %s of %v", sold, got, want, e.Steps)
		}
	})
}

func TestPricesFaults(t *testing.T) {
	for name, tc := range map[string]struct {
		price money.Amount
		steps []PriceStep
		field string
	}{
		"negative":                {usd(-1), nil, "price"},
		"absurd":                  {usd(money.MaxMinor + 1), nil, "price"},
		"a threshold of 0":        {usd(1), []PriceStep{{0, usd(2)}}, "price_steps[0]"},
		"a negative threshold":    {usd(1), []PriceStep{{-5, usd(2)}}, "price_steps[0]"},
		"the same twice":          {usd(1), []PriceStep{{5, usd(2)}, {5, usd(3)}}, "price_steps[1]"},
		"falling":                 {usd(1), []PriceStep{{9, usd(2)}, {5, usd(3)}}, "price_steps[1]"},
		"a negative step":         {usd(1), []PriceStep{{5, usd(-2)}}, "price_steps[0]"},
		"a step in another money": {usd(1), []PriceStep{{5, money.Of(2, "EUR")}}, "price_steps[0]"},
	} {
		all := fault.All(PricesValid(tc.price, tc.steps))
		if len(all) != 1 || all[0].Code != fault.Invalid || all[0].Field != tc.field || all[0].Mend == "" {
			t.Errorf("%s: %v", name, all)
		}
	}
}

func TestValidateEdition(t *testing.T) {
	good := map[string]func(*Edition){
		"as it is":       func(*Edition) {},
		"open":           func(e *Edition) { e.Limit, e.Proofs = 0, Proofs{} },
		"one of one":     func(e *Edition) { e.Limit = 1 },
		"most":           func(e *Edition) { e.Limit, e.Proofs = MaxLimit, Proofs{MaxProofs, MaxProofs, MaxProofs, 1} },
		"never rolled":   func(e *Edition) { e.TightestRoll = 0 },
		"accents":        func(e *Edition) { e.Paper = "Papier à la cuve, Ł, 和紙, نسخ\u200f" },
		"no price known": func(e *Edition) { e.Price, e.Steps, e.PrintCost = money.Amount{}, nil, money.Amount{} },
	}
	for name, change := range good {
		e := heron()
		change(&e)
		if err := e.Validate(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	bad := map[string]struct {
		change func(*Edition)
		field  string
	}{
		"no work":            {func(e *Edition) { e.Work = 0 }, "work"},
		"width 0":            {func(e *Edition) { e.Width = 0 }, "width"},
		"width negative":     {func(e *Edition) { e.Width = -e.Width }, "width"},
		"height in metres":   {func(e *Edition) { e.Height = 16 * measure.Metre }, "height"},
		"no paper":           {func(e *Edition) { e.Paper = " " }, "paper"},
		"paper too long":     {func(e *Edition) { e.Paper = strings.Repeat("ä", 201) }, "paper"},
		"paper in two lines": {func(e *Edition) { e.Paper = "a\nb" }, "paper"},
		"paper of C1":        {func(e *Edition) { e.Paper = "a\u0085b" }, "paper"},
		"paper turned round": {func(e *Edition) { e.Paper = "rag\u202egar" }, "paper"},
		"broken UTF-8":       {func(e *Edition) { e.Technique = "\xc3" }, "technique"},
		"no grade":           {func(e *Edition) { e.Grade = "" }, "grade"},
		"grammage as oz":     {func(e *Edition) { e.Grammage = 12 * measure.GSM }, "grammage"},
		"caliper 0":          {func(e *Edition) { e.Caliper = 0 }, "caliper"},
		"limit negative":     {func(e *Edition) { e.Limit = -1 }, "limit"},
		"limit absurd":       {func(e *Edition) { e.Limit = MaxLimit + 1 }, "limit"},
		"proofs negative":    {func(e *Edition) { e.Proofs.HC = -1 }, "hc"},
		"proofs absurd":      {func(e *Edition) { e.Proofs.AP = MaxProofs + 1 }, "ap"},
		"open with proofs":   {func(e *Edition) { e.Limit = 0 }, "limit"},
		"roll of 1 mm":       {func(e *Edition) { e.TightestRoll = measure.Millimetre }, "tightest_roll"},
		"print cost":         {func(e *Edition) { e.PrintCost = usd(-1) }, "print_cost"},
		"print cost absurd":  {func(e *Edition) { e.PrintCost = usd(money.MaxMinor + 1) }, "print_cost"},
		"price":              {func(e *Edition) { e.Price = usd(-1) }, "price"},
	}
	for name, tc := range bad {
		e := heron()
		tc.change(&e)
		all := fault.All(e.Validate())
		if len(all) != 1 || all[0].Code != fault.Invalid || all[0].Field != tc.field || all[0].Mend == "" {
			t.Errorf("%s: %v, want one fault in %s", name, all, tc.field)
		}
	}
	if n := len(fault.All(Edition{}.Validate())); n < 6 {
		t.Errorf("an empty form shows %d faults, want all at once", n)
	}
}

func TestValidateWork(t *testing.T) {
	for _, w := range []Work{{Title: "Heron at dusk"}, {Title: "北斎", Year: 1831, Note: "first\nsecond\tline"}} {
		if err := w.Validate(); err != nil {
			t.Errorf("%v: %v", w, err)
		}
	}
	for field, w := range map[string]Work{
		"title": {Title: "\t"},
		"year":  {Title: "a", Year: 31},
		"note":  {Title: "a", Note: "\x00"},
	} {
		if all := fault.All(w.Validate()); len(all) != 1 || all[0].Field != field {
			t.Errorf("%s: %v", field, all)
		}
	}
	if err := (Work{Title: "a", Note: strings.Repeat("x", 10_001)}).Validate(); !fault.Is(err, fault.Invalid) {
		t.Errorf("an endless note: %v", err)
	}
}

// Source: Unicode Standard Annex 9: the explicit directional formatting characters are U+202A to U+202E
// and U+2066 to U+2069; U+200E and U+200F are implicit marks. C0 and C1 are general category Cc.
func TestUnprintable(t *testing.T) {
	for _, r := range "\x00\x1f\x7f\u0080\u009f\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\n\r\t" {
		if !Unprintable(r) {
			t.Errorf("%U is taken for text", r)
		}
	}
	for _, r := range " aÄ和ا\u00a0\u200c\u200d\u200e\u200f\u2019\U0001f426" {
		if Unprintable(r) {
			t.Errorf("%U is refused", r)
		}
	}
}
