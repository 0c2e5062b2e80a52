package people

import (
	"solander/access"
)

// Under tells who asks by a device whose key was found good. Faults: Unknown when the person may not sign in any more.
func (t *Door) Under(k access.DeviceKey) (Who, error) {
	p, err := t.active(k.Person)
	return Who{Person: p, Role: lesser(p.Role, k.Most), Key: k.ID, Seen: k.Seen, Proved: k.Proved}, err
}
