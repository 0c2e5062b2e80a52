package web

import (
	"encoding/json"
	"io/fs"
	"math/rand/v2"
	"path"
	"reflect"
	"strings"
	"testing"
	"time"

	"solander/web/accounts"
	"solander/web/ahead"
	"solander/web/bank"
	"solander/web/catalogue"
	"solander/web/certify"
	"solander/web/claims"
	"solander/web/compare"
	webcopies "solander/web/copies"
	"solander/web/currencies"
	"solander/web/earnings"
	"solander/web/fairs"
	"solander/web/fees"
	"solander/web/form"
	"solander/web/galleries"
	"solander/web/house"
	"solander/web/layouts"
	"solander/web/movein"
	"solander/web/movein/trial"
	"solander/web/newsale"
	"solander/web/owed"
	"solander/web/page"
	webpapers "solander/web/papers"
	"solander/web/payouts"
	"solander/web/people"
	"solander/web/phone"
	"solander/web/prices"
	"solander/web/privacy"
	"solander/web/programs"
	"solander/web/recipes"
	webrecord "solander/web/record"
	"solander/web/sales"
	"solander/web/scale"
	"solander/web/stock"
	"solander/web/taxes"
	"solander/web/today"
	"solander/web/trips"
	"solander/web/ways"
	"solander/web/years"
)

// pageTypes is every page by the file of its template.
var pageTypes = map[string]func() page.Framed{
	"account":         func() page.Framed { return new(accounts.AccountPage) },
	"accounts":        func() page.Framed { return new(accounts.PeoplePage) },
	"codes":           func() page.Framed { return new(accounts.CodesPage) },
	"prove":           func() page.Framed { return new(accounts.ProvePage) },
	"second":          func() page.Framed { return new(accounts.SecondPage) },
	"signin":          func() page.Framed { return new(accounts.SignInPage) },
	"demanded":        func() page.Framed { return new(accounts.DemandedPage) },
	"erase":           func() page.Framed { return new(privacy.ErasePage) },
	"record":          func() page.Framed { return new(webrecord.Page) },
	"privacy":         func() page.Framed { return new(privacy.Page) },
	"ahead":           func() page.Framed { return new(ahead.Page) },
	"bench":           func() page.Framed { return new(today.BenchPage) },
	"broughtin":       func() page.Framed { return new(movein.BroughtInPage) },
	"buyer":           func() page.Framed { return new(people.BuyerPage) },
	"boards":          func() page.Framed { return new(stock.BoardsPage) },
	"card":            func() page.Framed { return new(house.CardPage) },
	"check":           func() page.Framed { return new(house.CheckPage) },
	"copies":          func() page.Framed { return new(webcopies.Page) },
	"drawer":          func() page.Framed { return new(stock.DrawerPage) },
	"edition":         func() page.Framed { return new(catalogue.EditionPage) },
	"editions":        func() page.Framed { return new(catalogue.EditionsPage) },
	"error":           func() page.Framed { return new(page.ErrorPage) },
	"feed":            func() page.Framed { return new(programs.FeedPage) },
	"feeds":           func() page.Framed { return new(programs.FeedsPage) },
	"form":            func() page.Framed { return new(page.FormPage) },
	"handover":        func() page.Framed { return new(today.HandOverDetailPage) },
	"handovers":       func() page.Framed { return new(today.HandOverPage) },
	"help":            func() page.Framed { return new(page.HelpPage) },
	"hookmapping":     func() page.Framed { return new(programs.HookMappingPage) },
	"house":           func() page.Framed { return new(house.HousePage) },
	"intake":          func() page.Framed { return new(movein.IntakePage) },
	"claims":          func() page.Framed { return new(claims.ListPage) },
	"claim":           func() page.Framed { return new(claims.ClaimPage) },
	"claimtell":       func() page.Framed { return new(claims.TellPage) },
	"galleries":       func() page.Framed { return new(galleries.ListPage) },
	"currencies":      func() page.Framed { return new(currencies.Page) },
	"fairs":           func() page.Framed { return new(fairs.ListPage) },
	"fair":            func() page.Framed { return new(fairs.DayPage) },
	"gallery":         func() page.Framed { return new(galleries.GalleryPage) },
	"payouts":         func() page.Framed { return new(payouts.ListPage) },
	"payoutnew":       func() page.Framed { return new(payouts.NewPage) },
	"payout":          func() page.Framed { return new(payouts.PayoutPage) },
	"bank":            func() page.Framed { return new(bank.AccountsPage) },
	"bankaccount":     func() page.Framed { return new(bank.AccountPage) },
	"earnings":        func() page.Framed { return new(earnings.EarningsPage) },
	"earningsparts":   func() page.Framed { return new(earnings.PartsPage) },
	"orderearned":     func() page.Framed { return new(earnings.OrderPage) },
	"earningsprices":  func() page.Framed { return new(earnings.PricesPage) },
	"earningsedition": func() page.Framed { return new(earnings.EditionPricesPage) },
	"fees":            func() page.Framed { return new(fees.FeesPage) },
	"leaving":         func() page.Framed { return new(trips.LeavingPage) },
	"left":            func() page.Framed { return new(webcopies.LeftPage) },
	"leavingway":      func() page.Framed { return new(trips.WayPage) },
	"number":          func() page.Framed { return new(catalogue.NumberPage) },
	"order":           func() page.Framed { return new(sales.OrderPage) },
	"orders":          func() page.Framed { return new(sales.OrdersPage) },
	"owed":            func() page.Framed { return new(owed.OwedPage) },
	"taxrates":        func() page.Framed { return new(taxes.Page) },
	"statement":       func() page.Framed { return new(owed.StatementPage) },
	"bills":           func() page.Framed { return new(owed.BillsPage) },
	"bill":            func() page.Framed { return new(owed.BillPage) },
	"orderbills":      func() page.Framed { return new(owed.OrderBillsPage) },
	"people":          func() page.Framed { return new(people.PeoplePage) },
	"reading":         func() page.Framed { return new(movein.ReadingPage) },
	"reckoning":       func() page.Framed { return new(page.ReckoningPage) },
	"run":             func() page.Framed { return new(stock.RunPage) },
	"sale":            func() page.Framed { return new(newsale.SalePage) },
	"savings":         func() page.Framed { return new(stock.SavingsPage) },
	"scan":            func() page.Framed { return new(today.ScanPage) },
	"search":          func() page.Framed { return new(sales.SearchPage) },
	"setup":           func() page.Framed { return new(house.SetUpPage) },
	"stickers":        func() page.Framed { return new(webpapers.StickersPage) },
	"stock":           func() page.Framed { return new(stock.StockPage) },
	"till":            func() page.Framed { return new(newsale.TillPage) },
	"trial":           func() page.Framed { return new(trial.Page) },
	"said":            func() page.Framed { return new(house.SaidPage) },
	"unread":          func() page.Framed { return new(movein.UnreadPage) },
	"whatif":          func() page.Framed { return new(house.WhatIfPage) },
	"work":            func() page.Framed { return new(catalogue.WorkPage) },
	"whynot":          func() page.Framed { return new(sales.WhyNotPage) },
	"renew":           func() page.Framed { return new(prices.RenewPage) },
	"carddiff":        func() page.Framed { return new(compare.DiffPage) },
	"cardedit":        func() page.Framed { return new(prices.EditPage) },
	"pricelist":       func() page.Framed { return new(prices.ListPage) },
	"zones":           func() page.Framed { return new(prices.ZonesPage) },
	"quote":           func() page.Framed { return new(ways.QuotePage) },
	"rule":            func() page.Framed { return new(recipes.RulePage) },
	"weighed":         func() page.Framed { return new(scale.Page) },
	"wrap":            func() page.Framed { return new(recipes.WrapPage) },
	"wraps":           func() page.Framed { return new(recipes.ListPage) },
	"phones":          func() page.Framed { return new(phone.PhonesPage) },
	"phonecode":       func() page.Framed { return new(phone.CodePage) },
	"phonein":         func() page.Framed { return new(phone.InPage) },
	"letterhead":      func() page.Framed { return new(certify.LetterheadPage) },
	"certificates":    func() page.Framed { return new(certify.CertificatesPage) },
	"certificate":     func() page.Framed { return new(certify.CheckPage) },
	"facts":           func() page.Framed { return new(certify.FactsPage) },
	"files":           func() page.Framed { return new(programs.FilesPage) },
	"layout":          func() page.Framed { return new(layouts.LayoutPage) },
	"year":            func() page.Framed { return new(years.YearPage) },
	"yearentries":     func() page.Framed { return new(years.EntriesPage) },
	"opening":         func() page.Framed { return new(years.OpeningPage) },
	"taxreturn":       func() page.Framed { return new(taxes.ReturnPage) },
}

