// Package claims has the commands of claims on operators for parcels that were damaged, lost, or opened with a part missing.
package claims

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"solander/claim"
	"solander/claims"
	"solander/cli/desk"
	"solander/fault"
	"solander/money"
	"solander/picture/header"
	"solander/studio"
)

// Claims are the commands of claims.
type Claims struct {
	List     listCmd     `cmd:"" default:"1" help:"List claims: what stands, and what is to be done."`
	Open     openCmd     `cmd:"" help:"Note that a parcel was damaged, lost, or lacks a part."`
	Show     showCmd     `cmd:"" help:"Show a claim with its days, its cover and what it cost."`
	Photo    photoCmd    `cmd:"" help:"Photos of the damage: add, write to a file, remove."`
	File     fileCmd     `cmd:"" help:"Note that the claim was filed with the operator."`
	Answer   answerCmd   `cmd:"" help:"Note what the operator answered."`
	Paid     paidCmd     `cmd:"" help:"Note that the operator paid."`
	Replace  replaceCmd  `cmd:"" help:"Send the prints again: their numbers are spoilt and struck again."`
	Refund   refundCmd   `cmd:"" help:"Pay the buyer back: the prints are given up, or kept."`
	Note     noteCmd     `cmd:"" help:"Change the note of a claim."`
	Close    closeCmd    `cmd:"" help:"Close a claim."`
	TakeBack takeBackCmd `cmd:"" name:"take-back" help:"Take back what was noted last."`
}

// Help says how it goes.
func (Claims) Help() string {
	return `A claim is for one parcel that was handed over. By when it may be filed is read from the price card; where the card does not tell, ask the
operator. The operator alone decides.

Example:

  solander claim open S-1042 --kind damaged --note "the corner is crushed"
  solander claim photo add 1 corner.jpg --alt "The corner is crushed"
  solander claim file 1 --reference C-77
  solander claim replace 1 --reason "crushed on the way"
  solander claim paid 1 95.00
  solander claim close 1`
}

// id names a claim.
type id struct {
	Claim int64 `arg:"" help:"The claim, by its number."`
}

type listCmd struct {
	All bool `help:"Closed ones, too."`
}

// Help gives an example.
func (listCmd) Help() string { return "Example:\n\n  solander claim list --all" }

// Run lists them.
func (c *listCmd) Run(d *desk.Open) error {
	all, err := claims.List(d.Ctx, d.Studio, c.All)
	if err != nil {
		return err
	}
	return d.Show(all, func(w io.Writer) {
		if len(all) == 0 {
			fmt.Fprintln(w, "no claim is open: solander claim open ORDER --kind damaged notes one")
			return
		}
		desk.Table(w, func(row func(string, ...any)) {
			row("CLAIM\tPARCEL\tORDER\tWHAT\tTOLD\tSTANDS\tBUYER\tTO DO")
			for _, v := range all {
				row("%d\t%d\t%s\t%s\t%s\t%s\t%s\t%s", v.ID, v.Claim.Parcel, strings.Join(v.Marks, ", "), v.Kind.Words(), v.Told, v.State.Words(), v.Made.Words(), todo(v))
			}
		})
	})
}

// todo is what is to be done first, with how late it is.
func todo(v claims.View) string {
	var out []string
	for _, x := range v.Todo {
		text := x.What
		if !x.By.IsZero() && x.Deed == "file" {
			text += " by " + x.By.String()
		}
		out = append(out, desk.LateIf(x.Late > 0, text))
	}
	return strings.Join(out, "; ")
}

type openCmd struct {
	Parcel string   `arg:"" help:"The parcel by its number, or the order whose only parcel it is."`
	Kind   string   `required:"" enum:"damaged,lost,missing" placeholder:"KIND" help:"damaged, lost, or missing: a part of what was in it."`
	Line   []string `placeholder:"LINE" help:"A print that it is about, by its line; all of the parcel when left out."`
	Told   string   `placeholder:"DAY" help:"On which you were told; today when left out."`
	Note   string   `placeholder:"TEXT" help:"What was told."`
}

// Help gives an example.
func (openCmd) Help() string {
	return "Example:\n\n  solander claim open S-1042 --kind damaged --note \"the corner is crushed\""
}

