// Package movein has the commands that bring files in: the trial of a workbook or an outlet's file, its questions and answers, saved
// readings, and a folder that is watched. A trial changes nothing; a watched file is moved by renaming alone, and never lost.
package movein

import (
	"io"
	"path/filepath"

	"solander/cli/desk"
	"solander/fault"
	"solander/intake"
	"solander/intake/guess"
	"solander/intake/kept"
	"solander/movein"
)

type Intake struct {
	Try  intakeTryCmd  `cmd:"" default:"withargs" help:"Read a file dry, and with --commit bring it in (this is what intake alone does)."`
	List intakeListCmd `cmd:"" help:"Files that were brought in, and files that wait."`
	Undo intakeUndoCmd `cmd:"" help:"Take a file back whole, while nothing else was built on it."`
}

type intakeTryCmd struct {
	File    string   `arg:"" predictor:"file" help:"A workbook (.xlsx) or a text file (.csv)."`
	Mapping string   `placeholder:"NAME|FILE" help:"What stands where: a saved reading by name, or a file of one (docs/formats/mapping.md). Without it the saved one that fits, or a guess."`
	Answers string   `placeholder:"FILE" predictor:"file" help:"What only you can say: a JSON object of ids and answers; the trial lists the ids."`
	Answer  []string `placeholder:"ID=ANSWER" sep:"none" help:"One answer; may be given again. An id that ends in * is for all of its kind: year:*=yes, declare.*.paper=NAME."`
	Yes     []string `placeholder:"KIND" enum:"facts,offers,limits" help:"Yes to all at once: facts (written plainly, contradicted by nothing), offers (questions with an answer that is offered), limits (of new editions, as the file says them)."`
	Guess   bool     `help:"Print the guessed reading as JSON, to be looked at and changed, and stop."`
	Commit  bool     `help:"Bring in every order that is ready. It needs --mapping."`
	Whole   bool     `help:"With --commit: all of the file, or nothing."`
	Day     string   `placeholder:"DAY" help:"The day that counts as today; later days are mistakes."`
}

func (intakeTryCmd) Help() string {
	return `Nothing is changed without --commit. The same file again changes nothing.

Example:

  solander intake sales.xlsx --guess > reading.json
  solander intake sales.xlsx --mapping reading.json --answers said.json
  solander intake sales.xlsx --mapping reading.json --answers said.json --commit
  solander intake sales.xlsx --mapping reading.json --answer 'declare.*.grade=fine' --yes offers --yes limits`
}

func (c *intakeTryCmd) Run(d *desk.Open) error {
	table, err := c.table(d)
	if err != nil {
		return err
	}
	if c.Guess {
		return c.guess(d, table)
	}
	in, how, err := c.read(d, table)
	if err != nil {
		return err
	}
	if c.Commit {
		return c.commit(d, in)
	}
	tell, done := d.Progress("looking at the rows")
	tr, err := movein.TryFile(d.Ctx, d.Studio, in, tell)
	done()
	if err != nil {
		return err
	}
	if d.JSON {
		err = writeTrial(d.Out, tr)
	} else {
		printTrial(d.Out, tr, how)
	}
	if err != nil {
		return err
	}
	if !tr.Free() {
		return desk.ErrFindings
	}
	return nil
}

// table reads the file, up to the size that the studio takes.
func (c *intakeTryCmd) table(d *desk.Open) (intake.Table, error) {
	r, err := d.Input(c.File, "file")
	if err != nil {
		return intake.Table{}, err
	}
	defer r.Close()
	body, err := io.ReadAll(io.LimitReader(r, movein.MaxFile+1))
	if err != nil {
		return intake.Table{}, desk.FileFault(err, c.File, "file")
	}
	tell, done := d.Progress("reading " + filepath.Base(c.File))
	defer done()
	return movein.ReadFile(d.Ctx, d.Studio, filepath.Base(c.File), body, tell)
}

// guess prints a reading with the studio's currency where the file says none.
func (c *intakeTryCmd) guess(d *desk.Open, t intake.Table) error {
	m, err := guessed(d, t)
	if err != nil {
		return err
	}
	return writeMapping(d.Desk, m)
}

// writeMapping prints a reading as the JSON that a file of it holds.
func writeMapping(d *desk.Desk, m intake.Mapping) error {
	raw, err := m.JSON()
	if err != nil {
		return err
	}
	_, err = d.Out.Write(raw)
	return err
}

func guessed(d *desk.Open, t intake.Table) (intake.Mapping, error) {
	set, err := d.Studio.Settings(d.Ctx)
	m := guess.New(t).Mapping
	if m.Currency == "" {
		m.Currency = set.Currency
	}
	if m.Country == "" {
		m.Country = set.Address.Country
	}
	if m.Name == "" {
		m.Name = "guessed"
	}
	return m, err
}

