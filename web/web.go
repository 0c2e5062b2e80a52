// Package web is the studio in a browser: pages of server-rendered HTML over the use cases of package
// studio. It holds no rules and no SQL; it reads a form, calls one use case and answers.
//
// Every page works without JavaScript; the two scripts only add keyboard shortcuts and tick a group in place. Pages answer only
// to this machine's own names unless Options.Hosts adds others, refuse requests from other sites, and
// read no more than MaxBody bytes.
//
// Behind this door (routes, guard, serving, a form done once) web/page is what all pages share and web/form a form; the other rooms hold
// the handlers of an area, one type each. A form that fails is shown again on the page that it came from by a function that the
// door hands over, so that bench, order and shelf need not know each other.
package web

import (
	"context"
	"embed"
	"io/fs"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"solander/copies"
	"solander/mailing/server"
	"solander/studio"
	"solander/web/accounts"
	"solander/web/ahead"
	"solander/web/bank"
	"solander/web/catalogue"
	"solander/web/certify"
	"solander/web/claims"
	"solander/web/compare"
	webcopies "solander/web/copies"
	"solander/web/currencies"
	webearnings "solander/web/earnings"
	"solander/web/fairs"
	"solander/web/fees"
	"solander/web/galleries"
	"solander/web/gate"
	"solander/web/house"
	"solander/web/layouts"
	"solander/web/movein"
	"solander/web/newsale"
	"solander/web/owed"
	"solander/web/page"
	"solander/web/papers"
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

//go:embed static
var static embed.FS

//go:embed templates
var templates embed.FS

// pages are parsed once in a program, also when it has several doors.
var pages = sync.OnceValue(func() page.Pages { return page.MustPages(templates) })

// Options are what New needs beside the studio. Log defaults to slog.Default.
type Options struct {
	Log     *slog.Logger
	Version string
	Demo    bool                               // this is the invented studio: every page says so
	Hosts   []string                           // names under which it may be called besides loopback ones, without port
	Opened  string                             // what is answered to who asks whether these pages are open; "" = there is no such address
	Close   func()                             // ends the program, on her word; nil = the pages do not offer it
	Look    func() (address string, err error) // opens the invented studio beside this one; nil = the pages do not offer it
	Keep    *copies.Keeper                     // of the copies; nil = none are made
	Mail    server.File                        // of the mail server; without a path none can be named

	Door     phone.Door      // the door to phones; nil = there is none
	Near     bool            // these are the pages that it answers with: to phones, by TLS, under the names that it knows
	Gate     gate.Options    // where the pages are answered; the zero value: on this machine alone
	Until    context.Context // then no page waits for changes any more; nil = never
	Patience page.Patience
}

// MaxBody bounds the body of a request in bytes; more is a fault.TooLarge.
const MaxBody = 4 << 20

// face is the door with the rooms behind it.
type face struct {
	*page.Kit
	today      *today.Bench
	sales      *sales.Book
	newsale    *newsale.Sales
	people     *people.People
	catalogue  *catalogue.Catalogue
	stock      *stock.Drawer
	movein     *movein.Files
	house      *house.House
	programs   *programs.Programs
	layouts    *layouts.Layouts
	recipes    *recipes.Recipes
	prices     *prices.Prices
	compare    *compare.Compare
	ways       *ways.Ways
	scale      *scale.Scale
	trips      *trips.Trips
	owed       *owed.Owed
	taxes      *taxes.Taxes
	years      *years.Years
	bank       *bank.Bank
	galleries  *galleries.Galleries
	claims     *claims.Claims
	fairs      *fairs.Fairs
	currencies *currencies.Currencies
	payouts    *payouts.Payouts
	fees       *fees.Fees
	earnings   *webearnings.Earnings
	papers     *papers.Papers
	ahead      *ahead.Ahead
	phones     *phone.Phones
	copies     *webcopies.Copies
	privacy    *privacy.Privacy
	record     *webrecord.Record
	certify    *certify.Certify

	accounts *accounts.Accounts
	gate     *gate.Gate
	rights   gate.Table

	near  bool // the door answers with them
	hosts []string
	once  *onceBook
	mux   *http.ServeMux
}

// New returns the whole face as one handler.
func New(st *studio.Studio, opt Options) http.Handler { return newFace(st, opt).handler() }

func newFace(st *studio.Studio, opt Options) *face {
	kit := page.New(st, pages(), page.Options{Log: opt.Log, Version: opt.Version, Demo: opt.Demo, Until: opt.Until, Patience: opt.Patience})
	f := &face{
		Kit:   kit,
		today: &today.Bench{Kit: kit}, sales: &sales.Book{Kit: kit}, newsale: &newsale.Sales{Kit: kit}, people: &people.People{Kit: kit}, catalogue: &catalogue.Catalogue{Kit: kit}, stock: &stock.Drawer{Kit: kit},
		movein: &movein.Files{Kit: kit}, house: &house.House{Kit: kit, Opened: opt.Opened, End: opt.Close, Invented: opt.Look}, programs: &programs.Programs{Kit: kit}, layouts: &layouts.Layouts{Kit: kit}, recipes: &recipes.Recipes{Kit: kit}, prices: &prices.Prices{Kit: kit}, compare: &compare.Compare{Kit: kit}, ways: &ways.Ways{Kit: kit}, ahead: &ahead.Ahead{Kit: kit}, trips: &trips.Trips{Kit: kit}, fees: &fees.Fees{Kit: kit}, earnings: &webearnings.Earnings{Kit: kit}, papers: &papers.Papers{Kit: kit}, scale: &scale.Scale{Kit: kit}, privacy: &privacy.Privacy{Kit: kit}, record: &webrecord.Record{Kit: kit}, certify: &certify.Certify{Kit: kit}, copies: &webcopies.Copies{Kit: kit, Keep: opt.Keep},
		owed: &owed.Owed{Kit: kit, Mail: opt.Mail}, taxes: &taxes.Taxes{Kit: kit}, years: &years.Years{Kit: kit},
		bank: &bank.Bank{Kit: kit}, galleries: &galleries.Galleries{Kit: kit}, fairs: &fairs.Fairs{Kit: kit}, currencies: &currencies.Currencies{Kit: kit}, payouts: &payouts.Payouts{Kit: kit}, claims: &claims.Claims{Kit: kit},
		gate: gate.New(gateOf(opt)), near: opt.Near, rights: gate.NewTable(gate.Rights()), hosts: opt.Hosts, once: newOnceBook(), mux: http.NewServeMux(),
	}
	f.accounts = &accounts.Accounts{Kit: kit, Gate: f.gate}
	f.phones = &phone.Phones{Kit: kit, Gate: f.gate, Door: opt.Door}
	kit.Notices = f.phones.Notices
	kit.Ask, kit.Trim = f.ask, f.trim
	kit.AtBench, kit.AtOrder = f.today.ShowBench, f.sales.AgainOrder
	return f
}

func (f *face) handler() http.Handler {
	files, err := fs.Sub(static, "static")
	if err != nil {
		panic(err) // the folder is embedded above: only a broken build gets here
	}
	f.mux.Handle("GET /static/", http.StripPrefix("/static/", cached(f.plainFiles(files))))
	if f.house.Opened != "" {
		f.mux.Handle("GET /opened", f.serve(route{method: "GET", path: "/opened", do: f.house.IsOpen, early: true}))
	}
	for _, rt := range f.routes() {
		f.mux.Handle(rt.method+" "+rt.path, f.serve(rt))
	}
	return f.guard(f.byPhone(http.HandlerFunc(f.dispatch)))
}

// Server returns a server for a handler with limits on how long a client may take: a slow reader of
// headers or body is cut off, a long download (a backup) is not.
func Server(addr string, h http.Handler) *http.Server {
	return &http.Server{
		Addr: addr, Handler: h,
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       60 * time.Second,
		WriteTimeout:      5 * time.Minute,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
	}
}

// plainFiles answers with files alone: what is none, be it a folder or a name that no file can have, is not there.
func (f *face) plainFiles(files fs.FS) http.Handler {
	server := http.FileServerFS(files)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if info, err := fs.Stat(files, r.URL.Path); err != nil || !info.Mode().IsRegular() {
			w.Header().Set("Cache-Control", "no-store")
			f.noPage(w, r)
			return
		}
		server.ServeHTTP(w, r)
	})
}

// cached lets a browser keep the embedded files for a day; the page that names them changes with them.
func cached(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "public, max-age=3600")
		next.ServeHTTP(w, r)
	})
}
