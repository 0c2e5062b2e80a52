package planner_test

import (
	"testing"

	"solander/internal/mistake"
)

// The mistakes that make mutate makes can be made. So a change of the planner cannot quietly leave one out.
func TestMistakesCanBeMade(t *testing.T) { mistake.CanBeMade(t, "../..", mutations) }
