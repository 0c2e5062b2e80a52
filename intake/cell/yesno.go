package cell

// YesWords say in a column of amounts that all was paid; noWords that nothing was.
var (
	YesWords = map[string]bool{
		"yes": true, "y": true, "paid": true, "x": true, "ok": true, "done": true, "full": true, "in full": true, "paid in full": true, "all": true, "ja": true, "oui": true, "true": true, "✓": true, "✔": true,
		"sí": true, "si": true, "bezahlt": true, "payé": true, "pagado": true, "paye": true,
	}
	NoWords = map[string]bool{
		"no": true, "n": true, "not yet": true, "unpaid": true, "nein": true, "non": true, "false": true, "open": true, "pending": true, "✗": true, "✘": true,
		"offen": true, "noch nicht": true, "pas encore": true, "todavía no": true, "pendiente": true,
	}
)
