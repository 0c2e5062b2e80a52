package earnings

import "math"

// betaPrime is the value below which a share p of the beta prime distribution with shapes a and b lies. It is found by halving, to ten
// digits: more than a number of days needs.
func betaPrime(p, a, b float64) float64 {
	low, high := 0.0, 1.0
	for range 60 { // x/(1+x) is beta distributed, and lies within 0 and 1
		mid := (low + high) / 2
		if betaShare(mid, a, b) < p {
			low = mid
		} else {
			high = mid
		}
	}
	x := (low + high) / 2
	return x / (1 - x)
}

// betaShare is the regularised incomplete beta function, by its continued fraction.
// Source: DLMF 8.17.22 (NIST Digital Library of Mathematical Functions), from memory; evaluated by Lentz's method.
func betaShare(x, a, b float64) float64 {
	if x <= 0 {
		return 0
	}
	if x >= 1 {
		return 1
	}
	if x > (a+1)/(a+b+2) {
		return 1 - betaShare(1-x, b, a)
	}
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	front := math.Exp(lab-la-lb+a*math.Log(x)+b*math.Log1p(-x)) / a
	const tiny = 1e-300
	c, d := 1.0, 1-(a+b)*x/(a+1)
	if math.Abs(d) < tiny {
		d = tiny
	}
	d = 1 / d
	h := d
	for m := 1; m < 3000; m++ {
		n := float64(m)
		for _, term := range [2]float64{
			n * (b - n) * x / ((a + 2*n - 1) * (a + 2*n)),
			-(a + n) * (a + b + n) * x / ((a + 2*n) * (a + 2*n + 1)),
		} {
			if d = 1 + term*d; math.Abs(d) < tiny {
				d = tiny
			}
			if c = 1 + term/c; math.Abs(c) < tiny {
				c = tiny
			}
			d = 1 / d
			h *= d * c
		}
		if math.Abs(d*c-1) < 1e-13 {
			break
		}
	}
	return front * h
}
