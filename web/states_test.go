package web

import (
	"image/color"
	"strings"
	"testing"

	"solander/gallery"
	"solander/internal/browsertest"
)

// Pages in the states that work leaves them in: after a fault in a form, after a deed and after it was taken back, after a file that
// was refused.
func TestStatesOfPagesInTheBrowser(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	_, err := gallery.Put(s.ctx(), s.studio, 1, aPicture(t, 300, 400, color.Gray{120}), "a heron")
	s.must(err)
	p, base := s.open()
	send := func(path, button string, status int, fields ...string) {
		t.Helper()
		p.Go(base + path)
		for i := 0; i < len(fields); i += 2 {
			browsertest.Eval[bool](p, `(() => { const e = document.querySelector("`+fields[i]+`"); e.closest("details")?.setAttribute("open", ""); e.value = "`+fields[i+1]+`"; return true })()`)
		}
		browsertest.Eval[bool](p, `(() => { const e = document.querySelector("`+button+`"); for (let d = e.closest("details"); d; d = d.parentElement.closest("details")) d.open = true; e.form.noValidate = true; return true })()`)
		if got := p.ClickTo(button); got != status {
			t.Fatalf("%s, %s: status %d, not %d: %.300s", path, button, got, status, p.Text("#matter"))
		}
	}
	for _, x := range []struct {
		name, path, button string
		fields             []string
	}{
		{"sale-refused", "/orders/new", "#matter button.main", []string{"#sale-lines-0--price", "much"}},
		{"bench-refused", "/", "#money button", []string{"#money input[name=amount]", "abc"}},
		{"price-refused", "/editions/1", "form[action='/editions/1/price'] button", []string{"form[action='/editions/1/price'] input[name=price]", "abc"}},
		{"count-refused", "/drawer/1", "form[action='/drawer/1/count'] button", []string{"form[action='/drawer/1/count'] input[name=counted]", "-3"}},
		{"item-refused", "/shelf/1", "form[action='/shelf/1'] button", []string{"form[action='/shelf/1'] input[type=text]", ""}},
		{"outlet-refused", "/studio/outlets/new", "#matter button.main", nil},
		{"wrap-refused", "/studio/wrap", "#matter button.main", nil},
		{"label-refused", "/", "#label button", []string{"#label input[name=paid]", "abc"}},
	} {
		send(x.path, x.button, 422, x.fields...)
		if p.Count(".wrong, #faults") == 0 {
			t.Errorf("%s tells no fault", x.name)
		}
		looked(t, p, x.name)
	}
	p.Go(base + "/works/1")
	browsertest.Eval[bool](p, `(() => { const e = document.querySelector("#picture input[type=file]"), d = new DataTransfer();
		d.items.add(new File(["<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>"], "heron.svg", {type: "image/svg+xml"}));
		e.closest("details")?.setAttribute("open", ""); e.files = d.files; return true })()`)
	if got := p.ClickTo("form[action='/works/1/picture'] button"); got != 422 {
		t.Fatalf("the upload of a drawing: status %d: %.300s", got, p.Text("#matter"))
	}
	looked(t, p, "upload-refused")
	send("/", "#money button", 200)
	if got := p.Text(".said"); !strings.Contains(got, "paid") {
		t.Fatalf("after the payment it says %q", got)
	}
	looked(t, p, "bench-after-a-deed")
	if got := p.ClickTo(".said button"); got != 200 {
		t.Fatalf("undo: status %d: %.300s", got, p.Text("#matter"))
	}
	if got := p.Text(".said"); !strings.Contains(got, "back") {
		t.Errorf("after the undo it says %q", got)
	}
	looked(t, p, "bench-after-an-undo")
}
