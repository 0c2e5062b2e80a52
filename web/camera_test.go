package web

import (
	"strings"
	"testing"

	"solander/internal/browsertest"
)

// Where the browser has no detector of its own (headless Chromium on Linux has none) this one stands in for it: it sees the frames of the
// camera, and once they are there it reads in them what the test holds before it. What is not tested is the detector itself.
const aDetector = `window.BarcodeDetector = class {
  static getSupportedFormats() { return Promise.resolve(["code_128", "ean_13", "qr_code"]); }
  constructor(o) { window.asked = o.formats.join(); }
  detect(video) {
    window.looks = (window.looks || 0) + 1;
    var c = document.createElement("canvas"); c.width = video.videoWidth; c.height = video.videoHeight;
    if (!c.width) { return Promise.reject(new DOMException("no frame", "InvalidStateError")); }
    c.getContext("2d").drawImage(video, 0, 0);
    var light = c.getContext("2d").getImageData(0, 0, c.width, c.height).data.some(function (v, i) { return i % 4 < 3 && v > 0; });
    var held = light && localStorage.getItem("held");
    return Promise.resolve(held ? [{ rawValue: held + (window.looks === 2 ? "?" : "") }] : []);
  }
};`

// On a phone: the mark of a slip is seen, its parcel shown, and the camera is on for the tracking number; no other page may use it.
func TestScanWithTheCamera(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	for path, want := range map[string]string{"/scan": asksToSee, "/": asksNothing, "/till": asksNothing} {
		if got := s.get(path).is(200).header.Get("Permissions-Policy"); got != want {
			t.Errorf("%s: %s", path, got)
		}
	}
	row := strings.Split(string(s.get("/postage/plain.csv").is(200).body), "\r\n")[1]
	mark, _, _ := strings.Cut(row, ",")
	p, base := s.open()
	p.Before(aDetector)
	p.Phone()
	p.Go(base + "/scan")
	hold := func(code string) {
		t.Helper()
		browsertest.Eval[bool](p, `(localStorage.setItem("held", "`+code+`"), true)`)
	}
	hold("")
	p.Click("#camera button")
	p.Wait("#camera video:not([hidden])")
	if !browsertest.Eval[bool](p, `new Promise(r => { const look = () => window.looks > 2 ? r(true) : setTimeout(look, 20); look() })`) {
		t.Error("nothing is looked at")
	}
	if got := browsertest.Eval[string](p, `window.asked`); got != "code_128,qr_code" {
		t.Errorf("it looks for %s", got)
	}
	p.MustBeAccessible()
	inPicture(p, "camera-phone")
	hold(mark)
	p.Wait("#scan-tracking")
	p.Wait("#camera video:not([hidden])") // still on, for the next code
	hold("RB473124829US")
	p.Wait(".scanned[role=status]")
	if !strings.Contains(p.Text(".scanned"), "RB473124829US on "+mark) {
		t.Errorf("noted is: %s", p.Text(".scanned"))
	}
	if !browsertest.Eval[bool](p, `new Promise(r => { const from = window.looks || 0, look = () => window.looks > from + 4 ? r(true) : setTimeout(look, 20); look() })`) || p.Count("#scan-code") != 1 {
		t.Errorf("the number that was noted is still in sight, and was read as a mark: %s", p.Text("#matter"))
	}
	p.Click("#camera button")
	if browsertest.Eval[bool](p, `document.querySelector("video").srcObject.getTracks().some(t => t.readyState === "live")`) || p.Count("#camera video[hidden]") != 1 {
		t.Error("the camera is still on")
	}
	for _, m := range p.Messages() {
		t.Errorf("the console says: %s", m)
	}
}

// Without a detector the page says so on a phone, and a mark is typed; without a script nothing is said of a camera.
func TestScanWithoutADetector(t *testing.T) {
	t.Parallel()
	s := furnished(t)
	p, base := s.open()
	p.Before(`delete window.BarcodeDetector`)
	p.Phone()
	p.Go(base + "/scan")
	p.Wait("#camera:not([hidden])")
	if !strings.Contains(p.Text("#camera"), "Type what stands below the bars") || p.Count("#camera button:not([hidden])") != 0 {
		t.Errorf("the page says: %s", p.Text("#camera"))
	}
	p.Script(false)
	p.Go(base + "/scan")
	if p.Count("#camera[hidden]") != 1 || p.Count("#scan-code") != 1 {
		t.Error("without a script a camera is offered")
	}
}
