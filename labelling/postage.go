package labelling

import (
	"cmp"
	"context"
	"errors"
	"io"
	"slices"
	"strings"

	"solander/fault"
	"solander/money"
	"solander/order"
	"solander/planning"
	"solander/postage"
	"solander/studio"
	"solander/tariff"
)

// Layouts lists the layouts of address batches by name; one to begin with when the studio has none.
func Layouts(ctx context.Context, s *studio.Studio) ([]postage.Layout, error) {
	set, err := s.Settings(ctx)
	return layoutsOf(set), err
}

func layoutsOf(set studio.Settings) []postage.Layout {
	if len(set.Layouts) == 0 {
		return []postage.Layout{postage.Plain(set.Units)}
	}
	out := slices.Clone(set.Layouts)
	slices.SortFunc(out, func(a, b postage.Layout) int { return strings.Compare(a.Name, b.Name) })
	return out
}

func layoutNamed(set studio.Settings, name string) (postage.Layout, error) {
	for _, l := range layoutsOf(set) {
		if strings.EqualFold(l.Name, name) {
			return l, nil
		}
	}
	return postage.Layout{}, fault.New(fault.Missing, "no layout is called %.60q", name).In("layout").ToMend("choose one of the studio's layouts")
}

// SaveLayout saves a layout under its name; was is the name it had before, "" for a new one. Faults: those of
// ChangeLayout.
func SaveLayout(ctx context.Context, s *studio.Studio, was string, l postage.Layout) error {
	return ChangeLayout(ctx, s, was, studio.Whole(l))
}

// ChangeLayout changes the layout that is called was as it stands, or adds one (""), as ChangeSettings does.
// Faults: Invalid; Missing when there is no layout was; Taken when another layout has the name.
func ChangeLayout(ctx context.Context, s *studio.Studio, was string, change func(*postage.Layout) error) error {
	return write(ctx, s, func(t *Labelling) error {
		all := layoutsOf(t.Set)
		at := func(name string) int {
			return slices.IndexFunc(all, func(x postage.Layout) bool { return strings.EqualFold(x.Name, name) })
		}
		i := at(was)
		if was != "" && i < 0 {
			return fault.New(fault.Missing, "no layout is called %.60q", was).In("name").ToMend("choose one of the studio's layouts")
		}
		var l postage.Layout
		if i >= 0 {
			l = all[i]
		}
		if err := change(&l); err != nil {
			return err
		}
		l.Name = strings.TrimSpace(l.Name)
		if err := l.Validate(); err != nil {
			return err
		}
		if j := at(l.Name); j >= 0 && (was == "" || j != i) {
			return fault.New(fault.Taken, "a layout is called %q", l.Name).In("name").ToMend("choose another name")
		}
		if was == "" {
			all = append(all, l)
		} else {
			all[i] = l
		}
		t.Set.Layouts = all
		return t.SaveSettings(t.Set)
	})
}

// DropLayout removes a layout. Faults: Missing.
func DropLayout(ctx context.Context, s *studio.Studio, name string) error {
	return write(ctx, s, func(t *Labelling) error {
		if _, err := layoutNamed(t.Set, name); err != nil {
			return err
		}
		t.Set.Layouts = slices.DeleteFunc(layoutsOf(t.Set), func(l postage.Layout) bool { return strings.EqualFold(l.Name, name) })
		return t.SaveSettings(t.Set)
	})
}

// PostageOut writes all packed parcels without a label in a layout, by order and part, and returns how many.
// Faults: Missing; Refused when there is none.
func PostageOut(ctx context.Context, s *studio.Studio, layout string, w io.Writer) (int, error) {
	var l postage.Layout
	var rows []postage.Parcel
	err := read(ctx, s, func(t *Labelling) (err error) {
		if l, err = layoutNamed(t.Set, layout); err == nil {
			rows, err = unlabelled(s, t)
		}
		return err
	})
	if err != nil {
		return 0, err
	}
	if len(rows) == 0 {
		return 0, fault.New(fault.Refused, "no packed parcel waits for a label").ToMend("pack first")
	}
	return len(rows), l.Write(w, rows)
}

