package studio

import (
	"context"
	"encoding/json"
	"strings"

	"solander/fault"
	"solander/intake/hook"
	"solander/order"
)

// HookMappings lists the mappings by name.
func (s *Studio) HookMappings(ctx context.Context) ([]HookMapping, error) {
	out := []HookMapping{}
	err := s.read(ctx, func(t *turn) error {
		all, err := t.Tx.HookMappings()
		out = append(out, all...)
		return err
	})
	return out, err
}

// HookMapping reads a mapping. Faults: Missing.
func (s *Studio) HookMapping(ctx context.Context, id int64) (m HookMapping, err error) {
	err = s.read(ctx, func(t *turn) (err error) {
		m, err = t.Tx.HookMapping(id)
		return err
	})
	return m, err
}

// SaveHookMapping adds a mapping (ID 0) or puts another in the place of one. Faults: those of ChangeHookMapping.
func (s *Studio) SaveHookMapping(ctx context.Context, m HookMapping) (HookMapping, error) {
	return s.ChangeHookMapping(ctx, m.ID, whole(m))
}

// ChangeHookMapping changes a mapping as it stands, or adds one (id 0), as ChangeSettings does; it is kept as it was
// typed. Faults: Invalid, those of the mapping in fields "mapping.…"; Missing; Taken when the name is in use.
func (s *Studio) ChangeHookMapping(ctx context.Context, id int64, change func(*HookMapping) error) (m HookMapping, err error) {
	err = s.write(ctx, func(t *turn) error {
		if m, err = asItStands(id, t.Tx.HookMapping, change); err != nil {
			return err
		}
		m.ID, m.Name = id, strings.TrimSpace(m.Name)
		if err := m.validate(); err != nil {
			return err
		}
		m.Body = json.RawMessage(strings.TrimSpace(string(m.Body)))
		if m.ID, err = t.Tx.SaveHookMapping(m); err != nil {
			return err
		}
		return t.note(0, "mapping %s saved", m.Name)
	})
	return m, err
}

func (m HookMapping) validate() error {
	var l fault.List
	l.Add(order.Text("name", m.Name, 120, true))
	_, err := hook.ReadMapping(m.Body)
	l.Add(below(err, "mapping."))
	return l.Err()
}

// DropHookMapping takes a mapping away. Faults: Missing; Refused while a feed reads by it.
func (s *Studio) DropHookMapping(ctx context.Context, id int64) error {
	return s.write(ctx, func(t *turn) error {
		m, err := t.Tx.HookMapping(id)
		if err != nil {
			return err
		}
		if err := t.Tx.DropHookMapping(id); err != nil {
			return err
		}
		return t.note(0, "mapping %s dropped", m.Name)
	})
}

// SetFeedMapping says by which mapping a feed's web-hook reads a message; 0 = none. Faults: Missing, Refused.
func (s *Studio) SetFeedMapping(ctx context.Context, feed, mapping int64) error {
	return s.write(ctx, func(t *turn) error {
		f, err := t.Feed(feed)
		if err != nil {
			return err
		}
		if !f.Revoked.IsZero() {
			return fault.New(fault.Refused, "this feed was revoked").At("%s", f.Name).ToMend("make another one")
		}
		if err := t.knownMapping(mapping); err != nil {
			return err
		}
		f.Mapping = mapping
		_, err = t.SaveFeed(f)
		return err
	})
}
