// Package web is the studio in a browser: pages of server-rendered HTML over the use cases of package
// studio. It holds no rules and no SQL; it reads a form, calls one use case and answers.
//
// Every page works without JavaScript; the one script only adds keyboard shortcuts. Pages answer only
// to this machine's own names unless Options.Hosts adds others, refuse requests from other sites, and
// read no more than MaxBody bytes.
package web

import (
	"embed"
	"io/fs"
	"log/slog"
	"net/http"
	"time"

	"solander/studio"
)

//go:embed static
var static embed.FS

// Options are what New needs beside the studio. Log defaults to slog.Default.
type Options struct {
	Log     *slog.Logger
	Version string
	Demo    bool     // this is the invented studio: every page says so
	Hosts   []string // names under which it may be called besides loopback ones, without port
}

// MaxBody bounds the body of a request in bytes; more is a fault.TooLarge.
const MaxBody = 4 << 20

type face struct {
	studio *studio.Studio
	opt    Options
	log    *slog.Logger
	pages  pages
	once   *onceBook
	mux    *http.ServeMux

	// The pages that a form may be sent from; the one that it came from is shown again when it fails.
	atBench func(http.ResponseWriter, *http.Request, *failure) error
	atOrder func(http.ResponseWriter, *http.Request, int64, *failure) error

	reckonings reckonings
	lately     lately
}

// New returns the whole face as one handler.
func New(st *studio.Studio, opt Options) http.Handler { return newFace(st, opt).handler() }

func newFace(st *studio.Studio, opt Options) *face {
	if opt.Log == nil {
		opt.Log = slog.Default()
	}
	f := &face{studio: st, opt: opt, log: opt.Log, pages: mustPages(), once: newOnceBook(), mux: http.NewServeMux()}
	f.atBench, f.atOrder = f.showBench, f.againOrder
	return f
}

func (f *face) handler() http.Handler {
	files, err := fs.Sub(static, "static")
	if err != nil {
		panic(err) // the folder is embedded above: only a broken build gets here
	}
	f.mux.Handle("GET /static/", http.StripPrefix("/static/", cached(f.plainFiles(files))))
	for _, rt := range routes {
		f.mux.Handle(rt.method+" "+rt.path, f.serve(rt))
	}
	return f.guard(http.HandlerFunc(f.dispatch))
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
