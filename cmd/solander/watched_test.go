package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil/promlint"
)

// watchedProgram is a program that is being watched.
type watchedProgram struct {
	t               testing.TB
	cmd             *exec.Cmd
	place           string
	address, health string // without a slash at the end
	log             string // the file of its error stream
}

// madeStudio makes a small studio by the program's own commands.
func madeStudio(t testing.TB) string {
	t.Helper()
	place := filepath.Join(t.TempDir(), "studio.db")
	run := exec.Command(built, "set-up", "--store", place, "--file", "../../cli/testdata/studio.json")
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return place
}

// watchedAt starts the program on a studio, with a log in a file.
func watchedAt(t testing.TB, place string, args ...string) *watchedProgram {
	t.Helper()
	p := &watchedProgram{t: t, place: place, log: filepath.Join(t.TempDir(), "log")}
	log, err := os.Create(p.log)
	if err != nil {
		t.Fatal(err)
	}
	defer log.Close()
	p.cmd = exec.Command(built, append([]string{"serve", "--store", place, "--listen", "127.0.0.1:0", "--health", "127.0.0.1:0"}, args...)...)
	p.cmd.Env = append(os.Environ(), "HOME="+t.TempDir(), "XDG_DATA_HOME=", "SOLANDER_STORE=")
	p.cmd.Stderr = log
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.cmd.Process.Kill() })
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("it printed %q: %v: %s", line, err, p.logged())
	}
	find := func(text, pattern string) string {
		m := regexp.MustCompile(pattern).FindStringSubmatch(text)
		if m == nil {
			t.Fatalf("no address in %q", text)
		}
		return m[1]
	}
	p.address = find(line, `is open at (http://\S+)/ `)
	p.health = find(p.logged(), `health is answered at (http://\S+)/`)
	return p
}

func (p *watchedProgram) logged() string {
	b, err := os.ReadFile(p.log)
	if err != nil {
		p.t.Fatal(err)
	}
	return string(b)
}

