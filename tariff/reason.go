package tariff

// Reason says why something is not possible, in words and in numbers. Rule is a stable name listed in
// docs/formats/plan.md. Got and Limit are in base units of Unit ("nm", "ng", "um3", "sheets", "pieces",
// "days" or a currency; "" when no number applies), so that a program can check them.
type Reason struct {
	Rule  string `json:"rule"`
	Text  string `json:"text"`
	Got   int64  `json:"got"`
	Limit int64  `json:"limit"`
	Unit  string `json:"unit,omitempty"`
}
