package money

import "testing"

// Source: ISO 4217, from memory: these are current, and the German mark and the French franc are not.
func TestCurrenciesToChoose(t *testing.T) {
	has := map[string]string{}
	for _, c := range Currencies() {
		if c.Name == "" || has[c.Code] != "" {
			t.Errorf("%s is %q", c.Code, c.Name)
		}
		has[c.Code] = c.Name
	}
	for code, want := range map[string]string{"USD": "US Dollar", "EUR": "Euro", "JPY": "Japanese Yen", "CHF": "Swiss Franc", "DEM": "", "FRF": ""} {
		if has[code] != want {
			t.Errorf("%s is %q, want %q", code, has[code], want)
		}
	}
	if len(has) < 140 {
		t.Errorf("%d currencies", len(has))
	}
}
