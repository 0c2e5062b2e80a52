package cli_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/xuri/excelize/v2"

	"solander/cli"
	"solander/cli/desk"
	"solander/internal/mailtest"
	"solander/internal/wiring"
	"solander/packing"
	"solander/studio"
)

// storyNow is the instant of every story: a Tuesday on which the bundled price cards hold.
var storyNow = time.Date(2025, 11, 4, 15, 0, 0, 0, time.UTC)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"solander": solander})
}

// solander is the program of the stories: the real one, but for its clock. STORY_DAY sets another day.
func solander() {
	os.Exit(cli.Run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr, storyEnv(os.Getenv)))
}

// storyEnv is the world of a story. Its searches have time enough on a machine that is busy otherwise.
func storyEnv(get func(string) string) desk.Env {
	env := wiring.Env(get, func() time.Time {
		if d, err := time.Parse("2006-01-02", get("STORY_DAY")); err == nil {
			return d.Add(15 * time.Hour)
		}
		return storyNow
	})
	env.Times = studio.Times{Bench: time.Hour, Boards: time.Hour}
	return env
}

// stock is the packaging on the shelf of a studio that is stocked.
var stock = []string{"sleeve-12.25x16.25", "tissue-20x30", "board-13x17", "envelope-13x17", "envelope-14x18", "tube-18x3", "carton-18x14x4"}

// makeStudio makes a studio by the commands set-up and, for each of the packaging, shelf count 20, for stories to copy.
func makeStudio(t *testing.T, stock []string) string {
	t.Helper()
	place := filepath.Join(t.TempDir(), "studio.db")
	run := func(args ...string) {
		t.Helper()
		var said bytes.Buffer
		if code := cli.Run(t.Context(), append(args, "--store", place), strings.NewReader(""), &said, &said, storyEnv(func(string) string { return "" })); code != 0 {
			t.Fatalf("%q ended with %d: %s", args, code, said.String())
		}
	}
	run("set-up", "--file", "testdata/studio.json")
	for _, item := range stock {
		run("shelf", "count", item, "20")
	}
	return place
}

// copyOf makes a command that copies a studio to a place, with its register's key: begun studio.db
func copyOf(studio string) func(*testscript.TestScript, bool, []string) {
	return func(ts *testscript.TestScript, neg bool, args []string) {
		if neg || len(args) != 1 {
			ts.Fatalf("usage: begun place")
		}
		b, err := os.ReadFile(studio)
		ts.Check(err)
		ts.Check(os.WriteFile(ts.MkAbs(args[0]), b, 0o600))
		key, err := os.ReadFile(studio + "-register-key")
		ts.Check(err)
		ts.Check(os.WriteFile(ts.MkAbs(args[0])+"-register-key", key, 0o600))
	}
}

// lettersOf makes a command that looks at what the mail server took of one story, the latest last: letters 1 text
func lettersOf(box *mailtest.Box) func(*testscript.TestScript, bool, []string) {
	return func(ts *testscript.TestScript, neg bool, args []string) {
		if neg || len(args) < 1 || len(args) > 2 {
			ts.Fatalf("usage: letters number [text]")
		}
		all := box.Letters()
		if strconv.Itoa(len(all)) != args[0] || len(args) == 2 && !strings.Contains(all[len(all)-1], args[1]) {
			ts.Fatalf("the mail server took %d: %q", len(all), all)
		}
	}
}

func TestStories(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	stories, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(stories) == 0 {
		t.Fatalf("no story in testdata: nothing was tested (%v)", err)
	}
	examples, err := filepath.Abs("../docs/formats/examples")
	if err != nil {
		t.Fatal(err)
	}
	box := (&mailtest.Box{User: "ada", Password: "weir"}).Open(t)
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(env *testscript.Env) error {
			env.Setenv("HOME", env.WorkDir+"/home")
			env.Setenv("EXAMPLES", examples)
			env.Setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path="+env.WorkDir+"/no-bus") // no story asks the keyring of who runs it
			env.Setenv("MAILPORT", strconv.Itoa(box.Port))
			env.Setenv("WORKBOOK", filepath.Join(filepath.Dir(filepath.Dir(examples)), "examples", "last-year.xlsx"))
			return writeSetUp(env.WorkDir)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "fills": fills, "same": same, "pdf": isPDF, "tells": tells, "holds": holds, "keeps": keeps, "halves": halves, "workbook": workbook, "paints": paints, "letters": lettersOf(box), "balanced": balanced(t),
			"begun": copyOf(makeStudio(t, nil)), "stocked": copyOf(makeStudio(t, stock)),
		},
	})
}

// exits runs a command that must end with the code: exits 2 solander …
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits code command")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		code = exit.ExitCode()
	}
	if code != want {
		ts.Fatalf("it ended with %d, not %d", code, want)
	}
}

// fills writes a file of so many bytes of garbage: fills file bytes. The bytes are no UTF-8.
func fills(ts *testscript.TestScript, neg bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), bytes.Repeat([]byte{0xfe, '{', '"', 0}, n/4), 0o600))
}

