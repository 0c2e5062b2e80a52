package web

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"solander/book"
	"solander/intake"
	"solander/intake/kept"
	"solander/internal/browsertest"
	"solander/movein"
	"solander/web/page"
)

// herBook is what the artist pastes: one print that was posted, one that is half paid, and a total.
const herBook = `Date,Who,Address,Picture,Size,No.,Price,Paid,State,Sent on,Remarks
3/14/2025,Edda Quill,"12 Oak Street, Denver, CO 80202",Reeds,12 x 16 in,17/80,95.00,95.00,posted,3/18/2025,
4/2/2026,Odo Marsh,"9 Elm Street, Denver, CO 80202",Reeds,12 x 16 in,18/80,110.00,,waits,,"half paid, 55 still due"
Total,,,,,,205.00,95.00,,,
`

// upload sends a file as a browser does.
func (s *site) upload(name string, body []byte) answer {
	s.t.Helper()
	return s.uploadTo("/intake", name, body)
}

// uploadTo sends a file with the fields of a form.
func (s *site) uploadTo(path, name string, body []byte, fields ...string) answer {
	s.t.Helper()
	return s.sendFile(path, "file", name, body, fields...)
}

// sendFile sends a file in a field of any name.
func (s *site) sendFile(path, field, name string, body []byte, fields ...string) answer {
	s.t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	part, err := w.CreateFormFile(field, name)
	s.must(err)
	_, err = part.Write(body)
	s.must(err)
	for i := 0; i+1 < len(fields); i += 2 {
		s.must(w.WriteField(fields[i], fields[i+1]))
	}
	s.must(w.WriteField("once", page.NewOnce()))
	s.must(w.Close())
	r := httptest.NewRequest("POST", "http://localhost"+path, &b)
	r.Header.Set("Content-Type", w.FormDataContentType())
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return s.send(r)
}

func TestUpload(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	book, err := os.ReadFile("../intake/xlsx/testdata/sales.xlsx")
	s.must(err)
	p := s.leads(s.upload("sales.xlsx", book), "/intake/1")
	p.has(".hers tbody", "Edda Quill")
	if n := len(p.find(".hers td.of-C6EFCE")); n < 3 {
		t.Errorf("%d cells are in her green", n)
	}
	p.has(".strips", "pale green")
	link := attr(p.one("main link[rel=stylesheet]"), "href")
	css := s.get(link).is(200)
	if !strings.Contains(string(css.body), ".of-C6EFCE { background: #C6EFCE; color: #000000;") {
		t.Errorf("%s: %.300s", link, css.body)
	}
	s.upload("a.csv", nil).is(422).has(".faults", "No file was chosen")
	s.upload("a.csv", bytes.Repeat([]byte("x"), movein.MaxFile+1)).is(413).has(".faults", "24 MB")
	s.upload("a.csv", bytes.Repeat([]byte("x"), movein.MaxFile+MaxBody+1)).is(413)
	broken := s.upload("a.xlsx", []byte("PK\x03\x04 no workbook"))
	s.get(broken.location).is(422).has(".faults", "no workbook")
	s.leads(s.post(broken.location+"/drop"), "/intake")
}

// TestColours holds that the style sheet of colours takes colours alone, and no more of them than a page shows.
func TestColours(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, bad := range []string{"", "zz", "C6EFCE,}body{", strings.Repeat("C6EFCE,", 256) + "C6EFCE"} {
		if got := s.get("/intake/colours.css?of=" + bad); got.status < 400 {
			t.Errorf("%.40q: status %d", bad, got.status)
		}
	}
}

// moveIn brings her rows in by clicking, from the paste to the result. look is called on every page.
func moveIn(t *testing.T, p *browsertest.Page, base string, look func(name string)) {
	t.Helper()
	lead := func(selector, text string) {
		t.Helper()
		if status := p.ClickTo(selector); status != 200 {
			t.Fatalf("%s: status %d: %.800s", selector, status, p.Text("#matter"))
		}
		if got := p.Text("#matter"); !strings.Contains(got, text) {
			t.Fatalf("%s does not lead to %q but to %s: %.1200s", selector, text, p.URL(), got)
		}
	}
	p.Go(base + "/orders")
	lead(".title a[href='/intake']", "Bring in a file")
	look("intake")
	browsertest.Eval[bool](p, fmt.Sprintf(`(document.querySelector("#arrive-rows").value = %q, true)`, herBook))
	lead("#matter button.main", "Say what each column is")
	look("reading")
	p.Fill("#reading-outlet", "In person")
	choose(p, "#reading-days", "April 6")
	choose(p, "#reading-several", "of all")
	choose(p, "#reading-word0", "sent")
	choose(p, "#reading-word1", "sold, still")
	lead("#matter button.main", "What it would make")
	look("trial")
	if got := p.Text("#sum"); !strings.Contains(got, "No order is ready") {
		t.Errorf("something is ready before she confirmed the limit: %s", got)
	}
	key := browsertest.Eval[string](p, `document.querySelector("input[name^='limit-of.']").name.slice("limit-of.".length)`)
	choose(p, "#answers-a-declare-"+key+"-paper", "cotton rag")
	choose(p, "#answers-a-declare-"+key+"-grade", "fine")
	p.Click("#answers-a-declare-" + key + "-confirm")
	browsertest.Eval[bool](p, `(() => { for (const li of document.querySelectorAll(".notes li")) if (li.textContent.includes("still owed")) li.querySelector("input[value=yes]").click(); return true })()`)
	lead("#editions button", "Your answers were saved")
	if got := p.Text("#sum"); !strings.Contains(got, "Bring in 2 orders") {
		t.Fatalf("the trial says: %s\n%s", got, p.Text("#matter"))
	}
	look("trial-ready")
	lead("#sum button.main", "The file was brought in")
	look("broughtin")
}

