package form

import (
	"solander/fault"
	"solander/order"
)

// Address asks for an address; its fields' names begin with prefix.
func (f *Form) Address(prefix string, a *order.Address) {
	f.Text(prefix+"name", "Name", &a.Name).Must().WithAuto("off").Half()
	f.Text(prefix+"line1", "Street and number", &a.Line1).Must().WithAuto("off").Half()
	f.Text(prefix+"line2", "Second line", &a.Line2).WithAuto("off").Half()
	f.Text(prefix+"city", "City", &a.City).Must().WithAuto("off").Half()
	f.Text(prefix+"region", "State or region", &a.Region).WithAuto("off")
	f.Text(prefix+"postcode", "Postcode", &a.Postcode).WithAuto("off")
	f.Text(prefix+"country", "Country", &a.Country).Must().WithAuto("off").WithHint("its name, or two letters such as US")
	f.Then(func(*fault.List) { *a = a.Tidy() })
}
