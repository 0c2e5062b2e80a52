//go:build !race

package studio_test

// propertyRuns is how often the property runs unless -rapid.checks says otherwise.
const propertyRuns = "10"
