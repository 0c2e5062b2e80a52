package form

import "solander/order"

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
