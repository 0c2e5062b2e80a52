package claims

import (
	"fmt"
	"io"
	"strings"

	"solander/claim"
	"solander/claims"
	"solander/cli/desk"
)

// show shows a claim as it stands.
func show(d *desk.Open, id int64) error {
	v, err := claims.Claim(d.Ctx, d.Studio, id)
	if err != nil {
		return err
	}
	return d.Show(v, func(w io.Writer) {
		fmt.Fprintf(w, "claim %d: parcel %d of %s, %s, told %s\n", v.ID, v.Claim.Parcel, strings.Join(v.Marks, ", "), v.Kind.Words(), v.Told)
		fmt.Fprintf(w, "%s; %s\n", v.State.Words(), v.Made.Words())
		for _, p := range v.Prints {
			fmt.Fprintf(w, "  line %d: %s, %s\n", p.ID, p.Name, p.Price)
		}
		t := v.Terms
		if t.Stated {
			fmt.Fprintf(w, "may be filed from %s to %s, %s after posting (%s, %s)\n", t.First, t.Last, t.Words, t.Source, t.Status)
		} else {
			fmt.Fprintln(w, "the card does not tell by when; ask the operator")
		}
		if t.Note != "" {
			fmt.Fprintf(w, "other days: %s\n", t.Note)
		}
		fmt.Fprintln(w, "the operator alone decides; its rules hold, and not what stands here")
		fmt.Fprintf(w, "covered up to %s, worth %s at the prices of the order\n", t.Cover, t.Worth)
		for _, b := range v.Bought {
			if b.Paid.Currency != t.Worth.Currency {
				fmt.Fprintf(w, "%s is owed in %s: %s of it came, and its prints are %s; it is paid back in that\n", b.Mark, b.Paid.Currency, b.Paid, b.Prints)
			}
		}
		history(w, v)
		for _, p := range v.Photos {
			fmt.Fprintf(w, "photo %d: %d × %d %s\n", p.ID, p.Width, p.Height, p.Alt)
		}
		cost(w, v)
		if v.Claim.Note != "" {
			fmt.Fprintf(w, "note: %s\n", v.Claim.Note)
		}
		todos(w, v)
	})
}

// history is what was noted with the operator.
func history(w io.Writer, v claims.View) {
	if !v.Filed.IsZero() {
		fmt.Fprintf(w, "filed %s, %s claimed", v.Filed, v.Claimed)
		if v.Reference != "" {
			fmt.Fprintf(w, ", reference %s", v.Reference)
		}
		fmt.Fprintln(w)
		if v.Above != "" {
			fmt.Fprintf(w, "above the cover: %s\n", v.Above)
		}
	}
	if !v.Answered.IsZero() {
		fmt.Fprintf(w, "answered %s, %s granted\n", v.Answered, v.Granted)
		if v.Claim.Answer != "" {
			fmt.Fprintf(w, "in its words: %s\n", v.Claim.Answer)
		}
	}
	if !v.PaidOn.IsZero() {
		fmt.Fprintf(w, "paid %s, %s\n", v.PaidOn, v.Claim.Paid)
	}
}

// cost is what a claim came to: what the prints that were given up had cost, less what the operator pays.
func cost(w io.Writer, v claims.View) {
	for _, l := range v.Losses {
		for _, p := range v.Prints {
			if p.ID == l.Line {
				fmt.Fprintf(w, "given up: %s, its sheet %s, packaging %s, postage %s\n", p.Name, l.Print, l.Packing, l.Postage)
			}
		}
	}
	if len(v.Losses) == 0 && v.Granted.IsZero() {
		fmt.Fprintln(w, "no print was given up, and the operator granted nothing: it cost nothing; what was paid back stands with the order")
		return
	}
	fmt.Fprintf(w, "with what the operator pays, %s\n", v.Came())
}

// todos say what is to be done of a claim, and by which command.
func todos(w io.Writer, v claims.View) {
	for _, x := range v.Todo {
		by := map[string]string{
			"file": "solander claim file %d", "answer": "solander claim answer %d AMOUNT", "paid": "solander claim paid %d", "close": "solander claim close %d",
			"good": "solander claim replace %[1]d or solander claim refund %[1]d AMOUNT",
		}[x.Deed]
		if by = fmt.Sprintf(by, v.ID); x.Deed == "replacement" {
			by = "solander order " + v.Marks[0]
		}
		fmt.Fprintf(w, "to do: %s (%s; %s)\n", desk.LateIf(x.Late > 0, x.What), x.Why, by)
	}
}

// done answers a deed, and says what is to be done next.
func done(d *desk.Open, err error, x claim.Claim, format string, args ...any) error {
	if err != nil {
		return err
	}
	v, err := claims.Claim(d.Ctx, d.Studio, x.ID)
	if err != nil {
		return err
	}
	return d.Show(x, func(w io.Writer) {
		fmt.Fprintf(w, format+"\n", args...)
		todos(w, v)
	})
}