// paints makes a picture of one grey: paints file.png width height.
func paints(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: paints file.png width height")
	}
	w, err := strconv.Atoi(args[1])
	ts.Check(err)
	h, err := strconv.Atoi(args[2])
	ts.Check(err)
	var b bytes.Buffer
	ts.Check(png.Encode(&b, image.NewGray(image.Rect(0, 0, w, h))))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b.Bytes(), 0o600))
}

// workbook makes a workbook of comma-separated texts, one for each sheet: workbook book.xlsx 'May 2025=may.csv' 'June 2025=june.csv'. Figures
// become numbers, days such as 2025-05-04 cells of days.
func workbook(ts *testscript.TestScript, neg bool, args []string) {
	f := excelize.NewFile()
	style, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	ts.Check(err)
	for i, arg := range args[1:] {
		name, file, _ := strings.Cut(arg, "=")
		_, err := f.NewSheet(name)
		ts.Check(err)
		rows, err := csv.NewReader(strings.NewReader(ts.ReadFile(file))).ReadAll()
		ts.Check(err)
		for r, row := range rows {
			for c, text := range row {
				at, err := excelize.CoordinatesToCellName(c+1, r+1)
				ts.Check(err)
				var v any = strings.ReplaceAll(text, "¶", "\n")
				if n, err := strconv.ParseFloat(text, 64); err == nil {
					v = n
				} else if d, err := time.Parse("2006-01-02", text); err == nil {
					v = d
					ts.Check(f.SetCellStyle(name, at, at, style))
				}
				ts.Check(f.SetCellValue(name, at, v))
			}
		}
		if i == 0 {
			ts.Check(f.DeleteSheet("Sheet1"))
		}
	}
	ts.Check(f.SaveAs(ts.MkAbs(args[0])))
}

// same compares two files byte by byte; backups hold no date of their own.
func same(ts *testscript.TestScript, neg bool, args []string) {
	a, b := ts.ReadFile(args[0]), ts.ReadFile(args[1])
	if (a == b) == neg {
		ts.Fatalf("%s and %s: same is %v", args[0], args[1], a == b)
	}
}

// isPDF checks that a file is a whole PDF.
func isPDF(ts *testscript.TestScript, neg bool, args []string) {
	text := ts.ReadFile(args[0])
	whole := strings.HasPrefix(text, "%PDF-") && strings.HasSuffix(strings.TrimSpace(text), "%%EOF")
	if whole == neg {
		ts.Fatalf("%s: whole PDF is %v", args[0], whole)
	}
}

// halves writes the first two thirds of a file into another one, as if the rest was cut off: halves file other
func halves(ts *testscript.TestScript, neg bool, args []string) {
	text := ts.ReadFile(args[0])
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(text[:2*len(text)/3]), 0o600))
}

// keeps gives a name to a value in the JSON of the last output: keeps KEY key
func keeps(ts *testscript.TestScript, neg bool, args []string) {
	var v map[string]any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &v))
	ts.Setenv(args[0], v[args[1]].(string))
}

// holds checks a value in the JSON of the last output by its path: holds lines.0.price.minor 12000
func holds(ts *testscript.TestScript, neg bool, args []string) {
	var v any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &v))
	for _, step := range strings.Split(args[0], ".") {
		switch x := v.(type) {
		case map[string]any:
			v = x[step]
		case []any:
			if i, err := strconv.Atoi(step); err == nil && i < len(x) {
				v = x[i]
			} else if step == "len" {
				v = float64(len(x))
			} else {
				v = nil
			}
		default:
			v = nil
		}
	}
	got, err := json.Marshal(v)
	ts.Check(err)
	if (strings.Trim(string(got), `"`) == args[1]) == neg {
		ts.Fatalf("%s is %s", args[0], got)
	}
}

// writeSetUp writes studio.json, a first studio with one work, one edition of 250 and five sheets.
func writeSetUp(dir string) error {
	b, err := os.ReadFile("testdata/studio.json")
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "studio.json"), b, 0o600); err != nil {
		return err
	}
	return writeGallery(dir)
}

// writeGallery writes gallery.json, a problem whose plan takes a while: the first order of the example of a
// day with sixteen different prints, and packaging in plenty.
func writeGallery(dir string) error {
	f, err := os.Open("../docs/formats/examples/a-day.json")
	if err != nil {
		return err
	}
	defer f.Close()
	p, err := packing.ReadProblem(f)
	if err != nil {
		return err
	}
	p.Orders = p.Orders[:1]
	one := p.Orders[0].Sheets[0]
	one.Copies, p.Orders[0].Sheets = 1, nil
	for i := range 16 {
		one.ID, one.Value = fmt.Sprintf("sheet %02d", i), int64(1000+i)
		p.Orders[0].Sheets = append(p.Orders[0].Sheets, one)
	}
	for i := range p.Shelf {
		p.Shelf[i].Stock = nil
	}
	b, err := json.Marshal(p)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "gallery.json"), b, 0o600)
}
