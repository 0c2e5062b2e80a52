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

// SaveHookMapping adds a mapping (ID 0) or changes one, as it was typed. Faults: Invalid, those of the mapping in
// fields "mapping.…"; Missing; Taken when the name is in use.
func (s *Studio) SaveHookMapping(ctx context.Context, m HookMapping) (HookMapping, error) {
	m.Name = strings.TrimSpace(m.Name)
	var l fault.List
	l.Add(order.Text("name", m.Name, 120, true))
	_, err := hook.ReadMapping(m.Body)
	l.Add(below(err, "mapping."))
	if err := l.Err(); err != nil {
		return m, err
	}
	m.Body = json.RawMessage(strings.TrimSpace(string(m.Body)))
	err = s.write(ctx, func(t *turn) error {
		if m.ID, err = t.Tx.SaveHookMapping(m); err != nil {
			return err
		}
		return t.note(0, "mapping %s saved", m.Name)
	})
	return m, err
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
