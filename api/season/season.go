// Package season lets the invented club of package demo have had a season: squads,
// work sheets, line-ups, seat racing, opinions, readings from clips, seats kept and
// the boatman's list, so that whoever tries the program out finds every page filled.
package season

import (
	"context"
	"fmt"
	"time"

	"thole/api/club"
	"thole/api/ergometer"
	"thole/api/evidence"
	"thole/api/fleet"
	"thole/api/intake"
	"thole/api/lineup"
	"thole/api/people"
	"thole/api/privacy"
	"thole/api/records"
	"thole/api/savedlineup"
	"thole/api/seat"
	"thole/api/seatrace"
	"thole/api/setup"
	"thole/api/squadfile"
	"thole/api/video"
	"thole/api/wire"
)

// Service fills in the season.
type Service struct{ *records.Records }

// New returns a service over records.
func New(r *records.Records) *Service { return &Service{r} }

// The two who keep the records.
const (
	boatman = "Bram Tolley"
	coach   = "Ines Caldera"
)

// Fill puts the season on record, over the club as package demo has it, unless there
// is one: then there are squads.
func (s *Service) Fill(ctx context.Context) error {
	f, err := s.begin(ctx)
	if err != nil || f == nil {
		return err
	}
	return s.Store.Bulk(ctx, func() error {
		for _, fill := range []func(context.Context) error{f.squads, f.consents, f.left, f.crews, f.lineups, f.sheets, f.races, f.opinions, f.films, f.waiting, f.mapping} {
			if err := fill(ctx); err != nil {
				return fmt.Errorf("the season of the demo: %w", err)
			}
		}
		return nil
	})
}

// filling knows the club by its names.
type filling struct {
	records *records.Records
	now     time.Time
	ids     map[string]int64 // of athletes
	boats   map[string]int64
}

// begin looks the club up; nil where there is a season already, or another club.
func (s *Service) begin(ctx context.Context) (*filling, error) {
	f := &filling{records: s.Records, now: s.Now(), ids: map[string]int64{}, boats: map[string]int64{}}
	c := club.New(s.Records)
	squads, err := c.Squads(ctx, struct{}{})
	if err != nil || len(squads.Squads) > 0 {
		return nil, err
	}
	people, err := c.AthleteNames(ctx)
	if err != nil {
		return nil, err
	}
	for _, a := range people {
		f.ids[a.Name] = a.ID
	}
	boats, err := fleet.New(s.Records).Boats(ctx, records.ListRequest{})
	for i := range boats.Boats {
		f.boats[boats.Boats[i].Name] = boats.Boats[i].ID
	}
	if f.ids["Ingrid Sollberg"] == 0 || f.boats["Kestrel"] == 0 {
		return nil, err
	}
	return f, err
}

// hands are the use cases as they stood on one day.
type hands struct {
	club     *club.Service
	fleet    *fleet.Service
	setup    *setup.Service
	video    *video.Service
	saved    *savedlineup.Service
	race     *seatrace.Service
	evidence *evidence.Service
	people   *people.Service
	privacy  *privacy.Service
	intake   *intake.Service
}

// ago are the use cases some days ago.
func (f *filling) ago(days int) *hands {
	then := f.now.AddDate(0, 0, -days)
	r := &records.Records{Store: f.records.Store, Now: func() time.Time { return then }}
	c, boats := club.New(r), fleet.New(r)
	erg := ergometer.New(r)
	h := &hands{club: c, fleet: boats, setup: setup.New(r, c, boats, &seat.Service{}), video: video.New(r, boats), race: seatrace.New(r, erg), evidence: evidence.New(r, erg),
		people: people.New(r, false), privacy: privacy.New(r), intake: intake.New(r, boats, squadfile.New(r, c))}
	h.saved = savedlineup.New(r, lineup.New(r, boats, erg, h.evidence, h.race))
	return h
}

func (f *filling) day(ago int) string { return f.now.AddDate(0, 0, -ago).Format(wire.DayLayout) }

// squadNames are the squads, in the order in which they are listed.
var squadNames = []struct {
	name  string
	among []string
}{
	{"Women", []string{"Ingrid Sollberg", "Maeve Tarrant", "Chiamaka Obiora", "Lotte Brandvold", "Sanna Pirkola", "Ruth Amsel"}},
	{"Men", []string{"Tomas Verhelde", "Aurel Dascalu", "Jonas Wickstead", "Kofi Mensah-Bright", "Davide Roncalli", "Emre Saltan"}},
	{"Juniors", []string{"Nell Ashgrove", "Yuki Tanabe", "Freya Lund", "Priya Ramanand", "Oskar Wendt", "Luca Ferrand", "Sam Okafor", "Milo Peverell"}},
	{"Masters", []string{"Hanne Grieg", "Walter Stibbe", "Dolores Quintanar", "Bertram Oakes"}},
}