// read gathers the mapping, by name, by file or as it fits, and the answers. how says which mapping it is.
func (c *intakeTryCmd) read(d *desk.Open, t intake.Table) (in movein.FileTrialIn, how string, err error) {
	in = movein.FileTrialIn{Table: t, Answers: intake.Answers{}}
	if in.Today, err = desk.Day(c.Day, "day"); err != nil {
		return in, how, err
	}
	if in.Mapping, how, err = c.mapping(d, t); err != nil {
		return in, how, err
	}
	if c.Answers != "" {
		if err = d.ReadJSON(c.Answers, "answers", &in.Answers); err != nil {
			return in, how, err
		}
	}
	if err := c.answers(in.Answers); err != nil {
		return in, how, err
	}
	return in, how, c.yes(d, &in)
}

func (c *intakeTryCmd) mapping(d *desk.Open, t intake.Table) (intake.Mapping, string, error) {
	saved, err := movein.Mappings(d.Ctx, d.Studio)
	if err != nil {
		return intake.Mapping{}, "", err
	}
	if c.Mapping != "" {
		m, err := mappingOf(d.Desk, c.Mapping, saved)
		return m, "read as " + m.Name, err
	}
	if fits := guess.Offer(t, saved); len(fits) > 0 && fits[0].Whole {
		return fits[0].Mapping, "read as " + fits[0].Mapping.Name + ", which fits", nil
	}
	if c.Commit {
		return intake.Mapping{}, "", fault.Invalidf("mapping", "it is not said what stands where in the file").ToMend("solander intake FILE --guess writes a reading to begin with; then give it with --mapping")
	}
	m, err := guessed(d, t)
	return m, "read as guessed: look at it with --guess", err
}

// mappingOf is a saved mapping by its name, or one from a file.
func mappingOf(d *desk.Desk, named string, saved []intake.Mapping) (intake.Mapping, error) {
	for _, m := range saved {
		if m.Name == named {
			return m, nil
		}
	}
	r, err := d.Input(named, "mapping")
	if err != nil {
		if fault.Is(err, fault.Missing) {
			err = fault.New(fault.Missing, "there is no saved reading of that name, and no such file").At("%s", named).In("mapping").ToMend("solander mappings lists the saved ones")
		}
		return intake.Mapping{}, err
	}
	defer r.Close()
	raw, err := io.ReadAll(io.LimitReader(r, desk.MostInput+1))
	if err != nil {
		return intake.Mapping{}, desk.FileFault(err, named, "mapping")
	}
	return intake.ReadMapping(raw)
}

func (c *intakeTryCmd) commit(d *desk.Open, in movein.FileTrialIn) error {
	tell, done := d.Progress("bringing in")
	got, err := movein.TakeIn(d.Ctx, d.Studio, movein.TakeInIn{FileTrialIn: in, Whole: c.Whole}, tell)
	done()
	if err != nil {
		return err
	}
	return d.Show(got, func(w io.Writer) { printTakenIn(w, got) })
}

type intakeUndoCmd struct {
	Batch  int64  `arg:"" help:"Number of the file that was brought in (solander intake list shows it)."`
	Reason string `placeholder:"TEXT" required:"" help:"Why; it stands in the register."`
}

func (intakeUndoCmd) Help() string {
	return "Its orders leave every list, its numbers become as they were before, by entries of their own. Editions stay declared.\n\nExample:\n\n  solander intake undo 3 --reason \"the wrong workbook\""
}

func (c *intakeUndoCmd) Run(d *desk.Open) error {
	err := movein.UndoIntake(d.Ctx, d.Studio, c.Batch, c.Reason)
	return d.Done(err, map[string]int64{"taken_back": c.Batch}, "file %d is taken back", c.Batch)
}

type intakeListCmd struct{}

func (intakeListCmd) Help() string { return "Example:\n\n  solander intake list" }

func (c *intakeListCmd) Run(d *desk.Open) error {
	var err error
	var answer struct {
		Intakes []kept.Intake  `json:"intakes"`
		Waiting []kept.Arrival `json:"waiting"`
	}
	if answer.Intakes, err = movein.Intakes(d.Ctx, d.Studio); err != nil {
		return err
	}
	if answer.Waiting, err = movein.Arrivals(d.Ctx, d.Studio); err != nil {
		return err
	}
	return d.Show(answer, func(w io.Writer) {
		desk.Table(w, func(row func(string, ...any)) {
			row("FILE\tDAY\tORDERS\tNAME\tSTANDS")
			for _, x := range answer.Intakes {
				stands := "yes"
				if x.Back != nil {
					stands = "taken back " + x.Back.Day.Long()
				}
				row("%d\t%s\t%d\t%s\t%s", x.ID, x.Day.Long(), x.Made.Orders, desk.OneLine(x.Name), stands)
			}
		})
		for _, a := range answer.Waiting {
			io.WriteString(w, desk.OneLine("waits: "+a.Name+" "+a.Note)+"\n")
		}
	})
}
