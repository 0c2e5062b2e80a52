package movein

import (
	"context"

	"solander/fault"
	"solander/intake"
	"solander/studio"
)

// mostMappings bounds how many mappings are kept.
const mostMappings = 200

// Mappings lists the saved mappings by name.
func Mappings(ctx context.Context, s *studio.Studio) ([]intake.Mapping, error) {
	var out []intake.Mapping
	err := read(ctx, s, func(t *MoveIn) (err error) {
		out, err = t.Mappings()
		return err
	})
	return out, err
}

// Mapping reads a saved mapping by its name. Faults: Missing.
func Mapping(ctx context.Context, s *studio.Studio, name string) (intake.Mapping, error) {
	all, err := Mappings(ctx, s)
	if err != nil {
		return intake.Mapping{}, err
	}
	for _, m := range all {
		if m.Name == name {
			return m, nil
		}
	}
	return intake.Mapping{}, fault.New(fault.Missing, "there is no mapping %q", fault.Clip(name)).In("mapping").ToMend("solander mappings lists them; or name a file")
}

// SaveMapping saves a mapping under its name, in place of the one of that name. Faults: Invalid, Refused.
func SaveMapping(ctx context.Context, s *studio.Studio, m intake.Mapping) error {
	if err := m.Validate(); err != nil {
		return err
	}
	return write(ctx, s, func(t *MoveIn) error {
		all, err := t.Mappings()
		if err != nil {
			return err
		}
		for _, old := range all {
			if old.Name == m.Name {
				return t.SaveMapping(m)
			}
		}
		if len(all) >= mostMappings {
			return fault.New(fault.Refused, "%d mappings are kept already", len(all)).ToMend("drop one that is not used")
		}
		return t.SaveMapping(m)
	})
}

// DropMapping forgets a mapping; what was brought in by it stays. Faults: Missing.
func DropMapping(ctx context.Context, s *studio.Studio, name string) error {
	return write(ctx, s, func(t *MoveIn) error { return t.DropMapping(name) })
}
