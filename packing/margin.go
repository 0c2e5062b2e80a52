package packing

import (
	"math/bits"
	"strings"

	"solander/fault"
	"solander/measure"
	"solander/money"
)

// Margin is by how much a parcel may be heavier and thicker than what is written of its parts; plans hold with it.
type Margin struct {
	Grammage int          `json:"grammage,omitempty" most:"1000"` // thousandths by which a copy may weigh more than its grammage says
	Caliper  int          `json:"caliper,omitempty" most:"1000"`  // thousandths by which a copy may be thicker than its caliper
	Parcel   measure.Mass `json:"parcel,omitempty"`               // by which a whole parcel may weigh more: a step of the scale
}

// MostMargin is the largest margin, in thousandths: as much again.
const MostMargin = 1000

// Check looks at a margin of the settings or a question; at is put before the field's name. Faults: Invalid.
func (m Margin) Check(at string) error {
	var l fault.List
	share := func(field string, n int) {
		l.Check(n >= 0 && n <= MostMargin, at+field, "is no possible margin", "a share from 0 to 100 %")
	}
	share("grammage", m.Grammage)
	share("caliper", m.Caliper)
	l.Check(m.Parcel >= 0 && m.Parcel <= measure.Kilogram, at+"parcel", "is no step of a scale", "at most 1 kg; 0 when your scale is exact enough")
	return l.Err()
}

// Words say a margin: "with paper 5 % heavier and 0.1 oz of the scale".
func (m Margin) Words(u measure.System) string {
	var parts []string
	for _, x := range []struct {
		n    int
		text string
	}{{m.Grammage, "heavier"}, {m.Caliper, "thicker"}} {
		if x.n > 0 {
			parts = append(parts, "paper "+money.PerCent(int64(x.n))+" % "+x.text)
		}
	}
	if m.Parcel > 0 {
		parts = append(parts, m.Parcel.In(u)+" of the scale")
	}
	if len(parts) == 0 {
		return "without any margin"
	}
	return "with " + strings.Join(parts, " and ")
}

// Held returns the problem with the margins of its sheets put into them: every mass by grammage is given as a mass, and
// no margin is left but that of a whole parcel. Without such a margin it is the problem itself.
func (p *Problem) Held() *Problem {
	m := p.Margin
	if m.Grammage == 0 && m.Caliper == 0 {
		return p
	}
	held := *p
	held.Margin.Grammage, held.Margin.Caliper = 0, 0
	held.Orders = make([]Order, len(p.Orders))
	for i, o := range p.Orders {
		o.Sheets = make([]Sheet, len(p.Orders[i].Sheets))
		for j, s := range p.Orders[i].Sheets {
			if s.Mass == 0 {
				s.Mass, s.Grammage = measure.Mass(raised(int64(s.EachMass()), m.Grammage)), 0
			}
			s.Caliper = measure.Length(raised(int64(s.Caliper), m.Caliper))
			o.Sheets[j] = s
		}
		held.Orders[i] = o
	}
	return &held
}

// Bare is what a parcel of the problem weighs without any margin.
func (p *Problem) Bare(pc *Parcel) measure.Mass {
	mass, held := pc.Mass-p.Margin.Parcel, p.Held()
	for _, c := range pc.Contents {
		for i := range p.Orders {
			for j := range p.Orders[i].Sheets {
				if p.Orders[i].ID == c.Order && p.Orders[i].Sheets[j].ID == c.Sheet {
					mass -= measure.Mass(c.Copies) * (held.Orders[i].Sheets[j].EachMass() - p.Orders[i].Sheets[j].EachMass())
				}
			}
		}
	}
	return mass
}

// Base is what a parcel of a wrap weighs besides its sheets and layers.
func (p *Problem) Base(w *Wrap) measure.Mass { return w.Mass + p.Margin.Parcel }

// raised is n and so many thousandths more, rounded up. Source: docs/formats/problem.md, section 4.
func raised(n int64, thousandths int) int64 {
	hi, lo := bits.Mul64(uint64(n), uint64(1000+thousandths))
	lo, carry := bits.Add64(lo, 999, 0)
	q, _ := bits.Div64(hi+carry, lo, 1000)
	return int64(q)
}
