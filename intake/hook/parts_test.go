package hook_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"solander/intake/hook"
)

func TestSourcesTakenApart(t *testing.T) {
	for text, want := range map[string]hook.Parts{
		"": {}, "/a": {First: "/a"}, "US": {Before: "US"}, "T-{/sale/no}": {Before: "T-", First: "/sale/no"}, "{/a} {/b}": {First: "/a", Second: "/b"},
		"To {/a} {/b}": {Before: "To ", First: "/a", Second: "/b"}, "{{x}}": {Before: "{x}"}, "{/a~1b}": {First: "/a~1b"},
	} {
		if got, ok := hook.PartsOf(text); !ok || got != want {
			t.Errorf("%q is %+v, %v; want %+v", text, got, ok, want)
		}
	}
	for _, text := range []string{"{/a}{/b}", "{/a}, {/b}", "{/a} {/b} {/c}", "{/a} x", "{/a} ", "{", "/~2"} {
		if got, ok := hook.PartsOf(text); ok {
			t.Errorf("%q is taken apart into %+v", text, got)
		}
	}
}

// What is put together is taken apart as it was, and only what says what was chosen is put together.
func TestSourcesPutTogether(t *testing.T) {
	at := rapid.SampledFrom([]string{"", "/a", "/a/b", "/x~1y", "/0", "/{", "/a}b", "/ "})
	rapid.Check(t, func(t *rapid.T) {
		p := hook.Parts{Before: rapid.StringMatching(`[ a/{}-]{0,4}`).Draw(t, "before"), First: at.Draw(t, "first"), Second: at.Draw(t, "second")}
		text, err := p.Source()
		if err != nil {
			return
		}
		if p.First == "" {
			p.First, p.Second = p.Second, ""
		}
		if got, ok := hook.PartsOf(text); !ok || got != p {
			t.Fatalf("%+v is %q, which is %+v, %v", p, text, got, ok)
		}
	})
}

func TestValuesOfAMessage(t *testing.T) {
	got, err := hook.Values([]byte(`{"who": {"first": " Ada "}, "n": 2.50, "gone": null, "items": [{"code": "HD", "sent": false}, 7]}`))
	if err != nil {
		t.Fatal(err)
	}
	want := []hook.Value{
		{At: "/gone", Name: "gone", Kind: hook.KindNone},
		{At: "/items", Name: "items", Kind: hook.KindList, Count: 2},
		{At: "/items/0", Name: "0", Depth: 1, Kind: hook.KindObject, Count: 2},
		{At: "/items/0/code", Name: "code", Depth: 2, Kind: hook.KindText, Text: "HD"},
		{At: "/items/0/sent", Name: "sent", Depth: 2, Kind: hook.KindText, Text: "false"},
		{At: "/items/1", Name: "1", Depth: 1, Kind: hook.KindText, Text: "7"},
		{At: "/n", Name: "n", Kind: hook.KindText, Text: "2.50"},
		{At: "/who", Name: "who", Kind: hook.KindObject, Count: 1},
		{At: "/who/first", Name: "first", Depth: 1, Kind: hook.KindText, Text: "Ada"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if _, err := hook.Values([]byte(`{"a": `)); err == nil {
		t.Error("a broken message is told")
	}
}
