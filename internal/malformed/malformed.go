// Package malformed is a helper of tests: it makes requests as no browser sends them, for every route of a face, and sends them byte by byte.
// What it makes depends on the seed alone.
package malformed

import (
	"fmt"
	"math/rand/v2"
	"net/url"
	"regexp"
	"strings"
)

// Route is a method and the pattern of an address, with its places in braces.
type Route struct{ Method, Pattern string }

// Request is one request as it goes over the wire. Half says that less is sent than it announces, and nothing follows.
type Request struct {
	Route Route
	What  string // how it is malformed
	Bytes []byte
	Half  bool
	// Foreign is a request that is refused below the face for what it says of its own form: RFC 9112, 2.3 and 6.1, ask for 505 and 501 then.
	Foreign bool
}

// Maker makes requests.
type Maker struct {
	*rand.Rand
	routes []Route
	host   string
	next   int
}

// New makes requests for routes at a host.
func New(seed uint64, host string, routes []Route) *Maker {
	return &Maker{Rand: rand.New(rand.NewPCG(seed, 1)), routes: routes, host: host}
}

var (
	// texts are what fields, places and headers are filled with.
	texts = []string{
		"", " ", "0", "1", "2", "-1", "-0", "+1", "007", "1e9", "9223372036854775807", "9223372036854775808", "-9223372036854775808", "18446744073709551616", "0x10", "1_000", "١٢",
		"1.5", "1,5", "NaN", "Infinity", "1/0", "17/250", "AP 1", "2031-02-30", "0000-00-00", "9999-12-31", "-0001-01-01", "24:00", "true", "null", "undefined", "[]", "{}", "[object Object]",
		"'", "\"", "';--", "<script>alert(1)</script>", "{{.}}", "${x}", "%s%n%x", "%", "%%", "%zz", "..", "../../../../etc/passwd", "\\..\\", "/", "//", "a/b", ".", "~", "|", "&", "#", "?", ";",
		"\x00", "a\x00b", "\xff\xfe", "\xc0\xaf", "\xed\xa0\x80", "\xf4\x90\x80\x80", "\u202e", "\u200b", "\ufeff", "e\u0301", "ß", "İ", "🜁", "\r\nX: y", "\n", "\t", "\x7f", "\x1b[31m",
		strings.Repeat("9", 400), strings.Repeat("a", 5000), strings.Repeat("é", 3000), strings.Repeat("(", 2000), strings.Repeat("1,", 2000), strings.Repeat("\n", 1500),
	}
	fields = []string{
		"once", "id", "order", "line", "edition", "number", "qty", "count", "sheets", "day", "amount", "paid", "price", "kind", "reason", "note", "name", "email", "country", "postcode", "text", "file", "outlet",
		"buyer", "limit", "width", "height", "q", "page", "from", "until", "year", "title", "works", "mass", "service", "tracking", "parcel", "mapping", "row", "days", "key", "units", "currency", "step", "to",
	}
	methods = []string{"GET", "POST", "HEAD", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "CONNECT", "BREW", "get", "G\x00T", "", strings.Repeat("M", 300)}
	kinds   = []string{
		"application/x-www-form-urlencoded", "application/json", "text/plain", "", "multipart/form-data", "multipart/form-data; boundary=", "multipart/form-data; boundary=x", "multipart/mixed; boundary=x", "multipart/form-data; boundary=" + strings.Repeat("b", 300),
		"application/x-www-form-urlencoded; charset=utf-16", "application/json; charset=\xff", "text/html", "application/xml", "image/png", "a", ";", "/", "application/merge-patch+json", "multipart/form-data; boundary=x; boundary=y",
	}
	place = regexp.MustCompile(`\{[^}]*\}`)
)

func (m *Maker) of(list []string) string { return list[m.IntN(len(list))] }

func (m *Maker) chance(of float64) bool { return m.Float64() < of }

// path fills the places of a pattern, mostly with what is no id.
func (m *Maker) path(pattern string) string {
	p := place.ReplaceAllStringFunc(pattern, func(at string) string {
		if at == "{$}" {
			return ""
		}
		switch {
		case m.chance(0.3):
			return fmt.Sprint(m.IntN(12))
		case m.chance(0.1):
			return m.of(texts) // as it is
		}
		return url.PathEscape(m.of(texts))
	})
	switch m.IntN(14) {
	case 0:
		p += "/"
	case 1:
		p = strings.ReplaceAll(p, "/", "//")
	case 2:
		p += "/../" + m.of([]string{"orders", "..", "static/bench.css", "%2e%2e/%2e%2e"})
	case 3:
		p += "%00"
	case 4:
		p = strings.ToUpper(p)
	}
	return p
}

