package cli_test

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"testing"
	"time"

	"solander/cli"
	"solander/internal/wiring"
)

// parserWords are words of the parser of arguments and names of Go: nobody at the bench knows them.
var parserWords = regexp.MustCompile(`64 bit|\bint\b|EOL|<nil>|%!|expected "|\bunknown flag -\d|[a-z_]+\[\]|strconv|goroutine`)

// A wrong argument is told by its name, with what was typed, what is wrong, and how to mend it; what is wrong
// with several is told at once.
func TestEveryCommandNamesTheBadArgument(t *testing.T) {
	env := map[string]string{"SOLANDER_STORE": t.TempDir() + "/studio.db", "HOME": t.TempDir()}
	run := func(args ...string) (int, string) {
		var out, errs bytes.Buffer
		code := cli.Run(context.Background(), args, strings.NewReader(""), &out, &errs, wiring.Env(func(k string) string { return env[k] }, func() time.Time { return storyNow }))
		return code, errs.String()
	}
	if code, errs := run("set-up", "--file", "testdata/studio.json"); code != 0 {
		t.Fatal(errs)
	}
	if code, errs := run("sale", "--outlet", "own", "--buyer", "Ines", "--print", "heron", "--line1", "8 Quince Lane", "--city", "Pinfold", "--region", "PA", "--postcode", "19103"); code != 0 {
		t.Fatal(errs)
	}
	for line, wants := range map[string][]string{
		"pay S-1 abc":                           {"order: ", "S-1", "amount: ", "abc", "no digits"},
		"pay S-1001 abc":                        {"amount: ", "abc", "12.50"},
		"pay S-1001 -5":                         {"-5", "not negative"},
		"pay S-1001":                            {"amount: it is missing"},
		"pay S-1 abc --day soon":                {"order: ", "amount: ", "day: ", "soon"},
		"pay S-1001 5 --kind gift":              {"kind: ", "gift", "deposit, balance, refund"},
		"pay S-1001 5EUR":                       {"amount: ", "USD"},
		"find":                                  {"text: it is missing"},
		"order":                                 {"order: it is missing"},
		"order S-9":                             {"order: ", "S-9", "solander orders"},
		"orders --stage dancing":                {"stage: ", "dancing", "signing"},
		"orders --limit x":                      {"limit: ", `"x"`, "digits"},
		"bench --day 2026-02-30":                {"day: ", "2026-02-30", "2026-04-14"},
		"buyer abc":                             {"buyer: ", "abc", "solander buyers"},
		"buyer 1 --email x":                     {"email: ", `"x"`, "name@example.org"},
		"cancel S-9 --reason x --refund abc":    {"order: ", "S-9", "refund: ", "abc"},
		"take-back S-9 --reason x --refund abc": {"order: ", "S-9", "refund: ", "abc"},
		"label S-9 --paid abc --day soon":       {"S-9", "paid: ", "abc", "day: ", "soon"},
		"hand-over abc":                         {"order: ", "abc", "solander orders"},
		"sign S-1001 --line 99":                 {"line: ", "99", "solander order S-1001"},
		"drawer count heron abc":                {"sheets: ", "abc", "solander drawer count --help"},
		"drawer count heron -- -3":              {"counted: ", "-3"},
		"runs order heron 5 --lab":              {"lab: ", "nothing stands behind"},
		"runs order heron abc --lab x":          {"quantity: ", "abc", "solander runs order --help"},
		"runs receive abc 5":                    {"run: ", "abc"},
		"shelf count 1 abc":                     {"pieces: ", "abc", "solander shelf count --help"},
		"shelf restock 1 5 --unit-cost abc":     {"--unit-cost: ", "abc"},
		"renumber x 17":                         {"order: ", `"x"`},
		"renumber S-1001:9 17":                  {"order: ", "S-1001:9"},
		"declare":                               {"work: ", "--work"},
		"declare --work heron --limit x":        {"limit: ", `"x"`, "digits"},
		"declare --work nothing --width 12oz --height 1 --price abc --limit 5 --open": {"work: ", "width: ", "12oz", "price: ", "limit: ", "--open"},
		"hand-over --show soon":            {"show: ", "soon"},
		"completion tcsh":                  {"tcsh"},
		"undo abc":                         {"mark: ", "abc"},
		"boards --sheet abc --board 3x4,2": {"sheet: ", "abc", "12x16in"},
		"plan S-1001 --day x":              {"day: ", `"x"`},
		"sale --outlet own --buyer X --print heron --paid abc --placed soon": {"paid: ", "abc", "placed: ", "soon"},
	} {
		code, errs := run(strings.Fields(line)...)
		if code != 2 || !strings.Contains(errs, "\nhint: ") {
			t.Errorf("%s: exit %d, no hint in %q", line, code, errs)
		}
		for _, want := range wants {
			if !strings.Contains(errs, want) {
				t.Errorf("%s: %q does not say %q", line, errs, want)
			}
		}
		if word := parserWords.FindString(errs); word != "" {
			t.Errorf("%s: %q says %q", line, errs, word)
		}
	}
	if code, _ := run("find", "zzzz"); code != 1 {
		t.Errorf("finding nothing ends with %d", code)
	}
	if code, _ := run("find", "heron"); code != 0 {
		t.Errorf("finding something ends with %d", code)
	}
	if code, _ := run("--json", "find", "zzzz"); code != 1 {
		t.Errorf("finding nothing as JSON ends with %d", code)
	}
}