func TestMoveInWithoutJavaScript(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p, base := s.open()
	p.Script(false)
	moveIn(t, p, base, func(string) {})
	all, err := movein.Intakes(s.ctx(), s.studio)
	s.must(err)
	if len(all) != 1 || all[0].Made.Orders != 2 || all[0].Made.Open != 1 {
		t.Fatalf("%+v", all)
	}
	saved, err := movein.Mappings(s.ctx(), s.studio)
	s.must(err)
	if len(saved) != 1 {
		t.Errorf("%d readings are kept", len(saved))
	}
	v, err := book.OrderByMark(s.ctx(), s.studio, "S-1002")
	s.must(err)
	if v.BuyerData.Name != "Odo Marsh" || v.Owed.Minor != 5500 {
		t.Errorf("%s owes %s", v.BuyerData.Name, v.Owed)
	}
	p.Go(base + "/orders/S-1002")
	if got := p.Text("#origin"); !strings.Contains(got, "half paid, 55 still due") || !strings.Contains(got, "row 3") {
		t.Errorf("the order does not show its row: %s", got)
	}
	p.Go(base + "/intakes/1")
	p.Fill("#undo-reason", "the wrong year")
	p.ClickTo("#undo button.main")
	if got := p.Text("#matter"); !strings.Contains(got, "Taken back") {
		t.Errorf("%s", got)
	}
	p.Go(base + "/orders")
	if got := p.Text("#matter"); strings.Contains(got, "S-1002") {
		t.Error("an order that was taken back is in the list")
	}
}

// TestMoveInPages looks at every page of the way: no rule of accessibility broken, nothing to scroll sideways.
// Pictures go to SOLANDER_SHOTS when it names a folder.
func TestMoveInPages(t *testing.T) {
	t.Parallel()
	for _, size := range []string{"desk", "phone"} {
		t.Run(size, func(t *testing.T) {
			s := newSite(t)
			p, base := s.open()
			if size == "phone" {
				p.Phone()
			}
			look := func(name string) { fits(t, p, "movein-"+name, size) }
			moveIn(t, p, base, look)
			saved, err := movein.Mappings(s.ctx(), s.studio)
			s.must(err)
			if len(saved) != 1 || saved[0].Several != "all" || saved[0].Days != intake.MonthDay {
				t.Errorf("what she chose is not in the mappings: %+v", saved)
			}
			book, err := os.ReadFile("../intake/xlsx/testdata/sales.xlsx")
			s.must(err)
			a, err := movein.Arrive(s.ctx(), s.studio, movein.ArriveIn{Name: "sales.xlsx", Body: book})
			s.must(err)
			p.Go(fmt.Sprintf("%s/intake/%d", base, a.ID))
			look("colours")
			p.Dark(true)
			p.Go(fmt.Sprintf("%s/intake/%d", base, a.ID))
			look("colours-dark")
			p.Dark(false)
			p.Go(base + "/intake")
			look("intake-full")
			p.Go(base + "/orders/S-1001")
			look("origin")
		})
	}
}

// TestFilesLeftAsideStandOnTheBench holds that a file of a watched folder that waits is told where she looks first.
func TestFilesLeftAsideStandOnTheBench(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.get("/").hasNot("#files")
	_, err := movein.Arrive(s.ctx(), s.studio, movein.ArriveIn{Name: "fair.csv", Body: []byte(herBook), Source: kept.FromFolder, Note: "left aside: 1 thing in the file must be looked at first"})
	s.must(err)
	p := s.get("/")
	p.has("#files .what", "fair.csv")
	p.has("#files .why", "left aside")
	s.get(attr(p.one("#files a"), "href")).is(200).has("h1", "What fair.csv says")
}
