package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/leaving"
	"solander/money"
)

// Leaving is how the parcels of the list leave the house: those to pack as they are planned, those to label and to hand over; none that is held.
type Leaving struct {
	Day     calendar.Day `json:"day"`   // of the hand-over
	Trips   []Trip       `json:"trips"` // the one that ends first in front
	Stays   []Stay       `json:"stays"` // parcels that no way takes
	Cost    money.Amount `json:"cost"`
	Minutes int          `json:"minutes"`
	Free    bool         `json:"free,omitempty"` // the minutes are counted, and cost nothing: no wage is set
	Text    string       `json:"text"`           // "2 to the mailbox, 5 with the pickup before 10:30 (4.00)"
}

// Trip is one trip with its parcels.
type Trip struct {
	Way     string       `json:"way"`  // its id
	Text    string       `json:"text"` // "with the pickup before 10:30"
	CutOff  string       `json:"cut_off,omitempty"`
	Parcels int          `json:"parcels"`
	Orders  []string     `json:"orders"` // marks, each once
	Cost    money.Amount `json:"cost"`
	Minutes int          `json:"minutes"`
}

// Stay is a parcel that no way takes.
type Stay struct {
	Order   string           `json:"order"`
	Reasons []leaving.Reason `json:"reasons"` // one of each way
	Text    string           `json:"text"`
	Mend    string           `json:"mend"`
}

// Leave is by which way one parcel of a task leaves.
type Leave struct {
	Way  string `json:"way,omitempty"` // its id; "" = the parcel stays
	Text string `json:"text"`
	Trip int    `json:"-"` // place of the trip; after all when it stays
}

// leaver is one parcel that is to leave, with its task.
type leaver struct {
	task *Task
	of   leaving.Parcel
}

// leave says of every parcel of the list by which way it leaves. Without ways there is nothing to say.
func (b *maker) leave() {
	a := b.Leaving
	if len(a.Ways) == 0 {
		return
	}
	all := b.leavers()
	for _, p := range all {
		a.Parcels = append(a.Parcels, p.of)
	}
	plan := leaving.Choose(a)
	slices.SortStableFunc(plan.Trips, func(x, y leaving.Trip) int {
		return strings.Compare(cmp.Or(a.Ways[x.Way].CutOff, "~"), cmp.Or(a.Ways[y.Way].CutOff, "~"))
	})
	out := &Leaving{Day: a.Day, Trips: []Trip{}, Stays: []Stay{}, Cost: money.Of(plan.Money, a.Currency), Minutes: plan.Minutes, Free: plan.Minutes > 0 && a.Wage == 0}
	by := map[int]Leave{}
	for _, t := range plan.Trips {
		w := a.Ways[t.Way]
		trip := Trip{Way: w.ID, Text: goesBy(w) + until(w), CutOff: w.CutOff, Parcels: len(t.Parcels), Cost: money.Of(t.Money, a.Currency), Minutes: w.Minutes}
		for _, i := range t.Parcels {
			if m := all[i].task.Mark; !slices.Contains(trip.Orders, m) {
				trip.Orders = append(trip.Orders, m)
			}
			by[i] = Leave{w.ID, goesBy(w), len(out.Trips)}
		}
		out.Trips = append(out.Trips, trip)
	}
	for _, s := range plan.Staying {
		stay := Stay{Order: all[s.Parcel].task.Mark, Reasons: s.Reasons, Text: staysFor(s.Reasons), Mend: s.Mend}
		out.Stays = append(out.Stays, stay)
		by[s.Parcel] = Leave{Text: stay.Text + "; " + stay.Mend, Trip: len(plan.Trips)}
	}
	for i, p := range all {
		p.task.Leaves = append(p.task.Leaves, by[i])
	}
	out.Text = b.leavingText(out)
	b.list.Leaving = out
	handed := b.list.Groups[HandOver]
	slices.SortStableFunc(handed, func(x, y Task) int { return cmp.Compare(x.trip(), y.trip()) })
	for i := range handed {
		if len(handed[i].Leaves) > 0 && (i == 0 || handed[i].trip() != handed[i-1].trip()) {
			handed[i].Trip = out.head(handed[i].trip())
		}
	}
}

// OneTrip reports that all parcels of the list leave by the same way: what stands above their groups says it of each.
func (l List) OneTrip() bool {
	return l.Leaving != nil && len(l.Leaving.Trips) == 1 && len(l.Leaving.Stays) == 0
}

// trip is the place of the trip by which the first parcel of a task goes; what takes no trip comes last.
func (t *Task) trip() int {
	if len(t.Leaves) == 0 {
		return 1 << 30
	}
	return t.Leaves[0].Trip
}

