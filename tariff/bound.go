package tariff

import (
	"encoding/json"

	"solander/fault"
	"solander/internal/strict"
	"solander/measure"
)

// Bound limits one measure: at least Min, more than Over, at most Max, less than Under, each when given.
// As a limit of a service all must hold; as a condition of a surcharge it is met when all hold. With a
// Form it concerns that form alone: a limit is then passed by the other, a condition not met by it.
type Bound struct {
	Form    Form
	Measure Measure
	Min     *int64
	Over    *int64
	Max     *int64
	Under   *int64
}

type boundWire struct {
	Form    Form            `json:"form,omitempty"`
	Measure Measure         `json:"measure"`
	Min     json.RawMessage `json:"min,omitempty"`
	Over    json.RawMessage `json:"over,omitempty"`
	Max     json.RawMessage `json:"max,omitempty"`
	Under   json.RawMessage `json:"under,omitempty"`
}

// UnmarshalJSON reads a bound; its numbers may be texts with the unit of the measure ("108 in", "70 lb",
// "3456 in3"). Faults: Invalid.
func (b *Bound) UnmarshalJSON(data []byte) error {
	var w boundWire
	if err := strict.Decode(data, &w); err != nil {
		return err
	}
	if w.Measure.Unit() == "" {
		return unknownMeasure(w.Measure)
	}
	*b = Bound{Form: w.Form, Measure: w.Measure}
	for _, f := range []struct {
		raw json.RawMessage
		to  **int64
	}{{w.Min, &b.Min}, {w.Over, &b.Over}, {w.Max, &b.Max}, {w.Under, &b.Under}} {
		if len(f.raw) == 0 || string(f.raw) == "null" {
			continue
		}
		n, err := w.Measure.read(f.raw)
		if err != nil {
			return err
		}
		*f.to = &n
	}
	return nil
}

// MarshalJSON writes the bound with whole numbers of base units.
func (b Bound) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Form    Form    `json:"form,omitempty"`
		Measure Measure `json:"measure"`
		Min     *int64  `json:"min,omitempty"`
		Over    *int64  `json:"over,omitempty"`
		Max     *int64  `json:"max,omitempty"`
		Under   *int64  `json:"under,omitempty"`
	}{b.Form, b.Measure, b.Min, b.Over, b.Max, b.Under})
}

func (m Measure) read(raw []byte) (int64, error) {
	switch m.Unit() {
	case "nm":
		var v measure.Length
		err := v.UnmarshalJSON(raw)
		return int64(v), err
	case "ng":
		var v measure.Mass
		err := v.UnmarshalJSON(raw)
		return int64(v), err
	case "um3":
		var v Volume
		err := v.UnmarshalJSON(raw)
		return int64(v), err
	case "money":
		return minor(raw)
	}
	return 0, unknownMeasure(m)
}

func unknownMeasure(m Measure) error {
	return fault.Invalidf("measure", "%.40q is not a measure", m).
		ToMend("use length, width, height, girth, length+girth, length+width+height, length+2diameter, volume, mass or value")
}

// MostMinor is the most that an amount of a card may be, in minor units.
const MostMinor = 1_000_000_000_00

func badMinor(b []byte) error {
	return fault.New(fault.Invalid, "%.40s is not an amount", b).ToMend("write a whole number of minor units, without point or comma: 450 for 4.50")
}
