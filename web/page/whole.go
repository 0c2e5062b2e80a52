package page

import (
	"net/http"

	"solander/order"
)

// FormPage is a page with one form and a few words above it.
type FormPage struct {
	Frame
	Under  string
	Form   *Form
	Button string
	Back   Link
}

// ShowForm answers with a page of one form.
func (f *Kit) ShowForm(w http.ResponseWriter, r *http.Request, room, title, under, button string, back Link, fm *Form, fail *Failure) error {
	fr, err := f.Frame(r, room, title)
	if err != nil {
		return err
	}
	p := &FormPage{Frame: fr, Under: under, Form: fm, Button: button, Back: back}
	p.Tell(fail)
	p.Put(fm, fail)
	return f.Show(w, r, StatusOf(fail), "form", p)
}

// HelpPage explains the rooms and the keys.
type HelpPage struct{ Frame }

func (f *Kit) Help(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "", "Help and keys")
	if err != nil {
		return err
	}
	return f.Show(w, r, http.StatusOK, "help", &HelpPage{fr})
}

func AskAddress(fm *Form, prefix string, a order.Address) {
	fm.Ask(prefix+"name", "Name").Is(a.Name).Must().WithAuto("off").Half()
	fm.Ask(prefix+"line1", "Street and number").Is(a.Line1).Must().WithAuto("off").Half()
	fm.Ask(prefix+"line2", "Second line").Is(a.Line2).WithAuto("off").Half()
	fm.Ask(prefix+"city", "City").Is(a.City).Must().WithAuto("off").Half()
	fm.Ask(prefix+"region", "State or region").Is(a.Region).WithAuto("off")
	fm.Ask(prefix+"postcode", "Postcode").Is(a.Postcode).WithAuto("off")
	fm.Ask(prefix+"country", "Country").Is(a.Country).Must().WithAuto("off").WithHint("its name, or two letters such as US")
}

func ReadAddress(rd *Reader, prefix string) order.Address {
	return order.Address{
		Name: rd.Text(prefix + "name"), Line1: rd.Text(prefix + "line1"), Line2: rd.Text(prefix + "line2"), City: rd.Text(prefix + "city"),
		Region: rd.Text(prefix + "region"), Postcode: rd.Text(prefix + "postcode"), Country: rd.Text(prefix + "country"),
	}.Tidy()
}
