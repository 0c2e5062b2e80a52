package studio

import (
	"solander/fault"
	"solander/intake/hook"
	"solander/order"
)

func (m HookMapping) Validate() error {
	var l fault.List
	l.Add(order.Text("name", m.Name, 120, true))
	_, err := hook.ReadMapping(m.Body)
	l.Add(Below(err, "mapping."))
	return l.Err()
}