// ask answers a request with its status and text.
func (p *watchedProgram) ask(method, address, body string, headers ...string) (int, string) {
	p.t.Helper()
	req, err := http.NewRequest(method, address, strings.NewReader(body))
	if err != nil {
		p.t.Fatal(err)
	}
	for i := 0; i < len(headers); i += 2 {
		req.Header.Set(headers[i], headers[i+1])
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	res, err := client.Do(req)
	if err != nil {
		p.t.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil {
		p.t.Fatal(err)
	}
	return res.StatusCode, string(text)
}

// form sends a form as a browser does.
func (p *watchedProgram) form(path string, fields ...string) (int, string) {
	p.t.Helper()
	v := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		v.Add(fields[i], fields[i+1])
	}
	return p.ask("POST", p.address+path, v.Encode(), "Content-Type", "application/x-www-form-urlencoded", "Origin", p.address)
}

// run runs a command of the program beside the one that is watched, and returns what it said on both streams.
func (p *watchedProgram) run(args ...string) (out, errs string) {
	p.t.Helper()
	var o, e strings.Builder
	cmd := exec.Command(built, append(args, "--store", p.place)...)
	cmd.Stdout, cmd.Stderr = &o, &e
	_ = cmd.Run() // some are to fail
	return o.String(), e.String()
}

// TestLogsNameNobody lets a story full of names, addresses, mails, secrets, prices and notes go through pages, calls and commands, with all
// that can be logged: neither the log nor what was counted holds any of it, and both tell what happened.
func TestLogsNameNobody(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	p := watchedAt(t, madeStudio(t), "--log", "json", "--log-level", "debug", "--slow", "1ns")
	const (
		name, mail, street, phone = "Quillonia Zephyrbane", "quillonia@hidden.example", "77 Veilstone Passage", "+1 540 555 0177"
		note, gift, title, price  = "xyzzynote at the door", "plughgift for you", "Umbrageous Otter", "173.37"
		lab, program, reason      = "Frobnitz Press", "Grault Shop", "waldoreason"
	)
	secrets := []string{name, "Quillonia", "Zephyrbane", mail, street, "Veilstone", phone, "5550177", "555 0177", note, "xyzzynote", gift, "plughgift", title, "Umbrageous", price, "17337", lab, "Frobnitz", program, "Grault", reason}

	_, _ = p.run("works", "--add", title, "--year", "2025")
	_, _ = p.run("sale", "--outlet", "1", "--buyer", name, "--email", mail, "--phone", phone, "--line1", street, "--city", "Veilstone", "--region", "VA", "--postcode", "24011",
		"--print", "1", "--postage", "6", "--note", note, "--gift-message", gift)
	_, _ = p.run("sale", "--outlet", "1", "--buyer", name, "--print", "1:9999")
	made, _ := p.run("feed", "add", program, "--outlet", "1", "--scope", "orders:write,orders:read,buyers:read,hooks:write", "--json")
	var feed struct{ Token string }
	if err := json.Unmarshal([]byte(made), &feed); err != nil || feed.Token == "" {
		t.Fatalf("no feed was made: %q (%v)", made, err)
	}
	secrets = append(secrets, feed.Token)

	for _, path := range []string{
		"/", "/orders", "/orders/1", "/buyers", "/buyers/1", "/search?q=Quillonia+Zephyrbane", "/search?q=quillonia%40hidden.example", "/orders/new", "/till", "/studio", "/promises/plughgift.ics",
		"/cards/Quillonia.vcf", "/Quillonia/Zephyrbane", "/orders/Veilstone", "/orders/1?said=xyzzynote", "/static/Umbrageous.css", "/promises.ics", "/cards.vcf", "/studio/backup", "/studio/export", "/studio/check", "/ahead", "/orders/1/why-not",
	} {
		if status, _ := p.ask("GET", p.address+path, "", "Cookie", "who="+url.QueryEscape(name), "Referer", p.address+"/search?q=Zephyrbane", "User-Agent", "Grault/1.0"); status >= 500 {
			t.Errorf("%s answers %d", path, status)
		}
	}
	for _, c := range [][]string{
		{"/orders", "outlet", "1", "buyer", name, "email", mail, "phone", phone, "line1", street, "postage", price, "note", note},
		{"/orders/1/amend", "note", note, "gift_message", gift, "line1", street},
		{"/orders/1/pay", "amount", price, "note", note},
		{"/orders/1/cancel", "reason", reason},
		{"/buyers/1", "name", name, "email", mail, "note", note},
		{"/works", "title", title, "year", "Umbrageous"},
		{"/shelf", "name", title, "cost", price},
		{"/studio/feeds", "name", program},
		{"/studio/settings", "studio", name},
		{"/Quillonia%20Zephyrbane", name, name},
	} {
		p.form(c[0], c[1:]...)
	}
	order := fmt.Sprintf(`{"reference": "R-1", "buyer": {"name": %q, "email": %q, "phone": %q}, "ship_to": {"name": %q, "line1": %q}, "lines": [{"edition": 1, "price": {"minor": 17337, "currency": "USD"}}], "note": %q}`, name, mail, phone, name, street, note)
	for _, token := range []string{feed.Token, feed.Token[:len(feed.Token)-3] + "xyz", name} {
		for _, path := range []string{"/api/v1/orders", "/api/v1/buyers", "/api/v1/Quillonia", "/hooks/1", "/hooks/Zephyrbane"} {
			p.ask("POST", p.address+path, order, "Authorization", "Bearer "+token, "Content-Type", "application/json", "Idempotency-Key", "xyzzynote")
			p.ask("POST", p.address+path, order[:60], "Authorization", "Bearer "+token, "Content-Type", "application/json", "X-Signature", "plughgift")
			p.ask("GET", p.address+path+"?name=Quillonia", "", "Authorization", "Bearer "+token)
		}
	}
	secrets = append(secrets, feed.Token[:len(feed.Token)-3]+"xyz")

	code, metrics := p.ask("GET", p.health+"/metrics", "")
	if code != http.StatusOK {
		t.Fatalf("the metrics answer %d", code)
	}
	ends(t, p.cmd, syscall.SIGTERM)
	log := p.logged()
	// A time or a duration may have any digits in it.
	clocks := regexp.MustCompile(`"time":"[^"]*"|"seconds":[0-9.e-]+`)
	if !clocks.MatchString(log) {
		t.Error("no line of the log has a time")
	}
	log = clocks.ReplaceAllString(log, `"passed":0`)
	for what, text := range map[string]string{"the log": log, "the metrics": metrics} {
		for _, s := range secrets {
			for _, form := range []string{s, url.QueryEscape(s), url.PathEscape(s)} {
				if i := strings.Index(strings.ToLower(text), strings.ToLower(form)); i >= 0 {
					t.Errorf("%s holds %q: …%s…", what, form, text[max(0, i-200):min(len(text), i+100)])
				}
			}
		}
	}

	// It tells all the same what happened, and each line of a request bears its id.
	lines, statements, ids := 0, 0, map[string]bool{}
	for _, line := range strings.Split(log, "\n") {
		var l struct{ Msg, Route, Request, Statement string }
		if json.Unmarshal([]byte(line), &l) != nil {
			continue
		}
		if l.Msg == "answered" {
			lines++
			ids[l.Request] = true
		}
		if l.Statement != "" {
			statements++
		}
	}
	if lines < 70 || len(ids) != lines || statements < 100 {
		t.Errorf("%d requests with %d ids and %d slow statements are in the log: too little was looked at", lines, len(ids), statements)
	}
	for _, want := range []string{
		`solander_http_requests_total{method="GET",route="GET /orders/{order}",status="200"}`, `solander_http_requests_total{method="GET",route="none",status="404"}`,
		`route="POST /api/v1/orders"`, `solander_store_transactions_total{end="kept",kind="read"}`, `solander_planning_seconds_count`, `go_goroutines`, `go_gc_heap_live_bytes`, `go_sql_open_connections{db_name="read"}`, `solander_build_info`,
	} {
		if !strings.Contains(metrics, want) {
			t.Errorf("the metrics do not hold %s", want)
		}
	}
	// Checked by what reads metrics elsewhere. Source: Prometheus, exposition formats and naming, as promlint of its Go client holds them.
	problems, err := promlint.New(strings.NewReader(metrics)).Lint()
	if err != nil {
		t.Fatal(err)
	}
	for _, problem := range problems {
		if strings.HasPrefix(problem.Metric, "solander_") {
			t.Errorf("%s: %s", problem.Metric, problem.Text)
		}
	}
}

// slowForm begins to send a form, and does not go on.
func slowForm(t *testing.T, address string) (conn net.Conn, rest string) {
	t.Helper()
	host := strings.TrimPrefix(address, "http://")
	conn, err := net.Dial("tcp", host)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	rest = "xt=1"
	fmt.Fprintf(conn, "POST /shelf/1/count HTTP/1.1\r\nHost: %s\r\nOrigin: %s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 8\r\n\r\nqty=", host, address)
	return conn, rest
}

// waitFor waits for something, for some seconds.
func waitFor(t testing.TB, what string, is func() bool) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); !is(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%s does not come about", what)
		}
	}
}

