// Package check re-verifies and re-prices a plan from the raw problem, so that a plan need not be
// believed. It is written from docs/formats (problem.md, physics.md, tariff.md, plan.md) alone and shares
// no solving and no pricing code with the planner or the tariff engine: of both it knows the types only,
// and an error in either shows here as a finding.
//
// Units are those of the formats: nm, ng, µm³, minor units, civil days. Nothing is a float; products
// that outgrow 64 bits are math/big.
//
// What it proves: that each order is sent whole or held; that every parcel can be packed, may be sent as
// it says, costs what it says and arrives when it says; that stock, sums, warnings and the order of the
// lists are right; that each rejected option breaks the rule named for it. What it cannot prove: that no
// cheaper plan exists, that a held order could not have gone, that a bound is a bound (only that it is
// not contradicted), and that the list of rejected options is complete.
package check

import (
	"fmt"

	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// Plan returns nil when the plan is right for the problem, else every finding, joined: each an Invalid
// fault with the plan's JSON path in Field, and the rule with the numbers expected and found in What.
// The problem must be one that its reader accepts; a plan may be anything.
func Plan(problem packing.Problem, plan packing.Plan) error {
	a := audit{problem: &problem, plan: &plan, reckoner: NewReckoner(&problem)}
	a.header()
	a.parcels()
	a.orders()
	a.totals()
	a.stock()
	a.warnings()
	a.rejected()
	return a.found.Err()
}

// audit is one plan under examination.
type audit struct {
	problem  *packing.Problem
	plan     *packing.Plan
	reckoner *Reckoner
	found    fault.List
}

// finding notes that a rule does not hold at a path of the plan.
func (a *audit) finding(path, rule, what string, args ...any) {
	a.found.Add(fault.Invalidf(path, "%s: %s", rule, fmt.Sprintf(what, args...)).At("%s", path))
}

// same notes a finding unless the plan states what was reckoned.
func same[T comparable](a *audit, path, rule string, expected, found T) {
	if expected == found {
		return
	}
	format := "expected %v, found %v"
	switch any(expected).(type) {
	case measure.Mass, tariff.Size, packing.RollPlan: // in ng and nm, exactly
		format = "expected %d, found %d"
	}
	a.finding(path, rule, format, expected, found)
}

func (a *audit) header() {
	same(a, "format", "plan.format", packing.PlanFormat, a.plan.Format)
	same(a, "currency", "plan.currency", a.problem.Currency, a.plan.Currency)
	same(a, "day", "plan.day", a.problem.Day, a.plan.Day)
}