// ToLabel counts the packed parcels without a label.
func ToLabel(ctx context.Context, s *studio.Studio) (n int, err error) {
	err = read(ctx, s, func(t *Labelling) error {
		open, err := t.OpenParcels()
		if err != nil {
			return err
		}
		for _, p := range open {
			if p.State == studio.Packed {
				n++
			}
		}
		return nil
	})
	return n, err
}

func unlabelled(s *studio.Studio, t *Labelling) ([]postage.Parcel, error) {
	cards, err := s.AllCards(t.Turn)
	if err != nil {
		return nil, err
	}
	open, err := t.OpenParcels()
	if err != nil {
		return nil, err
	}
	var out []postage.Parcel
	for _, p := range open {
		if p.State != studio.Packed {
			continue
		}
		row, err := t.postageRow(p, planning.Wording{Cards: cards})
		if err != nil {
			return nil, err
		}
		out = append(out, row)
	}
	slices.SortFunc(out, func(a, b postage.Parcel) int { return cmp.Or(strings.Compare(a.Mark, b.Mark), a.Part-b.Part) })
	return out, nil
}

func (t *Labelling) postageRow(p studio.Parcel, w planning.Wording) (postage.Parcel, error) {
	o, err := t.Order(p.Order)
	if err != nil {
		return postage.Parcel{}, err
	}
	all, err := t.Parcels(o.ID)
	if err != nil {
		return postage.Parcel{}, err
	}
	b, err := t.BuyerOf(o.Buyer)
	if err != nil {
		return postage.Parcel{}, err
	}
	return postage.Parcel{
		ID: p.ID, Mark: o.Mark, Part: planning.PartIn(all, p.ID), Parts: len(all), Ref: o.Ref, To: o.ShipTo, Email: b.Email, Phone: b.Phone,
		Prints: len(p.Lines), Mass: p.Mass(), Size: tariff.Size(p.Plan.Size), Service: w.Service(p.Plan.Card, p.Plan.Service),
		Value: money.Of(p.Plan.Value, t.Set.Currency), Packed: p.Packed, Promised: o.Promised,
	}, nil
}

// PostageReport is what a file of labels that came back would do, or did.
type PostageReport struct {
	Rows     int               `json:"rows"` // that name a parcel and can be read
	Labels   []PostageLabel    `json:"labels"`
	Same     int               `json:"same"` // rows whose label is noted already
	Problems []postage.Problem `json:"problems"`
	Done     bool              `json:"done"` // the labels are noted
}

// PostageLabel is a label that will be noted, or was.
type PostageLabel struct {
	postage.Label
	Buyer string `json:"buyer"`
	Doubt string `json:"doubt,omitempty"` // about its tracking number
}

var errDry = errors.New("nothing is kept of a dry run")

// PostageBack reads a file of tracking numbers and prices by a layout. Without commit it only reports what it
// would do, row by row. With commit all labels are noted in one transaction, or none: a file with a problem
// changes nothing. The same file again changes nothing. Faults: Missing, Invalid for the file as a whole;
// Refused when it is to be noted and rows of it have problems, which the report tells.
func PostageBack(ctx context.Context, s *studio.Studio, layout string, r io.Reader, commit bool) (PostageReport, error) {
	set, err := s.Settings(ctx)
	if err != nil {
		return PostageReport{}, err
	}
	l, err := layoutNamed(set, layout)
	if err != nil {
		return PostageReport{}, err
	}
	labels, problems, err := l.Read(r, set.Currency)
	if err != nil {
		return PostageReport{}, err
	}
	var rep PostageReport
	err = write(ctx, s, func(t *Labelling) error {
		rep = PostageReport{Rows: len(labels), Labels: []PostageLabel{}, Problems: slices.Clone(problems)}
		cards, err := s.AllCards(t.Turn)
		if err != nil {
			return err
		}
		for _, lb := range labels {
			if err := labelBack(s, t, l, lb, planning.Wording{Cards: cards}, &rep); err != nil {
				return err
			}
		}
		if commit && len(rep.Problems) == 0 {
			return nil
		}
		return errDry
	})
	if err != nil && !errors.Is(err, errDry) {
		return PostageReport{}, err
	}
	slices.SortStableFunc(rep.Problems, func(a, b postage.Problem) int { return a.Row - b.Row })
	if rep.Done = err == nil; commit && !rep.Done {
		return rep, fault.New(fault.Refused, "%d of the rows have problems; nothing was noted", len(rep.Problems)).In("file").ToMend("mend the rows, or take them out")
	}
	return rep, nil
}

