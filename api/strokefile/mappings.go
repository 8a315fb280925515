package strokefile

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// NamedMapping says how a kind of file is read.
type NamedMapping struct {
	Name    string        `json:"name"`
	Mapping StrokeMapping `json:"mapping"`
	SavedAt time.Time     `json:"saved_at"`
}

// MappingList lists mappings by name.
type MappingList struct {
	Mappings []NamedMapping `json:"mappings"`
}

// MappingRequest names a mapping.
type MappingRequest struct {
	Name string `path:"name" json:"-" validate:"max=200"`
}

// MappingEdit saves a mapping under a name.
type MappingEdit struct {
	Name    string        `path:"name" json:"-" validate:"max=200"`
	Mapping StrokeMapping `json:"mapping" validate:"required"`
}

// RemovedMapping names a mapping that is gone.
type RemovedMapping struct {
	Name string `json:"name"`
}

// Mappings lists the saved mappings.
func (s *Service) Mappings(ctx context.Context, _ struct{}) (MappingList, error) {
	list := MappingList{Mappings: []NamedMapping{}}
	stored, err := s.Store.Mappings(ctx)
	for i := range stored {
		m, err := namedMapping(&stored[i])
		if err != nil {
			return list, err
		}
		list.Mappings = append(list.Mappings, m)
	}
	return list, records.RecordError(err)
}

func namedMapping(m *store.ImportMapping) (NamedMapping, error) {
	w := NamedMapping{Name: m.Name, SavedAt: m.SavedAt}
	if err := json.Unmarshal([]byte(m.Mapping), &w.Mapping); err != nil {
		return w, fmt.Errorf("mapping %q: %w", m.Name, err)
	}
	return w, nil
}

// Mapping returns a saved mapping.
func (s *Service) Mapping(ctx context.Context, r MappingRequest) (NamedMapping, error) {
	m, err := s.Store.Mapping(ctx, r.Name)
	if err != nil {
		return NamedMapping{}, records.RecordError(err)
	}
	return namedMapping(&m)
}

// SaveMapping saves a mapping in place of the one that has its name.
func (s *Service) SaveMapping(ctx context.Context, r MappingEdit) (NamedMapping, error) {
	var p wire.Problems
	name := strings.TrimSpace(r.Name)
	p.Name(wire.At("name"), name, "Give the mapping a name.")
	if err := p.OrNil(); err != nil {
		return NamedMapping{}, err
	}
	d, err := r.Mapping.mapping()
	if err != nil {
		return NamedMapping{}, err
	}
	text, err := json.Marshal(WireMapping(&d))
	if err != nil {
		return NamedMapping{}, err
	}
	if err := s.Store.SaveMapping(ctx, store.ImportMapping{Name: name, Mapping: string(text), SavedAt: s.Now()}); err != nil {
		return NamedMapping{}, records.RecordError(err)
	}
	return s.Mapping(ctx, MappingRequest{Name: name})
}

// DeleteMapping removes a mapping.
func (s *Service) DeleteMapping(ctx context.Context, r MappingRequest) (RemovedMapping, error) {
	return RemovedMapping(r), records.RecordError(s.Store.DeleteMapping(ctx, r.Name))
}
