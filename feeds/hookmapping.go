package feeds

import (
	"context"
	"encoding/json"
	"slices"
	"strings"

	"solander/fault"
	"solander/feed"
	"solander/studio"
)

// HookMappings lists the mappings by name.
func HookMappings(ctx context.Context, s *studio.Studio) ([]feed.Mapping, error) {
	out := []feed.Mapping{}
	err := read(ctx, s, func(t *Gate) error {
		all, err := t.Store.HookMappings()
		out = append(out, all...)
		return err
	})
	return out, err
}

// HookMapping reads a mapping. Faults: Missing.
func HookMapping(ctx context.Context, s *studio.Studio, id int64) (feed.Mapping, error) {
	return studio.Got(ctx, s, read, func(t *Gate) (feed.Mapping, error) { return t.Store.HookMapping(id) })
}

// ChangeHookMapping changes a mapping as it stands, or adds one (id 0), as ChangeSettings does; it is kept as it was
// typed. Faults: Invalid, those of the mapping in fields "mapping.…"; Missing; Taken when the name is in use.
func ChangeHookMapping(ctx context.Context, s *studio.Studio, id int64, change func(*feed.Mapping) error) (feed.Mapping, error) {
	return studio.Got(ctx, s, write, func(t *Gate) (feed.Mapping, error) { return t.changeMapping(id, change) })
}

func (t *Gate) changeMapping(id int64, change func(*feed.Mapping) error) (feed.Mapping, error) {
	m, err := studio.AsItStands(id, t.Store.HookMapping, change)
	if err != nil {
		return m, err
	}
	m.ID, m.Name = id, strings.TrimSpace(m.Name)
	if err := m.Validate(); err != nil {
		return m, err
	}
	m.Body = json.RawMessage(strings.TrimSpace(string(m.Body)))
	if m.ID, err = t.Store.SaveHookMapping(m); err != nil {
		return m, err
	}
	return m, t.Note(0, "mapping %s saved", m.Name)
}

// MapFeed saves a mapping, in the place of the one that has its name, and lets a feed's web-hook read by it.
// Faults: those of ChangeHookMapping and SetFeedMapping.
func MapFeed(ctx context.Context, s *studio.Studio, feedID int64, m feed.Mapping) (saved feed.Mapping, err error) {
	err = write(ctx, s, func(t *Gate) error {
		all, err := t.Store.HookMappings()
		if err != nil {
			return err
		}
		id := int64(0)
		if at := slices.IndexFunc(all, func(x feed.Mapping) bool { return x.Name == strings.TrimSpace(m.Name) }); at >= 0 {
			id = all[at].ID
		}
		if saved, err = t.changeMapping(id, studio.Whole(m)); err != nil {
			return err
		}
		return t.setMapping(feedID, saved.ID)
	})
	return saved, err
}

// DropHookMapping takes a mapping away. Faults: Missing; Refused while a feed reads by it.
func DropHookMapping(ctx context.Context, s *studio.Studio, id int64) error {
	return write(ctx, s, func(t *Gate) error {
		m, err := t.Store.HookMapping(id)
		if err != nil {
			return err
		}
		if err := t.Store.DropHookMapping(id); err != nil {
			return err
		}
		return t.Note(0, "mapping %s dropped", m.Name)
	})
}

// SetFeedMapping says by which mapping a feed's web-hook reads a message; 0 = none. Faults: Missing, Refused.
func SetFeedMapping(ctx context.Context, s *studio.Studio, feedID, mapping int64) error {
	return write(ctx, s, func(t *Gate) error { return t.setMapping(feedID, mapping) })
}

func (t *Gate) setMapping(feedID, mapping int64) error {
	f, err := t.Feed(feedID)
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
}