// Run opens a claim.
func (c *openCmd) Run(d *desk.Open) error {
	in := claims.OpenIn{Kind: claim.Kind(c.Kind), Note: c.Note}
	var err error
	if in.Parcel, err = parcel(d, c.Parcel); err != nil {
		return err
	}
	if in.Told, err = desk.Day(c.Told, "told"); err != nil {
		return err
	}
	for _, name := range c.Line {
		l, err := d.LineNamed(name)
		if err != nil {
			return desk.In(err, "line")
		}
		in.Lines = append(in.Lines, l.ID)
	}
	x, err := claims.Open(d.Ctx, d.Studio, in)
	if err != nil {
		return err
	}
	return show(d, x.ID)
}

func parcel(d *desk.Open, name string) (int64, error) {
	if n, err := strconv.ParseInt(name, 10, 64); err == nil {
		return n, nil
	}
	p, err := d.ParcelNamed(name, studio.HandedOver)
	return p.ID, err
}

type showCmd struct{ id }

// Help gives an example.
func (showCmd) Help() string { return "Example:\n\n  solander claim show 1" }

// Run shows one.
func (c *showCmd) Run(d *desk.Open) error { return show(d, c.Claim) }

// photoCmd are the commands of photos.
type photoCmd struct {
	Add    photoAddCmd    `cmd:"" help:"Add a photo of the damage."`
	Write  photoWriteCmd  `cmd:"" help:"Write a photo to a file, as JPEG."`
	Remove photoRemoveCmd `cmd:"" help:"Remove a photo."`
}

type photoAddCmd struct {
	id
	File string `arg:"" help:"A JPEG, PNG, WebP or TIFF file; - reads standard input."`
	Alt  string `placeholder:"TEXT" help:"What is to be seen, in a sentence."`
}

// Help gives an example.
func (photoAddCmd) Help() string {
	return "Where, when and by what it was taken is left out. Your file is not changed.\n\nExample:\n\n  solander claim photo add 1 corner.jpg --alt \"The corner is crushed\""
}

// Run adds a photo.
func (c *photoAddCmd) Run(d *desk.Open) error {
	r, err := d.Input(c.File, "file")
	if err != nil {
		return err
	}
	body, err := io.ReadAll(io.LimitReader(r, header.MaxFile+1))
	if err = errors.Join(err, r.Close()); err != nil {
		return desk.FileFault(err, c.File, "file")
	}
	p, err := claims.Photo(d.Ctx, d.Studio, c.Claim, body, c.Alt)
	return d.Done(err, p, "photo %d of claim %d, %d × %d", p.ID, c.Claim, p.Width, p.Height)
}

type photoWriteCmd struct {
	Photo int64 `arg:"" help:"The photo, by its number."`
	desk.FileOut
}

// Help gives an example.
func (photoWriteCmd) Help() string { return "Example:\n\n  solander claim photo write 1 -o corner.jpg" }

// Run writes a photo.
func (c *photoWriteCmd) Run(d *desk.Open) error {
	_, body, err := claims.PhotoBody(d.Ctx, d.Studio, c.Photo)
	if err != nil {
		return err
	}
	return d.Write(c.FileOut, func(w io.Writer) error {
		_, err := w.Write(body)
		return err
	})
}

type photoRemoveCmd struct {
	id
	Photo int64 `arg:"" help:"The photo, by its number."`
}

// Help gives an example.
func (photoRemoveCmd) Help() string { return "Example:\n\n  solander claim photo remove 1 2" }

// Run removes a photo.
func (c *photoRemoveCmd) Run(d *desk.Open) error {
	err := claims.DropPhoto(d.Ctx, d.Studio, c.Claim, c.Photo)
	return d.Done(err, map[string]int64{"removed": c.Photo}, "photo %d is removed", c.Photo)
}

type fileCmd struct {
	id
	Amount    string `arg:"" optional:"" help:"How much is claimed; the worth of the prints up to the cover when left out."`
	Reference string `placeholder:"TEXT" help:"By which the operator knows it."`
	Day       string `placeholder:"DAY" help:"On which it was filed; today when left out."`
	Above     string `placeholder:"TEXT" help:"Why more than the cover is claimed; needed for that alone."`
}

// Help gives an example.
func (fileCmd) Help() string { return "Example:\n\n  solander claim file 1 95.00 --reference C-77" }

