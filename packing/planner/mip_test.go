package planner_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"solander/internal/brute"
	"solander/packing"
	"solander/packing/planner"
)

var updateOptima = flag.Bool("update-optima", false, "write the optima of the mixed-integer programs anew")

const optimaFile = "testdata/optima.json"

// heldCost is what holding an order costs in a program: more than any plan.
const heldCost = 10_000_000

// program writes the split of all orders as a mixed-integer program in LP format: a variable for every parcel
// that may be chosen and one for every order that may be held, a row for every group of sheets and for every
// item with a stock.
func program(p packing.Problem) string {
	orders, stocks := planner.Columns(&p), planner.Stocks(&p)
	var cost, bounds, names []string
	groups, items := map[string][]string{}, make([][]string, len(stocks))
	limit := map[string]int{}
	var rows []string
	for o, order := range orders {
		held := fmt.Sprintf("h%d", o)
		names = append(names, held)
		cost = append(cost, fmt.Sprintf("%d %s", heldCost, held))
		bounds = append(bounds, held+" <= 1")
		for g, c := range order.Counts {
			row := fmt.Sprintf("o%dg%d", o, g)
			rows = append(rows, row)
			limit[row] = c
			groups[row] = append(groups[row], fmt.Sprintf("%d %s", c, held))
		}
		for i, column := range order.Columns {
			name := fmt.Sprintf("x%d_%d", o, i)
			names = append(names, name)
			cost = append(cost, fmt.Sprintf("%d %s", column.Cost, name))
			bounds = append(bounds, fmt.Sprintf("%s <= %d", name, slices.Max(order.Counts)))
			for g, n := range column.Set {
				if n > 0 {
					row := fmt.Sprintf("o%dg%d", o, g)
					groups[row] = append(groups[row], fmt.Sprintf("%d %s", n, name))
				}
			}
			for s, n := range column.Use {
				if n > 0 {
					items[s] = append(items[s], fmt.Sprintf("%d %s", n, name))
				}
			}
		}
	}
	var b strings.Builder
	line := func(name string, terms []string, end string) {
		fmt.Fprintf(&b, " %s: %s %s\n", name, strings.Join(terms, "\n + "), end)
	}
	b.WriteString("Minimize\n")
	line("cost", cost, "")
	b.WriteString("Subject To\n")
	for _, row := range rows {
		line(row, groups[row], fmt.Sprintf("= %d", limit[row]))
	}
	for s, terms := range items {
		if len(terms) > 0 {
			line(fmt.Sprintf("s%d", s), terms, fmt.Sprintf("<= %d", stocks[s]))
		}
	}
	fmt.Fprintf(&b, "Bounds\n %s\nGeneral\n %s\nEnd\n", strings.Join(bounds, "\n "), strings.Join(names, "\n "))
	return b.String()
}

// mipProblems are orders of up to twelve sheets, and days with scarce packaging.
func mipProblems() map[string]packing.Problem {
	out := map[string]packing.Problem{
		"twelve kinds": gallery(12), "four of each": copies(3, 3, 3, 3), "two kinds of six": copies(6, 6), "one kind of twelve": copies(12),
		"eight scarce orders": scarce(8), "sixteen scarce orders": scarce(16), "forty scarce orders": scarce(40),
	}
	for n := 5; n <= 11; n += 2 {
		out[fmt.Sprintf("%d kinds", n)] = gallery(n)
	}
	for seed := range uint64(48) {
		out[fmt.Sprintf("random %03d", seed)] = brute.Apart(200_000 + seed)
	}
	return out
}

// solveMIP has the programs solved by the independent solver, each with and without presolve; false when it is
// not installed here.
func solveMIP(t testing.TB, programs map[string]string) (map[string]int64, bool) {
	t.Helper()
	var answers map[string][]float64
	if !runMIP(t, "mip.js", programs, &answers) {
		return nil, false
	}
	out := map[string]int64{}
	for name, a := range answers {
		if len(a) != 2 || math.Round(a[0]) != math.Round(a[1]) {
			t.Errorf("%s: %v with and without presolve", name, a)
			continue
		}
		out[name] = int64(math.Round(a[0]))
	}
	return out, true
}

// runMIP hands programs to a script of the independent solver; false when it is not installed here.
func runMIP(t testing.TB, script string, programs map[string]string, answers any) bool {
	t.Helper()
	if _, err := exec.LookPath("node"); err != nil {
		return false
	}
	if _, err := os.Stat("../../tools/web/node_modules/highs"); err != nil {
		return false
	}
	in, err := json.Marshal(programs)
	if err != nil {
		t.Fatal(err)
	}
	command := exec.CommandContext(t.Context(), "node", "../../tools/web/"+script)
	command.Stdin, command.Stderr = bytes.NewReader(in), os.Stderr
	text, err := command.Output()
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, answers); err != nil {
		t.Fatalf("%v: %.300s", err, text)
	}
	return true
}

// timedMIP is the optimum of a program and how many milliseconds it takes, by each of two models.
func timedMIP(t testing.TB, program string) (map[string][2]float64, bool) {
	t.Helper()
	var answers map[string]map[string][2]float64
	there := runMIP(t, "mipspeed.js", map[string]string{"": program}, &answers)
	return answers[""], there
}

// The planner's sums are those of the independent solver: as it found them once, kept in a file, and as it finds
// them now, where it is installed.
func TestAgainstMIP(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	problems := mipProblems()
	programs := map[string]string{}
	for name, p := range problems {
		programs[name] = program(p)
	}
	now, there := solveMIP(t, programs)
	if *updateOptima {
		if !there {
			t.Fatal("the solver is not installed: make test installs it")
		}
		text, err := json.MarshalIndent(now, "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(optimaFile, append(text, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(optimaFile)
	if err != nil {
		t.Fatal(err)
	}
	var kept map[string]int64
	if err := json.Unmarshal(text, &kept); err != nil {
		t.Fatal(err)
	}
	if len(kept) != len(problems) {
		t.Fatalf("%d optima are kept for %d problems", len(kept), len(problems))
	}
	for name, p := range problems {
		got := plan(t, p)
		sum := got.Total + int64(got.Held)*heldCost
		if sum != kept[name] {
			t.Errorf("%s: %d and %d held; kept is %d", name, got.Total, got.Held, kept[name])
		}
		if there && now[name] != kept[name] {
			t.Errorf("%s: the solver now finds %d, kept is %d", name, now[name], kept[name])
		}
	}
	if !there {
		t.Log("the solver is not installed here: compared with the optima kept")
	}
}
