// Package measure knows exact lengths, masses and grammages, and how people write them.
//
// A Length is a whole number of nanometres: 1 in = 25 400 000 nm exactly (international yard and pound,
// 1959), and 1/64 in is whole too. A Mass is a whole number of nanograms: 1 lb = 453.592 37 g, so
// 1 oz = 28 349 523 125 ng exactly. A Grammage is a whole number of milligrams per square metre.
// A typed value that is no whole number of base units is rounded to the nearest one, half away from
// zero: at most half a nanometre, half a nanogram.
package measure

// Length is a length in nanometres.
type Length int64

// Mass is a mass in nanograms.
type Mass int64

// Grammage is the mass of a sheet per area (ISO 536), in milligrams per square metre.
type Grammage int64

// Units of length.
const (
	Nanometre  Length = 1
	Micrometre Length = 1000
	Millimetre Length = 1_000_000
	Centimetre Length = 10 * Millimetre
	Metre      Length = 1000 * Millimetre
	Inch       Length = 25_400_000
	Foot       Length = 12 * Inch
	Mil        Length = Inch / 1000 // a "point" of paper caliper: 0.001 in
)

// Units of mass.
const (
	Nanogram  Mass = 1
	Milligram Mass = 1_000_000
	Gram      Mass = 1000 * Milligram
	Kilogram  Mass = 1000 * Gram
	Ounce     Mass = 28_349_523_125
	Pound     Mass = 16 * Ounce
)

// GSM is one gram per square metre.
const GSM Grammage = 1000

// What input may be at most; beyond lies a typing error. A sum of 9000 accepted masses, or of ninety
// million accepted lengths, still fits its type.
const (
	MaxLength   = 100 * Metre
	MaxMass     = 1000 * Kilogram
	MaxGrammage = 20_000 * GSM
)

// System is the system of units that a studio sees.
type System string

// The two systems. Inch shows inches, ounces and pounds; Metric shows millimetres, grams and kilograms.
const (
	Imperial System = "inch"
	Metric   System = "metric"
)

// Systems returns both, in a fixed order.
func Systems() []System { return []System{Imperial, Metric} }