func TestEveryTemplateHasAPage(t *testing.T) {
	t.Parallel()
	files, err := fs.Glob(templates, "templates/*.html")
	if err != nil || len(files) == 0 {
		t.Fatalf("no templates: %v", err)
	}
	if len(files) != len(pageTypes) {
		t.Errorf("%d templates, %d pages", len(files), len(pageTypes))
	}
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(file, "templates/"), ".html")
		if pageTypes[name] == nil {
			t.Errorf("no page for the template %s", name)
		}
	}
}

// TestTemplatesCanBeRead holds that no line of them is longer than a screen, and that each component has its name and
// what it is given in a comment above it.
func TestTemplatesCanBeRead(t *testing.T) {
	t.Parallel()
	const most = 160 // bytes
	files, components := 0, 0
	err := fs.WalkDir(templates, "templates", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files++
		text, err := fs.ReadFile(templates, file)
		if err != nil {
			return err
		}
		above := ""
		for i, line := range strings.Split(string(text), "\n") {
			if len(line) > most {
				t.Errorf("%s:%d has %d bytes: break what is over %d", file, i+1, len(line), most)
			}
			if named, ok := strings.CutPrefix(line, `{{define "`); ok {
				components++
				name, _, _ := strings.Cut(named, `"`)
				if name == "main" {
					name = strings.TrimSuffix(path.Base(file), ".html")
				}
				if !strings.HasPrefix(above, "{{/* "+name+": ") {
					t.Errorf("%s:%d: no comment above says what %s is", file, i+1, name)
				}
			}
			above = line
		}
		return nil
	})
	if err != nil || files < 30 || components <= files {
		t.Errorf("%d files with %d components: %v", files, components, err)
	}
}