// TestStopsGracefully tells the program to stop while a request runs: it may finish, and one that does not is cut off in the end; both times
// the studio is closed and the program ends with 0. Meanwhile it is alive, and ready no more.
func TestStopsGracefully(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	running := func(t *testing.T, p *watchedProgram) bool {
		_, text := p.ask("GET", p.health+"/metrics", "")
		return strings.Contains(text, "\nsolander_http_requests_running 1\n")
	}
	for _, c := range []struct {
		name   string
		by     os.Signal
		finish bool
	}{{"finished, SIGTERM", syscall.SIGTERM, true}, {"finished, SIGINT", os.Interrupt, true}, {"cut off", syscall.SIGTERM, false}} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			within := "60s"
			if !c.finish {
				within = "3s"
			}
			p := watchedAt(t, madeStudio(t), "--stop-within", within)
			if code, _ := p.ask("GET", p.health+"/ready", ""); code != http.StatusOK {
				t.Errorf("before, it is ready with %d", code)
			}
			conn, rest := slowForm(t, p.address)
			waitFor(t, "a running request", func() bool { return running(t, p) })
			told := time.Now()
			if err := p.cmd.Process.Signal(c.by); err != nil {
				t.Fatal(err)
			}
			waitFor(t, "not to be ready", func() bool {
				code, _ := p.ask("GET", p.health+"/ready", "")
				return code == http.StatusServiceUnavailable
			})
			if code, _ := p.ask("GET", p.health+"/alive", ""); code != http.StatusOK {
				t.Errorf("while it ends, it is alive with %d", code)
			}
			if c.finish {
				if _, err := io.WriteString(conn, rest); err != nil {
					t.Fatal(err)
				}
				res, err := http.ReadResponse(bufio.NewReader(conn), nil)
				if err != nil {
					t.Fatalf("the request that ran was not answered: %v", err)
				}
				res.Body.Close()
				if res.StatusCode >= 500 {
					t.Errorf("the request that ran is answered with %d", res.StatusCode)
				}
			}
			if err := p.cmd.Wait(); err != nil {
				t.Errorf("it ended with %v: %s", err, p.logged())
			}
			if took := time.Since(told); !c.finish && took < 2900*time.Millisecond {
				t.Errorf("the request was cut off after %v, want 3 s", took)
			}
			if _, err := os.Stat(p.place + "-wal"); err == nil {
				t.Error("the log of the database still lies beside it")
			}
			if out, errs := p.run("check"); !strings.Contains(out, "sound") {
				t.Errorf("afterwards: %s%s", out, errs)
			}
		})
	}
	t.Run("a second signal", func(t *testing.T) {
		t.Parallel()
		p := watchedAt(t, madeStudio(t), "--stop-within", "10m")
		slowForm(t, p.address)
		waitFor(t, "a running request", func() bool { return running(t, p) })
		if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
			t.Fatal(err)
		}
		waitFor(t, "not to be ready", func() bool {
			code, _ := p.ask("GET", p.health+"/ready", "")
			return code == http.StatusServiceUnavailable
		})
		if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
			t.Fatal(err)
		}
		var exit *exec.ExitError
		if err := p.cmd.Wait(); !errors.As(err, &exit) || exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGTERM {
			t.Errorf("it ended with %v, want by the second signal", err)
		}
		if out, errs := p.run("check"); !strings.Contains(out, "sound") {
			t.Errorf("afterwards: %s%s", out, errs)
		}
	})
}

