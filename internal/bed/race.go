//go:build race

package bed

// propertyRuns is fewer under the race detector, which makes each run many times slower.
const propertyRuns = "3"