// form makes fields as a form has them, whole or broken.
func (m *Maker) form() string {
	var parts []string
	for range m.IntN(9) {
		name, value := m.of(fields), m.of(texts)
		if m.chance(0.2) {
			name = m.of(texts)
		}
		if m.chance(0.8) {
			name, value = url.QueryEscape(name), url.QueryEscape(value)
		}
		parts = append(parts, name+"="+value)
		if m.chance(0.15) {
			parts = append(parts, name+"="+url.QueryEscape(m.of(texts))) // twice
		}
	}
	return strings.Join(parts, m.of([]string{"&", "&", "&", "&&", ";"}))
}

// json makes a body that is nearly JSON, or JSON of another form than is asked for.
func (m *Maker) json() string {
	whole := fmt.Sprintf(`{"%s": %s, "lines": [{"edition": %s}], "%s": "%s"}`, m.of(fields), m.of([]string{"1", "-1", "1e400", "null", "{}", "[[]]", `"x"`, "1.5"}), m.of([]string{"1", `"a"`, "null", "99999999999999999999"}), m.of(fields), m.of(fields))
	switch m.IntN(9) {
	case 0:
		return whole[:m.IntN(len(whole))]
	case 1:
		return strings.Repeat("[", 20000)
	case 2:
		return m.of(texts)
	case 3:
		return whole + whole
	case 4:
		return strings.Repeat(`{"a":`, 5000)
	case 5:
		return `{"a":1,"a":2,"buyer":{"name":"\ud800"}}`
	}
	return whole
}

// parts makes a body of several parts, whole or broken.
func (m *Maker) parts() string {
	part := func() string {
		return "--x\r\nContent-Disposition: " + m.of([]string{"form-data", "form-data; name=", `form-data; name="file"; filename="a.csv"`, `form-data; name="file"; filename="../../x"`, `form-data; name="` + "\x00" + `"`, "attachment", ""}) +
			"\r\n" + m.of([]string{"", "Content-Type: text/csv\r\n", "Content-Transfer-Encoding: base64\r\n", "X\r\n", strings.Repeat("A: b\r\n", 300)}) + "\r\n" + m.of(texts) + "\r\n"
	}
	var b strings.Builder
	for range m.IntN(5) {
		b.WriteString(part())
	}
	return b.String() + m.of([]string{"--x--\r\n", "--x", "", "--x--", "\r\n--y--\r\n"})
}

// headers makes lines of a head beside those that a request needs.
func (m *Maker) headers() string {
	var b strings.Builder
	for range m.IntN(5) {
		b.WriteString(m.of([]string{
			"Cookie: a=b; a=c; =; ;;; \"\r\n", "Cookie: " + strings.Repeat("c=d; ", 600) + "\r\n", "Referer: http://[::1\r\n", "Referer: /\x7f\r\n", "Accept: */*;q=9\r\n", "Accept-Language: " + strings.Repeat("x,", 900) + "\r\n",
			"Range: bytes=5-1\r\n", "Range: bytes=" + strings.Repeat("0-,", 300) + "\r\n", "If-None-Match: \"\r\n", "If-Match: W/\r\n", "If-Modified-Since: never\r\n", "Origin: null\r\n", "Sec-Fetch-Site: sideways\r\n", "X-Forwarded-For: ' or 1=1\r\n",
			"Authorization: Bearer\r\n", "Authorization: Bearer \x80\x81\r\n", "Authorization: Basic !!!\r\n", "Authorization: Bearer " + strings.Repeat("t", 4000) + "\r\n", "Idempotency-Key: " + strings.Repeat("k", 3000) + "\r\n", "Idempotency-Key:\r\n",
			"Last-Event-ID: -1\r\n", "Upgrade: websocket\r\nConnection: upgrade\r\n", "Connection: close, close, x\r\n", "Content-Encoding: gzip\r\n", "TE: trailers\r\n", "Trailer: Content-Length\r\n", "Expect: 100-continue\r\n", "Expect: the-worst\r\n",
			"X-" + strings.Repeat("h", 2000) + ": v\r\n", "Signature: t=,v1=\r\n", "X-Signature: " + strings.Repeat("0", 64) + "\r\n",
		}))
	}
	return b.String()
}