// LeavingAt is the line of the trips above a group in which parcels stand, with how many wraps there are fewer where they are packed; "" above
// another, and when there is nothing to say.
func (l List) LeavingAt(g Group) string {
	var text string
	if l.Leaving != nil && (g == PackOrders || g == HandOver) {
		text = l.Leaving.Text
	}
	if g == PackOrders && l.SetUps != "" {
		text = strings.TrimPrefix(text+"; "+l.SetUps, "; ")
	}
	return text
}

// LeavesText says by which way the parcels of a task leave: "with the pickup".
func (t Task) LeavesText() string {
	var texts []string
	for i, l := range t.Leaves {
		text := l.Text
		if len(t.Leaves) > 1 {
			text = fmt.Sprintf("parcel %d %s", i+1, text)
		}
		texts = append(texts, text)
	}
	return strings.Join(texts, "; ")
}

// Asides are what is said beside how a parcel is packed: what it costs, by which way it leaves unless that is said of all, which others are
// built so.
func (t Task) Asides(costs string, oneTrip bool) []string {
	out := []string{costs}
	if leaves := t.LeavesText(); leaves != "" && !oneTrip {
		out = append(out, leaves)
	}
	if len(t.Alike) > 0 {
		out = append(out, AlikeText(t.Alike))
	}
	return out
}

// Stays reports that no way takes a parcel of the task.
func (t Task) Stays() bool {
	return slices.ContainsFunc(t.Leaves, func(l Leave) bool { return l.Way == "" })
}

// head is what stands above the parcels of a trip: "With the pickup before 10:30 (4.00)".
func (l *Leaving) head(trip int) string {
	if trip == len(l.Trips) {
		return "No way takes these"
	}
	t := l.Trips[trip]
	return strings.ToUpper(t.Text[:1]) + t.Text[1:] + t.price()
}

// leavers are the parcels that may leave, in working order.
func (b *maker) leavers() []leaver {
	orders := map[int64]*Order{}
	for _, o := range b.open {
		orders[o.ID] = o
	}
	var out []leaver
	for _, g := range []Group{PackOrders, LabelParcel, HandOver} {
		for i := range b.list.Groups[g] {
			t := &b.list.Groups[g][i]
			o := orders[t.Order]
			if t.Blocked != "" || o == nil {
				continue
			}
			if g == PackOrders && o.Plan != nil && o.Plan.Under == "" {
				for _, p := range o.Plan.Parcels {
					out = append(out, leaver{t, p.Leaves})
				}
			}
			for _, p := range o.Parcels {
				if g != PackOrders && p.ID == t.Parcel {
					out = append(out, leaver{t, p.Leaves})
				}
			}
		}
	}
	return out
}

// goesBy says how parcels go by a way: "with the pickup".
func goesBy(w leaving.Way) string {
	return cmp.Or(map[leaving.Kind]string{leaving.Pickup: "with ", leaving.Bin: "into "}[w.Kind], "to ") + w.Name
}

// until says by when: " before 10:30".
func until(w leaving.Way) string {
	if w.CutOff == "" {
		return ""
	}
	return " before " + w.CutOff
}

// staysFor says why a parcel stays, each reason once.
func staysFor(reasons []leaving.Reason) string {
	var texts []string
	for _, r := range reasons {
		texts = append(texts, r.Text)
	}
	return "no way takes it: " + strings.Join(texts, "; ")
}

// leavingText is the line of the day.
func (b *maker) leavingText(l *Leaving) string {
	var parts []string
	for _, t := range l.Trips {
		parts = append(parts, fmt.Sprintf("%d %s%s", t.Parcels, t.Text, t.price()))
	}
	if n := len(l.Stays); n == 1 {
		parts = append(parts, "1 stays")
	} else if n > 1 {
		parts = append(parts, fmt.Sprintf("%d stay", n))
	}
	text := strings.Join(parts, ", ")
	if text != "" && l.Day != b.Day {
		text = "On " + l.Day.Short() + ": " + text
	}
	if l.Free {
		text += "; the minutes cost nothing, as no wage is set"
	}
	return text
}

// price is what a trip costs, in brackets; "" when it is free and takes no time.
func (t Trip) price() string {
	var parts []string
	if t.Minutes > 0 {
		parts = append(parts, fmt.Sprintf("%d min", t.Minutes))
	}
	if t.Cost.Sign() > 0 {
		parts = append(parts, t.Cost.Plain())
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, ", ") + ")"
}
