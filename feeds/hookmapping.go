package feeds

import (
	"context"
	"encoding/json"
	"strings"

	"solander/fault"
	"solander/studio"
)

// HookMappings lists the mappings by name.
func HookMappings(ctx context.Context, s *studio.Studio) ([]studio.HookMapping, error) {
	out := []studio.HookMapping{}
	err := read(ctx, s, func(t *Gate) error {
		all, err := t.Tx.HookMappings()
		out = append(out, all...)
		return err
	})
	return out, err
}

// HookMapping reads a mapping. Faults: Missing.
func HookMapping(ctx context.Context, s *studio.Studio, id int64) (m studio.HookMapping, err error) {
	err = read(ctx, s, func(t *Gate) (err error) {
		m, err = t.Tx.HookMapping(id)
		return err
	})
	return m, err
}

// SaveHookMapping adds a mapping (ID 0) or puts another in the place of one. Faults: those of ChangeHookMapping.
func SaveHookMapping(ctx context.Context, s *studio.Studio, m studio.HookMapping) (studio.HookMapping, error) {
	return ChangeHookMapping(ctx, s, m.ID, studio.Whole(m))
}

// ChangeHookMapping changes a mapping as it stands, or adds one (id 0), as ChangeSettings does; it is kept as it was
// typed. Faults: Invalid, those of the mapping in fields "mapping.…"; Missing; Taken when the name is in use.
func ChangeHookMapping(ctx context.Context, s *studio.Studio, id int64, change func(*studio.HookMapping) error) (m studio.HookMapping, err error) {
	err = write(ctx, s, func(t *Gate) error {
		if m, err = studio.AsItStands(id, t.Tx.HookMapping, change); err != nil {
			return err
		}
		m.ID, m.Name = id, strings.TrimSpace(m.Name)
		if err := m.Validate(); err != nil {
			return err
		}
		m.Body = json.RawMessage(strings.TrimSpace(string(m.Body)))
		if m.ID, err = t.Tx.SaveHookMapping(m); err != nil {
			return err
		}
		return t.Note(0, "mapping %s saved", m.Name)
	})
	return m, err
}

// DropHookMapping takes a mapping away. Faults: Missing; Refused while a feed reads by it.
func DropHookMapping(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Gate) error {
		m, err := t.Tx.HookMapping(id)
		if err != nil {
			return err
		}
		if err := t.Tx.DropHookMapping(id); err != nil {
			return err
		}
		return t.Note(0, "mapping %s dropped", m.Name)
	})
}

// SetFeedMapping says by which mapping a feed's web-hook reads a message; 0 = none. Faults: Missing, Refused.
func SetFeedMapping(ctx context.Context, s *studio.Studio, feed, mapping int64) error {
	return write(ctx, s, func(t *Gate) error {
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
