package almanac

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"solander/calendar"
	"solander/order"
)

// What is written is read by an independent program, ical.js of npm, as what was meant.
func TestAnotherProgramReadsIt(t *testing.T) {
	if _, err := exec.LookPath("node"); err != nil {
		t.Fatal("node is not installed: no independent reader")
	}
	if _, err := os.Stat("../tools/web/node_modules/ical.js"); err != nil {
		t.Fatal("ical.js is not installed (scripts/install-test-tools.sh): no independent reader")
	}
	long := strings.Repeat("Großer Löffler über dem Röhricht, 17/250; ", 5) + `back\slash`
	var in struct {
		Calendar string `json:"calendar"`
		Cards    string `json:"cards"`
	}
	var b strings.Builder
	now := time.Date(2026, 4, 1, 9, 30, 0, 0, time.UTC)
	if err := Promises(&b, "Larkfold", now, []Promise{{"a@x", calendar.Date(2026, 4, 14), long, "one\ntwo, three; four"}, {"b@x", calendar.Date(2028, 2, 29), "short", ""}}); err != nil {
		t.Fatal(err)
	}
	in.Calendar = b.String()
	b.Reset()
	to := order.Address{Line1: "9 Quay; rear, left", City: "Köln", Postcode: "50667", Country: "DE"}
	if err := Cards(&b, []Card{{Name: long, Email: "z@example.org", Phone: "+49 30 1", To: to}, {Name: "字, 字"}}); err != nil {
		t.Fatal(err)
	}
	in.Cards = b.String()
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	command := exec.CommandContext(t.Context(), "node", "../tools/web/almanac.js")
	command.Stdin, command.Stderr = bytes.NewReader(text), os.Stderr
	answer, err := command.Output()
	if err != nil {
		t.Fatal(err)
	}
	var got, want any
	if err := json.Unmarshal(answer, &got); err != nil {
		t.Fatalf("%v: %.300s", err, answer)
	}
	quoted, _ := json.Marshal(long)
	if err := json.Unmarshal([]byte(strings.ReplaceAll(`{"events": [
		{"uid": "a@x", "stamp": "2026-04-01T09:30:00Z", "day": "2026-04-14", "whole": true, "summary": LONG, "detail": "one\ntwo, three; four"},
		{"uid": "b@x", "stamp": "2026-04-01T09:30:00Z", "day": "2028-02-29", "whole": true, "summary": "short", "detail": null}],
	"cards": [
		{"version": "4.0", "name": LONG, "email": "z@example.org", "phone": "+49 30 1", "address": ["", "", "9 Quay; rear, left", "Köln", "", "50667", "Germany"]},
		{"version": "4.0", "name": "字, 字", "email": "", "phone": "", "address": []}]}`, "LONG", string(quoted))), &want); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
