package editions

import (
	"solander/cli/desk"
	"solander/edition"
	"solander/register"
)

type Declare struct {
	File string `required:"" placeholder:"FILE" help:"The edition in a JSON file (- is the input stream)."`
}

func (Declare) Help() string {
	return `The limit and the number of proofs are declared once: nothing can raise them afterwards. Many places
ask by law what a seller of limited editions must disclose; see what holds where you sell.

Example:

  echo '{"work": 1, "width_nm": "12 in", "height_nm": "16 in", "paper": "cotton rag",
    "grammage_mg_m2": "310 gsm", "caliper_nm": "20 pt", "grade": "fine", "technique": "pigment print",
    "limit": 250, "proofs": {"ap": 5}, "tightest_roll_nm": "3 in",
    "price": {"minor": 12000, "currency": "USD"}, "print_cost": {"minor": 1450, "currency": "USD"}}' |
    solander declare --file -`
}

func (c *Declare) Run(d *desk.Open) error {
	var err error
	var e edition.Edition
	if err := d.ReadJSON(c.File, "file", &e); err != nil {
		return err
	}
	e, err = register.Declare(d.Ctx, d.Studio, e)
	if err != nil {
		return err
	}
	return d.Say(e, "edition %d %s is declared", e.ID, e.Name(d.Units()))
}