// Run files it.
func (c *fileCmd) Run(d *desk.Open) error {
	in := claims.FileIn{Claim: c.Claim, Reference: c.Reference, Above: c.Above}
	var err error
	if in.Amount, err = amount(d, c.Amount, "amount"); err != nil {
		return err
	}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	x, err := claims.File(d.Ctx, d.Studio, in)
	return done(d, err, x, "claim %d is filed: %s claimed", x.ID, x.Claimed)
}

func amount(d *desk.Open, text, field string) (a money.Amount, err error) {
	if text == "" {
		return a, nil
	}
	return d.Amount(text, field)
}

type answerCmd struct {
	id
	Granted string `arg:"" optional:"" help:"What the operator pays; left out with --refused."`
	Refused bool   `help:"It pays nothing."`
	Day     string `placeholder:"DAY" help:"On which it answered; today when left out."`
	Words   string `placeholder:"TEXT" help:"In its words."`
}

// Help gives an example.
func (answerCmd) Help() string {
	return "Example:\n\n  solander claim answer 1 60.00 --words \"in part\"\n  solander claim answer 1 --refused"
}

// Run notes an answer.
func (c *answerCmd) Run(d *desk.Open) error {
	if (c.Granted == "") != c.Refused {
		return fault.Invalidf("granted", "it is not said what the operator pays, or said twice").ToMend("give an amount, or --refused alone")
	}
	in := claims.AnswerIn{Claim: c.Claim, Words: c.Words}
	var err error
	if in.Granted, err = amount(d, c.Granted, "granted"); err != nil {
		return err
	}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	x, err := claims.Answer(d.Ctx, d.Studio, in)
	return done(d, err, x, "claim %d: %s, %s of %s", x.ID, x.State.Words(), x.Granted, x.Claimed)
}

type paidCmd struct {
	id
	Amount string `arg:"" optional:"" help:"What came in; what was granted when left out."`
	Day    string `placeholder:"DAY" help:"On which it came; today when left out."`
}

// Help gives an example.
func (paidCmd) Help() string { return "Example:\n\n  solander claim paid 1 60.00" }

// Run notes a payment.
func (c *paidCmd) Run(d *desk.Open) error {
	in := claims.PaidIn{Claim: c.Claim}
	var err error
	if in.Amount, err = amount(d, c.Amount, "amount"); err != nil {
		return err
	}
	if in.Day, err = desk.Day(c.Day, "day"); err != nil {
		return err
	}
	x, err := claims.Paid(d.Ctx, d.Studio, in)
	return done(d, err, x, "claim %d: %s paid by the operator", x.ID, x.Paid)
}

type replaceCmd struct {
	id
	Reason    string `required:"" placeholder:"TEXT" help:"Why; it stands in the register."`
	Promised  string `placeholder:"DAY" help:"By which it goes; by the outlet's promise when left out."`
	NewNumber bool   `help:"Another number; the old one stays spoilt."`
}

// Help gives an example.
func (replaceCmd) Help() string {
	return "Example:\n\n  solander claim replace 1 --reason \"crushed on the way\""
}

// Run sends the prints again.
func (c *replaceCmd) Run(d *desk.Open) error {
	in := claims.ReplaceIn{Claim: c.Claim, Reason: c.Reason, NewNumber: c.NewNumber}
	var err error
	if in.Promised, err = desk.Day(c.Promised, "promised"); err != nil {
		return err
	}
	x, err := claims.Replace(d.Ctx, d.Studio, in)
	return done(d, err, x, "claim %d: %s goes out again", x.ID, fault.Count(len(x.Instead), "print"))
}

type refundCmd struct {
	id
	Amount string   `arg:"" optional:"" help:"How much is paid back: of an order that was agreed in another currency, in that."`
	Worth  string   `placeholder:"AMOUNT" help:"Of money in another currency, what the bank took for it in the studio's; by the rate of the day when left out."`
	Of     []string `placeholder:"ORDER=AMOUNT" help:"Instead of an amount, how much of each order, where they are owed in several currencies; ORDER=AMOUNT=WORTH says what the bank took for it, too."`
	Reason string   `required:"" placeholder:"TEXT" help:"Why; it stands in the register."`
	Keeps  bool     `help:"The buyer keeps the print."`
}

