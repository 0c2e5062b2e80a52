// Package watch tells whoever runs the program how it does: what it counts, whether it is alive and ready, and its log. It is told of
// requests by the pattern of their route, of statements by their text without arguments, of errors by their codes: nothing that it writes or
// shows holds a name, an address, a price, a secret or a note. It counts and times, and decides nothing.
package watch

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"regexp"
	"sync"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"

	"solander/fault"
)

// Meter counts and times what a program does. It is safe for concurrent use.
type Meter struct {
	registry *prometheus.Registry
	slow     time.Duration // from where on a statement is logged; 0 = never
	stopping atomic.Bool

	requests     *prometheus.CounterVec
	seconds      *prometheus.HistogramVec
	running      prometheus.Gauge
	planning     prometheus.Histogram
	transactions *prometheus.CounterVec
	inStore      *prometheus.HistogramVec
	retries      prometheus.Counter
	slowly       prometheus.Counter
	jobs         *prometheus.CounterVec
	jobSeconds   *prometheus.HistogramVec
	jobGood      *prometheus.GaugeVec

	mu    sync.Mutex
	pools map[string]bool
}

// quick are the bounds of what usually takes milliseconds, in seconds.
var quick = []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10, 30, 60}

// live is the heap that the last collection found in use: what of memory is not merely not yet gathered up (package runtime/metrics).
var live = collectors.GoRuntimeMetricsRule{Matcher: regexp.MustCompile("^/gc/heap/live:bytes$")}

// New returns a meter that has counted nothing. Statements that take longer than slow are logged; 0 = none is.
// Source of the names: Prometheus, "Metric and label naming"; base units, a suffix for the unit, _total for counts.
func New(version string, slow time.Duration) *Meter {
	m := &Meter{
		registry: prometheus.NewRegistry(), slow: slow, pools: map[string]bool{},
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "solander_http_requests_total", Help: "Requests that were answered, by the pattern of their route."},
			[]string{"route", "method", "status"}),
		seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "solander_http_request_seconds", Help: "How long an answer took.", Buckets: quick},
			[]string{"route"}),
		running:  prometheus.NewGauge(prometheus.GaugeOpts{Name: "solander_http_requests_running", Help: "Requests that are being answered."}),
		planning: prometheus.NewHistogram(prometheus.HistogramOpts{Name: "solander_planning_seconds", Help: "How long a plan took that was not remembered, its check included.", Buckets: quick}),
		transactions: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "solander_store_transactions_total", Help: "Transactions of the store, by kind (read, write) and end (kept, refused, failed)."},
			[]string{"kind", "end"}),
		inStore: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "solander_store_transaction_seconds", Help: "How long a transaction took, its tries and what it waited included.", Buckets: quick},
			[]string{"kind"}),
		retries: prometheus.NewCounter(prometheus.CounterOpts{Name: "solander_store_retries_total", Help: "Writes that were tried again, because another was quicker or the store was away."}),
		slowly:  prometheus.NewCounter(prometheus.CounterOpts{Name: "solander_store_slow_statements_total", Help: "Statements that took longer than is asked to be logged."}),
		jobs: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "solander_jobs_total", Help: "Scheduled jobs that this program did, by name and end (done, failed, broken off)."},
			[]string{"job", "end"}),
		jobSeconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "solander_job_seconds", Help: "How long a scheduled job took.", Buckets: quick},
			[]string{"job"}),
		jobGood: prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: "solander_job_last_done_timestamp_seconds", Help: "When a scheduled job was last done well, by this program since it began."},
			[]string{"job"}),
	}
	build := prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: "solander_build_info", Help: "Which build this is; always 1."}, []string{"version"})
	build.WithLabelValues(version).Set(1)
	m.registry.MustRegister(m.requests, m.seconds, m.running, m.planning, m.transactions, m.inStore, m.retries, m.slowly, m.jobs, m.jobSeconds, m.jobGood, build,
		collectors.NewGoCollector(collectors.WithGoCollectorRuntimeMetrics(live)), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// Transaction notes that one ended, kept or not.
func (m *Meter) Transaction(write bool, took time.Duration, err error) {
	kind, end := "read", "kept"
	if write {
		kind = "write"
	}
	switch fault.CodeOf(err) {
	case "":
	case fault.Internal, fault.Busy, fault.Unsure:
		end = "failed"
	default:
		end = "refused"
	}
	m.transactions.WithLabelValues(kind, end).Inc()
	m.inStore.WithLabelValues(kind).Observe(took.Seconds())
}

// Job notes that a scheduled job ended at an instant.
func (m *Meter) Job(name string, at time.Time, took time.Duration, err error) {
	end := "done"
	switch {
	case errors.Is(err, context.Canceled):
		end = "broken off"
	case err != nil:
		end = "failed"
	default:
		m.jobGood.WithLabelValues(name).Set(float64(at.Unix()))
	}
	m.jobs.WithLabelValues(name, end).Inc()
	m.jobSeconds.WithLabelValues(name).Observe(took.Seconds())
}

// Again notes that a write is tried once more.
func (m *Meter) Again() { m.retries.Inc() }

// mostStatement is how much of a statement's text is logged, in bytes.
const mostStatement = 400

// Statement notes how long a statement took, with reading its rows. Its text holds no argument: those are bound.
func (m *Meter) Statement(text string, took time.Duration) {
	if m.slow <= 0 || took < m.slow {
		return
	}
	m.slowly.Inc()
	if len(text) > mostStatement {
		text = text[:mostStatement] + "…"
	}
	slog.Warn("a statement was slow", "seconds", took.Seconds(), "statement", text)
}

// Pool shows what a pool of connections says of itself. Of several of one name the first is shown.
func (m *Meter) Pool(name string, of *sql.DB) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if !m.pools[name] {
		m.pools[name] = true
		m.registry.MustRegister(collectors.NewDBStatsCollector(of, name))
	}
}

// Planning notes that a plan is begun; what it returns is called when it ends.
func (m *Meter) Planning() (ended func()) {
	began := time.Now()
	return func() { m.planning.Observe(time.Since(began).Seconds()) }
}

// Stopping says that the program ends: it is ready no more.
func (m *Meter) Stopping() { m.stopping.Store(true) }
