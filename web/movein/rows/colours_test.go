package rows

import (
	"testing"

	"solander/intake"
)

// What is set on a colour can be read. Source of the least contrast of text: WCAG 2.2, 1.4.3 (4.5 to 1).
func TestInkCanBeReadOnEveryColour(t *testing.T) {
	for r := 0; r < 256; r += 15 {
		for g := 0; g < 256; g += 15 {
			for b := 0; b < 256; b += 15 {
				f := intake.RGB(uint8(r), uint8(g), uint8(b))
				ground := luminance(f)
				ink := 0.0
				if inkOn(f) == "#ffffff" {
					ink = 1
				}
				if c := (max(ground, ink) + 0.05) / (min(ground, ink) + 0.05); c < 4.5 {
					t.Fatalf("%s on %s: %.2f to 1", inkOn(f), f, c)
				}
			}
		}
	}
}