// Help gives an example.
func (refundCmd) Help() string {
	return "Example:\n\n  solander claim refund 1 126.00 --reason \"lost on the way\"\n  solander claim refund 1 20.00 --keeps --reason \"a crease in the margin\"\n  solander claim refund 1 --of S-1042=80.00=93.40 --of S-1043=120.00 --reason \"lost on the way\""
}

// Run pays back.
func (c *refundCmd) Run(d *desk.Open) error {
	v, err := claims.Claim(d.Ctx, d.Studio, c.Claim)
	if err != nil {
		return err
	}
	in := claims.RefundIn{Claim: c.Claim, Keeps: c.Keeps, Reason: c.Reason}
	if in.Worth, err = desk.Perhaps(c.Worth, v.Claimed.Currency, "worth"); err != nil {
		return err
	}
	if len(c.Of) == 0 || c.Amount != "" {
		cur := v.Claimed.Currency
		if len(v.Bought) > 0 {
			cur = v.Bought[0].Paid.Currency
		}
		if in.Amount, err = money.Parse(c.Amount, cur); err != nil {
			return desk.In(err, "amount")
		}
	}
	for _, said := range c.Of {
		b, err := backOf(v, said)
		if err != nil {
			return desk.In(err, "of")
		}
		in.Of = append(in.Of, b)
	}
	x, err := claims.Refund(d.Ctx, d.Studio, in)
	return done(d, err, x, "claim %d: %s paid back; %s", x.ID, in.InWords(), x.Made.Words())
}

// backOf reads what is paid back of one order of a claim: ORDER=AMOUNT, or with what the bank took for it ORDER=AMOUNT=WORTH.
func backOf(v claims.View, text string) (claims.Back, error) {
	mark, amount, _ := strings.Cut(text, "=")
	amount, worth, _ := strings.Cut(amount, "=")
	for _, x := range v.Bought {
		if !strings.EqualFold(x.Mark, strings.TrimSpace(mark)) {
			continue
		}
		b := claims.Back{Order: x.Order}
		var err error
		if b.Amount, err = money.Parse(amount, x.Paid.Currency); err != nil {
			return b, err
		}
		b.Worth, err = desk.Perhaps(worth, v.Claimed.Currency, "of")
		return b, err
	}
	return claims.Back{}, fault.Invalidf("of", "the claim is about no print of %q", fault.Clip(mark)).ToMend("name its order like %s=20.00", v.Marks[0])
}

type noteCmd struct {
	id
	Text string `arg:"" help:"The note; an empty one takes it away."`
}

// Help gives an example.
func (noteCmd) Help() string {
	return "Example:\n\n  solander claim note 1 \"the buyer keeps the wrapping\""
}

// Run changes the note.
func (c *noteCmd) Run(d *desk.Open) error {
	x, err := claims.Note(d.Ctx, d.Studio, c.Claim, c.Text)
	return d.Done(err, x, "claim %d: its note changed", x.ID)
}

type closeCmd struct {
	id
	Arrived bool   `help:"It arrived after all, or was whole: nothing is to be made good."`
	Day     string `placeholder:"DAY" help:"On which; today when left out."`
}

// Help gives an example.
func (closeCmd) Help() string {
	return "Example:\n\n  solander claim close 1\n  solander claim close 1 --arrived"
}

// Run closes it.
func (c *closeCmd) Run(d *desk.Open) error {
	day, err := desk.Day(c.Day, "day")
	if err != nil {
		return err
	}
	x, err := claims.Close(d.Ctx, d.Studio, claims.CloseIn{Claim: c.Claim, Day: day, Arrived: c.Arrived})
	return done(d, err, x, "claim %d is closed; %s", x.ID, x.Came())
}

type takeBackCmd struct{ id }

// Help gives an example.
func (takeBackCmd) Help() string { return "Example:\n\n  solander claim take-back 1" }

// Run takes back what was noted last.
func (c *takeBackCmd) Run(d *desk.Open) error {
	x, err := claims.TakeBack(d.Ctx, d.Studio, c.Claim)
	if err == nil && x.State == claim.Void {
		return d.Say(x, "claim %d is taken back: it was noted wrongly", x.ID)
	}
	return done(d, err, x, "claim %d: what was noted last is taken back; it stands as before: %s; %s", x.ID, x.State.Words(), x.Made.Words())
}