// TestHealthIsGuarded keeps who watches to this machine, unless there is a key, and shows what was counted to who brings it alone.
func TestHealthIsGuarded(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	place := madeStudio(t)
	open := exec.Command(built, "serve", "--store", place, "--listen", "127.0.0.1:0", "--health", "0.0.0.0:0")
	if out, err := open.CombinedOutput(); err == nil || !strings.Contains(string(out), "there is no key") {
		t.Errorf("it says %q (%v)", out, err)
	}
	file := filepath.Join(t.TempDir(), "key")
	const key = "k2Vv3yq0c1rJtXb7mWf4"
	if err := os.WriteFile(file, []byte(key+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	p := watchedAt(t, place, "--health-key-file", file)
	for _, c := range []struct {
		path, brings string
		want         int
	}{
		{"/alive", "", 200}, {"/ready", "", 200}, {"/metrics", "", 401}, {"/metrics", "Bearer ", 401}, {"/metrics", "Bearer " + key + "x", 401}, {"/metrics", key, 401}, {"/metrics", "Bearer " + key, 200}, {"/", "", 404}, {"/orders", "", 404},
	} {
		if got, _ := p.ask("GET", p.health+c.path, "", "Authorization", c.brings); got != c.want {
			t.Errorf("%s with %q answers %d, want %d", c.path, c.brings, got, c.want)
		}
	}
	if got, _ := p.ask("POST", p.health+"/metrics", ""); got != http.StatusMethodNotAllowed {
		t.Errorf("a POST answers %d", got)
	}
	for _, path := range []string{"/alive", "/ready", "/metrics"} {
		if got, _ := p.ask("GET", p.address+path, ""); got != http.StatusNotFound {
			t.Errorf("the pages answer %s with %d", path, got)
		}
	}
	ends(t, p.cmd, syscall.SIGTERM)
}
