package demo

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"thole/api/access"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/store"
	"thole/api/wire"
)

// The examples: of the demo club as many as fill an eight, a four and a single.
var (
	exampleNames = []string{
		"Tomas Verhelde", "Aurel Dascalu", "Jonas Wickstead", "Kofi Mensah-Bright", "Davide Roncalli", "Emre Saltan", "Luca Ferrand", "Sam Okafor", "Ingrid Sollberg", "Sanna Pirkola",
	}
	exampleBoats = []string{"Nightjar", "Marl", "Wren"}
	exampleOars  = []string{"Sculls, blue sleeves", "Sweeps, eight"}
)

// exampleSquad is in which the men's examples row.
const exampleSquad = "Example squad"

// Counts say how much is on record, archived or not.
type Counts struct {
	Athletes int `json:"athletes"`
	Boats    int `json:"boats"`
	Oars     int `json:"oars" description:"Sets of oars."`
	Squads   int `json:"squads"`
	Sheets   int `json:"sheets" description:"Work sheets of those boats."`
}

// Examples say what of the records is an example.
type Examples struct {
	Examples Counts `json:"examples"`
	Own      Counts `json:"own" description:"What the club entered itself."`
}

// Loaded reports whether there are examples.
func (e *Examples) Loaded() bool { return e.Examples != Counts{} }

// Empty reports whether nothing at all is on record.
func (e *Examples) Empty() bool { return *e == Examples{} }

// Loading says who loads the examples.
type Loading struct {
	By string `json:"by" validate:"max=80" description:"Stands in the history of the athletes; left out, an invented coach's name. With accounts it is the account."`
}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Get("/api/v1/examples", "See what is an example", "How much of the records the examples brought, and how much is the club's own.", s.Examples).For(access.Staff),
		rest.Post("/api/v1/examples", "Load the examples", "A small invented club to try things with: an eight, a four, a single, their oars, and athletes who were measured. Only while there are none; 409 otherwise.", s.LoadExamples).For(access.Coaches),
		rest.Remove("/api/v1/examples", "Remove the examples", "All of them, with what is about them; what the club entered itself stays. Refused with 409 while examples and others meet in a seat race.", s.RemoveExamples).For(access.Coaches),
	}
}

// Examples say what of the records is an example.
func (s *Service) Examples(ctx context.Context, _ struct{}) (Examples, error) {
	examples, own, err := s.Store.Examples(ctx)
	return Examples{Examples: Counts(examples), Own: Counts(own)}, records.RecordError(err)
}

// LoadExamples puts the examples on record unless they are there. What was put
// there before a failure is removed again.
func (s *Service) LoadExamples(ctx context.Context, r Loading) (Examples, error) {
	var p wire.Problems
	p.Check(wire.At(), r)
	if err := p.OrNil(); err != nil {
		return Examples{}, err
	}
	s.loading.Lock()
	defer s.loading.Unlock()
	now, err := s.Examples(ctx, struct{}{})
	switch {
	case err != nil:
		return Examples{}, err
	case now.Loaded():
		return Examples{}, &wire.Refusal{Status: http.StatusConflict, Text: "the examples are loaded already"}
	}
	if err := s.fillExamples(store.AsExample(ctx), cmp.Or(strings.TrimSpace(r.By), coach)); err != nil {
		if err := s.Store.RemoveExamples(context.WithoutCancel(ctx)); err != nil {
			return Examples{}, records.RecordError(err)
		}
		var taken *wire.Invalid
		if errors.As(err, &taken) {
			return Examples{}, &wire.Refusal{Status: http.StatusConflict, Text: "a name of the examples is taken already: " + err.Error()}
		}
		return Examples{}, err
	}
	return s.Examples(ctx, struct{}{})
}

func (s *Service) fillExamples(ctx context.Context, by string) error {
	d := demo{service: s, now: s.Now(), coach: by}
	for i := range demoAthletes {
		if slices.Contains(exampleNames, demoAthletes[i].name) {
			d.people = append(d.people, demoAthletes[i])
		}
	}
	for i := range demoBoats {
		if slices.Contains(exampleBoats, demoBoats[i].Name) {
			d.fleet = append(d.fleet, demoBoats[i])
		}
	}
	for i := range demoOars {
		if slices.Contains(exampleOars, demoOars[i].Name) {
			d.sets = append(d.sets, demoOars[i])
		}
	}
	for _, fill := range []func(context.Context) error{d.athletes, d.oars, d.boats, d.ergTests, d.squad} {
		if err := fill(ctx); err != nil {
			return err
		}
	}
	return nil
}

// squad puts those who row the eight into one.
func (d *demo) squad(ctx context.Context) error {
	var men []int64
	for i := range d.people {
		if d.people[i].sex == "male" {
			men = append(men, d.ids[i])
		}
	}
	if _, err := d.service.Store.AddSquad(ctx, store.Squad{Name: exampleSquad, Athletes: men}); err != nil {
		return fmt.Errorf("demo squad: %w", err)
	}
	return nil
}

// RemoveExamples removes every example, with what is about it; what the club
// entered itself stays.
func (s *Service) RemoveExamples(ctx context.Context, _ struct{}) (Examples, error) {
	s.loading.Lock()
	defer s.loading.Unlock()
	err := s.Store.RemoveExamples(ctx)
	var mixed *store.ErrMixed
	if errors.As(err, &mixed) {
		return Examples{}, &wire.Refusal{
			Status: http.StatusConflict, Text: "examples race with others in " + strings.Join(mixed.Races, ", ") + ": remove that seat race first",
		}
	}
	if err != nil {
		return Examples{}, records.RecordError(err)
	}
	return s.Examples(ctx, struct{}{})
}