// Next makes the next request: each route has its turn.
func (m *Maker) Next() Request {
	route := m.routes[m.next%len(m.routes)]
	m.next++
	r := Request{Route: route}
	if m.chance(0.06) {
		return m.garbage(r)
	}
	method := route.Method
	if m.chance(0.15) {
		method = m.of(methods)
	}
	target := m.path(route.Pattern)
	if m.chance(0.5) {
		target += "?" + m.form()
	}
	if m.chance(0.9) { // else the line of the request is broken as well
		target = strings.Map(func(r rune) rune {
			if r <= ' ' || r == 0x7f {
				return '+'
			}
			return r
		}, target)
	}
	kind, body := m.of(kinds), ""
	switch {
	case strings.HasPrefix(kind, "multipart/") && m.chance(0.9):
		body = m.parts()
	case strings.Contains(kind, "json") && m.chance(0.9):
		body = m.json()
	default:
		body = m.form()
	}
	host := m.host
	if m.chance(0.05) {
		host = m.of([]string{"", "evil.example", "localhost:99999", "[::1", "127.0.0.1:x", strings.Repeat("h", 300), "a b"})
	}
	head := method + " " + target + " HTTP/1.1\r\nHost: " + host + "\r\n" + m.headers()
	if m.chance(0.9) {
		head += "Content-Type: " + kind + "\r\n"
	}
	r.What = fmt.Sprintf("%.40q, %d bytes as %.40q", method, len(body), kind)
	switch m.IntN(12) {
	case 0:
		r.What, r.Half = r.What+", more announced", true
		head += fmt.Sprintf("Content-Length: %d\r\n\r\n", len(body)+1+m.IntN(5000))
	case 1:
		r.What, r.Half = r.What+", odd chunks", true
		head += "Transfer-Encoding: chunked\r\n\r\n"
		body = m.of([]string{fmt.Sprintf("%x\r\n%s\r\n", len(body), body), "ffffffffffffffff\r\n", "-1\r\n\r\n", "5;a=b\r\nhello\r\n0\r\n\r\n", "zz\r\n", "0\r\nX: y\r\n\r\n", "5\r\nhel", "\r\n"})
	case 2:
		r.What, r.Foreign = r.What+", two lengths", true
		head += fmt.Sprintf("Content-Length: %d\r\nContent-Length: %d\r\n\r\n", len(body), len(body)+m.IntN(3))
	case 3:
		r.What, r.Half, r.Foreign = r.What+", chunked and a length", true, true
		head += fmt.Sprintf("Content-Length: %d\r\nTransfer-Encoding: %s\r\n\r\n", len(body), m.of([]string{"chunked", "gzip, chunked", "identity", "x"}))
	default:
		head += fmt.Sprintf("Content-Length: %d\r\n\r\n", len(body))
	}
	r.Bytes = []byte(head + body)
	return r
}

// garbage makes what is hardly HTTP.
func (m *Maker) garbage(r Request) Request {
	r.Half, r.Foreign = true, true
	noise := make([]byte, m.IntN(3000))
	for i := range noise {
		noise[i] = byte(m.Uint32())
	}
	made := []struct{ what, text string }{
		{"noise", string(noise)},
		{"the hello of TLS", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + string(noise)},
		{"the preface of HTTP/2", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n" + string(noise)},
		{"another version", "GET " + r.Route.Pattern + " HTTP/" + m.of([]string{"0.9", "1.2", "2.0", "9.9", "x", "1.1.1"}) + "\r\nHost: " + m.host + "\r\n\r\n"},
		{"no version", "GET /\r\n\r\n"},
		{"half a head", "POST " + r.Route.Pattern + " HTTP/1.1\r\nHost: " + m.host + "\r\nContent-"},
		{"a huge head", "GET / HTTP/1.1\r\nHost: " + m.host + "\r\n" + strings.Repeat("X-Long: "+strings.Repeat("v", 1000)+"\r\n", 100) + "\r\n"},
		{"a huge line", "GET /" + strings.Repeat("a", 200_000) + " HTTP/1.1\r\nHost: " + m.host + "\r\n\r\n"},
		{"a folded head", "GET / HTTP/1.1\r\nHost: " + m.host + "\r\nA: b\r\n c\r\n\r\n"},
		{"blanks in a head", "GET / HTTP/1.1\r\nHost : " + m.host + "\r\n\r\n"},
		{"nothing but ends of lines", strings.Repeat("\r\n", 500)},
		{"two requests, the first broken", "POST " + r.Route.Pattern + " HTTP/1.1\r\nHost: " + m.host + "\r\nContent-Length: 3\r\n\r\nGET / HTTP/1.1\r\nHost: " + m.host + "\r\n\r\n"},
	}
	pick := made[m.IntN(len(made))]
	r.What, r.Bytes = pick.what, []byte(pick.text)
	return r
}