// labelBack notes one label, or adds to the report why not.
func labelBack(s *studio.Studio, t *Labelling, l postage.Layout, lb postage.Label, w planning.Wording, rep *PostageReport) error {
	err := noteLabel(s, t, l, lb, w, rep)
	if err == nil || fault.Is(err, fault.Internal) || fault.Is(err, fault.Busy) {
		return err
	}
	for _, f := range fault.All(err) {
		rep.Problems = append(rep.Problems, postage.Problem{Row: lb.Row, Column: l.Back.Of(f.Field), What: f.What, Mend: f.Mend})
	}
	return nil
}

func noteLabel(s *studio.Studio, t *Labelling, l postage.Layout, lb postage.Label, w planning.Wording, rep *PostageReport) error {
	p, o, err := t.parcelOfLabel(lb)
	if err != nil {
		return err
	}
	number, doubt, err := order.ReadTracking(lb.Tracking)
	if err != nil {
		return err
	}
	tracking := number.Number
	service, err := serviceFor(s, t, p, lb.Service)
	if err != nil {
		return err
	}
	if lb.Service == "" && p.State != studio.Packed {
		service = p.Service
	}
	if l.Back.Price == "" {
		lb.Paid = p.Paid
	}
	if p.State != studio.Packed {
		if p.Tracking == tracking && p.Paid.Minor == lb.Paid.Minor && p.Service == service {
			rep.Same++
			return nil
		}
		return fault.New(fault.Taken, "the parcel of %s has another label already: %s, %s", lb.Mark, p.Tracking, p.Paid).In("mark").ToMend("change the label on the order's page if the file is right")
	}
	in := LabelIn{Parcel: p.ID, Service: service, Paid: lb.Paid, Tracking: tracking, AsRead: true}
	if err := in.Validate(); err != nil {
		return err
	}
	if err := t.label(s, p, in, w); err != nil {
		return err
	}
	b, err := t.BuyerOf(o.Buyer)
	if err != nil {
		return err
	}
	lb.Tracking = tracking
	rep.Labels = append(rep.Labels, PostageLabel{lb, b.Name, doubt})
	return nil
}

// parcelOfLabel finds the parcel that a row names. One of several must be named by its part, unless only one of
// them is left to label or has this tracking number.
func (t *Labelling) parcelOfLabel(lb postage.Label) (studio.Parcel, order.Order, error) {
	o, err := t.OrderByMark(strings.ToUpper(lb.Mark))
	if err != nil {
		return studio.Parcel{}, o, fault.InField(err, "mark")
	}
	all, err := t.Parcels(o.ID)
	if err != nil {
		return studio.Parcel{}, o, err
	}
	switch {
	case len(all) == 0:
		return studio.Parcel{}, o, fault.New(fault.Refused, "%s has no packed parcel", o.Mark).In("mark").ToMend("pack it first")
	case lb.Part > len(all):
		return studio.Parcel{}, o, fault.New(fault.Missing, "%s has %d parcels", o.Mark, len(all)).In("mark").ToMend("look at the number behind the stroke")
	case lb.Part > 0:
		return all[lb.Part-1], o, nil
	case len(all) == 1:
		return all[0], o, nil
	}
	return studio.Parcel{}, o, fault.New(fault.Refused, "%s has %d parcels and the row does not say which", o.Mark, len(all)).In("mark").ToMend("write it like %s/1", o.Mark)
}