func (f *filling) squads(ctx context.Context) error {
	for _, q := range squadNames {
		ask := club.NewSquad{SquadFields: club.SquadFields{Name: q.name}}
		for _, name := range q.among {
			ask.AthleteIDs = append(ask.AthleteIDs, f.ids[name])
		}
		if _, err := f.ago(300).club.AddSquad(ctx, ask); err != nil {
			return err
		}
	}
	return nil
}

// left puts on record somebody who rowed here and is gone, and oars that are no longer
// rowed with: what is archived shows in the lists when it is asked for.
func (f *filling) left(ctx context.Context) error {
	who := club.AthleteFields{Name: "Piet Aldous", Sex: "male", Sculls: true, Note: "Moved away; knows the river."}
	added, err := f.ago(300).club.AddAthlete(ctx, club.NewAthlete{AthleteFields: who, By: coach})
	if err != nil {
		return err
	}
	who.Archived = true
	if _, err = f.ago(200).club.UpdateAthlete(ctx, club.AthleteEdit{ID: added.ID, Version: added.Version, AthleteFields: who, By: coach}); err != nil {
		return err
	}
	oars := fleet.OarFields{Name: "Sculls, wooden", Kind: "scull", LengthCm: wire.Ptr(298.0), InboardCm: wire.Ptr(89.0), Note: "On the wall of the boathouse.", Archived: true}
	_, err = f.ago(300).fleet.AddOarSet(ctx, fleet.NewOarSet{OarFields: oars, By: coach})
	return err
}

// consents of the juniors' parents, but for one who is away, and of an adult.
func (f *filling) consents(ctx context.Context) error {
	for name, guardian := range map[string]string{
		"Nell Ashgrove": "Jo Ashgrove", "Yuki Tanabe": "Keiko Tanabe", "Freya Lund": "Arne Lund", "Oskar Wendt": "Gesa Wendt",
		"Luca Ferrand": "Paola Ferrand", "Sam Okafor": "Ada Okafor", "Milo Peverell": "Ivo Peverell", "Sanna Pirkola": "",
	} {
		ask := privacy.NewConsent{AthleteID: f.ids[name], Given: true, SaidOn: f.day(250), Guardian: guardian, Note: "Form in the office.", By: coach}
		if _, err := f.ago(250).privacy.AddConsent(ctx, ask); err != nil {
			return err
		}
	}
	return nil
}

// usualCrews sit in the boats as a rule, bow first.
var usualCrews = map[string][]string{
	"Marl":       {"Kofi Mensah-Bright", "Tomas Verhelde", "Aurel Dascalu", "Jonas Wickstead"},
	"Old Friday": {"Lotte Brandvold", "Ruth Amsel", "Maeve Tarrant", "Ingrid Sollberg"},
	"Wren":       {"Sanna Pirkola"},
	"Brimstone":  {"Jonas Wickstead", "Davide Roncalli"},
}

func (f *filling) crews(ctx context.Context) error {
	for boat, crew := range usualCrews {
		ask := setup.CrewOfBoat{BoatID: f.boats[boat]}
		for i, name := range crew {
			ask.Seats = append(ask.Seats, setup.CrewChoice{Seat: i + 1, AthleteID: f.ids[name]})
		}
		if _, err := f.ago(60).setup.SetUsualCrew(ctx, ask); err != nil {
			return fmt.Errorf("crew of %s: %w", boat, err)
		}
	}
	return nil
}

// savedLineups are those that the coaches keep.
var savedLineups = []struct {
	ago         int
	name, class string
	boat        string
	crew        []string
	sides       []string
	note        string
}{
	{40, "Head of the lake, women", "4x", "Kestrel", []string{"Lotte Brandvold", "Maeve Tarrant", "Chiamaka Obiora", "Ingrid Sollberg"}, nil, "After the seat races."},
	{12, "Spring four", "4-", "Marl", []string{"Kofi Mensah-Bright", "Tomas Verhelde", "Aurel Dascalu", "Jonas Wickstead"}, []string{"port", "starboard", "starboard", "port"}, ""},
	{5, "Junior double", "2x", "Cuckoo", []string{"Yuki Tanabe", "Freya Lund"}, nil, "For the school regatta."},
}

func (f *filling) lineups(ctx context.Context) error {
	for _, l := range savedLineups {
		content := savedlineup.LineupContent{Name: l.name, BoatClass: l.class, BoatID: wire.Ptr(f.boats[l.boat]), RowsOn: wire.Ptr(f.day(l.ago - 4)), Source: "by hand", Note: l.note}
		for i, name := range l.crew {
			place := savedlineup.LineupPlace{AthleteID: wire.Ptr(f.ids[name])}
			if l.sides != nil {
				place.Side = l.sides[i]
			}
			content.Seats = append(content.Seats, place)
		}
		if _, err := f.ago(l.ago).saved.Save(ctx, savedlineup.NewLineup{LineupContent: content, By: coach}); err != nil {
			return fmt.Errorf("%s: %w", l.name, err)
		}
	}
	return nil
}