// TestTemplatesExecute runs every template with its zero page, where nothing is known yet, and with one
// in which every field is filled, so that every branch is walked. A field that a template misspells
// fails here.
func TestTemplatesExecute(t *testing.T) {
	t.Parallel()
	all := pages()
	for name, make := range pageTypes {
		t.Run(name, func(t *testing.T) {
			body, err := all.Execute(name, make())
			if err != nil {
				t.Fatalf("zero page: %v", err)
			}
			wellFormed(t, body)
			full := make()
			fill(reflect.ValueOf(full).Elem(), 0, rand.New(rand.NewPCG(1, 2)))
			body, err = all.Execute(name, full)
			if err != nil {
				t.Fatalf("full page: %v", err)
			}
			wellFormed(t, body)
			if strings.Contains(string(body), "ZgotmplZ") {
				t.Error("a value was refused by the template's escaping")
			}
		})
	}
}

// hostile is put into every text field: it must come out as text.
const hostile = `"><script>alert(1)</script>` + "\u2028'"

func TestTextsAreEscaped(t *testing.T) {
	t.Parallel()
	all := pages()
	for name, make := range pageTypes {
		full := make()
		fill(reflect.ValueOf(full).Elem(), 0, rand.New(rand.NewPCG(1, 2)))
		body, err := all.Execute(name, full)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(body), "<script>alert") {
			t.Errorf("%s lets a script in", name)
		}
		if !strings.Contains(string(body), "alert(1)") {
			t.Errorf("%s shows none of its texts", name)
		}
	}
}

// fill sets every field that can be set: texts to hostile ones, numbers to small ones, lists to two
// elements.
func fill(v reflect.Value, depth int, r *rand.Rand) {
	if depth > 9 || !v.CanSet() {
		if depth <= 9 && v.Type() == reflect.TypeFor[page.Frame]() { // embedded: its own fields can be set
			fillKind(v, depth, r)
		}
		return
	}
	switch v.Interface().(type) {
	case *form.Field:
		v.Set(reflect.ValueOf(&form.Field{Name: hostile, ID: "full-field", Label: hostile, Kind: "text", Value: hostile}))
		return
	case time.Time:
		v.Set(reflect.ValueOf(time.Date(2031, 3, 2, 12, 0, 0, 0, time.UTC)))
		return
	case json.RawMessage:
		v.Set(reflect.ValueOf(json.RawMessage(`{}`)))
		return
	case *form.Form:
		fm := form.New("full", "/here")
		fm.Blamed = true
		for _, name := range []string{
			"outlet", "ref", "placed", "promised", "arrive_by", "buyer_id", "buyer", "email", "phone", "in_person", "takes_it", "paste", "ship_to.name",
			"kerf", "past", "from", "to", "open", "like", "item.cost", "drop", "named", "rule", "wrap", "cards", "same_number", "postage", "tax", "currency", "agreed", "paid", "paid_worth", "paid_note", "note", "gift_message", "lines[0].edition", "name", "mapping", "sample", "source", "who", "factor", "same", "sure", "bare",
		} {
			fd := fm.Ask(name, hostile).Is(hostile).WithHint(hostile).Must()
			fd.Wrong = []string{hostile}
		}
		fm.Ask("tick", hostile).As("check").Is("1")
		fm.Ask("list", hostile).Of(form.Pick(hostile, hostile))
		fm.Ask("code", hostile).As("code").Is(hostile)
		fm.Ask("area", hostile).As("area").Is(hostile)
		v.Set(reflect.ValueOf(fm))
		return
	}
	fillKind(v, depth, r)
}

func fillKind(v reflect.Value, depth int, r *rand.Rand) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(hostile)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int64:
		v.SetInt(2 + r.Int64N(3))
		if v.Type() == reflect.TypeFor[int64]() { // an id, of which a page shows no two
			v.SetInt(2 + r.Int64N(1<<20))
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32:
		v.SetInt(2 + r.Int64N(3))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		v.SetUint(3)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), depth+1, r)
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), depth+1, r)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range 2 {
			fill(v.Index(i), depth+1, r)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		key, elem := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		fill(key, depth+1, r)
		fill(elem, depth+1, r)
		v.SetMapIndex(key, elem)
	}
}

// TestNoPageHidesTheFrame holds that no page has a field of the name of one of the frame's: the frame's
// template would read the page's instead.
func TestNoPageHidesTheFrame(t *testing.T) {
	t.Parallel()
	of := reflect.TypeFor[page.Frame]()
	for name, make := range pageTypes {
		page := reflect.TypeOf(make()).Elem()
		for i := range of.NumField() {
			if f, ok := page.FieldByName(of.Field(i).Name); !ok || len(f.Index) != 2 {
				t.Errorf("%s hides the frame's %s", name, of.Field(i).Name)
			}
		}
	}
}
