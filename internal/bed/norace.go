//go:build !race

package bed

// propertyRuns is how often the property runs unless -rapid.checks says otherwise.
const propertyRuns = "10"
