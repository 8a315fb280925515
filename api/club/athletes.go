package club

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"thole/api/access"
	"thole/api/directory"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// AthleteListRequest asks for athletes.
type AthleteListRequest struct {
	Name     string `query:"name" json:"-" validate:"max=200" description:"A part of the name, whatever the case and accents."`
	Archived bool   `query:"archived" json:"-" description:"List the archived ones, too."`
	SquadID  int64  `query:"squad_id" json:"-" validate:"omitempty,gte=1" description:"Only those of this squad."`
}

// AthleteFields are what people edit of an athlete.
type AthleteFields struct {
	Name           string   `json:"name" validate:"filled,max=80" say:"A name is needed." description:"The given name, then the family name. It may be sent alone, either way round (Ann Lee; Lee, Ann); the parts are then read from it. It may be left empty where a part is sent."`
	GivenName      string   `json:"given_name" validate:"omitempty,max=80"`
	FamilyName     string   `json:"family_name" validate:"omitempty,max=80"`
	Sex            string   `json:"sex" validate:"omitempty,oneof=female male" description:"Reference population for measures that were not taken."`
	BirthDate      *string  `json:"birth_date" validate:"omitempty,day" description:"YYYY-MM-DD."`
	BirthYear      *int64   `json:"birth_year" validate:"omitempty,gte=1900,lte=2200" say:"Write the year with four digits, such as 1998." description:"Where the day is not known; none with a birth_date."`
	PortCostS      *float64 `json:"port_cost_s" validate:"omitempty,gte=0,lte=60" say:"A side costs from 0 to 60 s over 2000 m; leave it empty for a side that is not rowed." description:"What rowing on port costs the athlete over 2000 m, 0 for the better side; null for a side that the athlete does not row."`
	StarboardCostS *float64 `json:"starboard_cost_s" validate:"omitempty,gte=0,lte=60" say:"A side costs from 0 to 60 s over 2000 m; leave it empty for a side that is not rowed." description:"The same for starboard."`
	Sculls         bool     `json:"sculls"`
	Coxes          bool     `json:"coxes"`
	SquadIDs       []int64  `json:"squad_ids" validate:"omitempty,max=100,dive,gte=1" description:"The squads of the athlete. Left out of what is written, they stay."`
	Note           string   `json:"note" validate:"omitempty,max=2000"`
	Archived       bool     `json:"archived"`
	NewSquads      []string `json:"-"` // names of squads to be in as well, new or not
}

// AthleteEdit writes every field of an athlete.
type AthleteEdit struct {
	ID      int64 `path:"id" json:"-" validate:"gte=1"`
	Version int64 `json:"version" validate:"required,gte=0" description:"That was read and edited."`
	AthleteFields
	Measures *MeasuredBody `json:"measures,omitempty" description:"What was measured today."`
	By       string        `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who edits, for the history."`
}

// NewAthlete puts an athlete on record.
type NewAthlete struct {
	AthleteFields
	Measures *MeasuredBody `json:"measures,omitempty" description:"What was measured today."`
	By       string        `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who enters this, for the history."`
}

// AthleteSummary is an athlete in a list, as of today.
type AthleteSummary struct {
	ID int64 `json:"id"`
	AthleteFields
	Label      string   `json:"label" description:"The name in short, such as the family name; no other athlete has it."`
	Guest      bool     `json:"guest" description:"Known from seat races only."`
	Example    bool     `json:"example" description:"Brought by the examples, and goes with them."`
	AgeYears   *float64 `json:"age_years"`
	StatureCm  *float64 `json:"stature_cm"`
	MassKg     *float64 `json:"mass_kg"`
	MeasuredOn *string  `json:"measured_on" description:"Day of the newest measure."`
}

// AthleteList lists athletes by name.
type AthleteList struct {
	Athletes []AthleteSummary `json:"athletes"`
}

// AthleteEntry is an athlete as just put on record.
type AthleteEntry struct {
	ID      int64 `json:"id"`
	Version int64 `json:"version"`
	AthleteFields
}

// Athlete is an athlete with what is known of the body as of a day.
type Athlete struct {
	ID      int64 `json:"id"`
	Version int64 `json:"version"`
	AthleteFields
	Label        string             `json:"label" description:"The name in short, such as the family name; no other athlete has it."`
	Guest        bool               `json:"guest" description:"Known from seat races only; saving the athlete ends it."`
	Example      bool               `json:"example" description:"Brought by the examples, and goes with them."`
	AsOf         string             `json:"as_of" description:"Day that measures and postures are told for."`
	Rower        seat.Rower         `json:"rower" description:"The newest value of each measure, as the calculators take it."`
	MeasuredOn   map[string]string  `json:"measured_on" description:"Day by measure, such as stature_cm or segments_cm.shank."`
	ScullPosture *CalibratedPosture `json:"scull_posture,omitempty" description:"The newest, where one was calibrated."`
	SweepPosture *CalibratedPosture `json:"sweep_posture,omitempty" description:"The newest, where one was calibrated."`
	Cautions     []seat.Caution     `json:"cautions"`
}

// AthleteRequest asks for an athlete as of a day.
type AthleteRequest struct {
	ID   int64  `path:"id" json:"-" validate:"gte=1"`
	AsOf string `query:"as_of" json:"-" validate:"omitempty,day" description:"YYYY-MM-DD; without it, today."`
}

// CalibratedPosture is a posture with the day it was found.
type CalibratedPosture struct {
	ID           int64  `json:"id"`
	CalibratedOn string `json:"calibrated_on" description:"YYYY-MM-DD."`
	Kind         string `json:"kind" enum:"scull,sweep"`
	seat.Posture
	Note string `json:"note"`
}

// PostureEdit puts a calibrated posture on record.
type PostureEdit struct {
	AthleteID    int64  `path:"id" json:"-" validate:"gte=1"`
	CalibratedOn string `json:"calibrated_on" validate:"required,day" description:"YYYY-MM-DD."`
	Kind         string `json:"kind" validate:"required,oneof=scull sweep"`
	seat.Posture
	Note string `json:"note" validate:"omitempty,max=2000"`
}

// AthleteNames lists the athletes that are not archived, for forms that choose
// one. An athlete sees no other's.
func (s *Service) AthleteNames(ctx context.Context) ([]directory.Athlete, error) {
	return s.NamesIn(ctx, 0)
}

// NamesIn is [Service.AthleteNames] of a squad; 0 is everybody. The names are those
// that tell them from everybody.
func (s *Service) NamesIn(ctx context.Context, squad int64) ([]directory.Athlete, error) {
	all, _, err := s.called(ctx)
	if err != nil {
		return nil, err
	}
	in, err := s.InSquad(ctx, squad)
	if err != nil {
		return nil, err
	}
	viewer := access.From(ctx)
	return slices.DeleteFunc(slices.Clone(all), func(a directory.Athlete) bool {
		return a.Archived || !viewer.Owns(a.ID) || in != nil && !in(a.ID)
	}), nil
}

// Athletes lists the athletes on record.
func (s *Service) Athletes(ctx context.Context, r records.ListRequest) (AthleteList, error) {
	return s.AthletesIn(ctx, AthleteListRequest{Name: r.Name, Archived: r.Archived})
}

// AthletesIn is [Service.Athletes] of a squad.
func (s *Service) AthletesIn(ctx context.Context, r AthleteListRequest) (AthleteList, error) {
	athletes, err := s.Store.Athletes(store.Paged(ctx), store.Filter{Name: r.Name, Archived: r.Archived, Squad: r.SquadID})
	if err != nil {
		return AthleteList{}, records.RecordError(err)
	}
	today := s.Today()
	overviews, err := s.Store.Overviews(ctx, today)
	if err != nil {
		return AthleteList{}, records.RecordError(err)
	}
	labels, err := s.labels(ctx)
	if err != nil {
		return AthleteList{}, err
	}
	squads, err := s.squadsOf(ctx)
	if err != nil {
		return AthleteList{}, err
	}
	list := AthleteList{Athletes: make([]AthleteSummary, 0, len(athletes))}
	for i := range athletes {
		a, o := &athletes[i], overviews[athletes[i].ID]
		list.Athletes = append(list.Athletes, AthleteSummary{
			ID: a.ID, AthleteFields: athleteFields(a, squads), Label: labels[a.ID], Guest: a.Guest, Example: a.Example, AgeYears: ageOf(a, today),
			StatureCm: o.StatureCm, MassKg: o.MassKg, MeasuredOn: TextOrNil(o.MeasuredOn),
		})
	}
	return list, nil
}

// labels calls everybody on record in short, whatever list they are shown in.
func (s *Service) labels(ctx context.Context) (map[int64]string, error) {
	_, labels, err := s.called(ctx)
	return labels, err
}

func athleteFields(a *store.Athlete, squads map[int64][]int64) AthleteFields {
	return AthleteFields{
		Name: a.Name, GivenName: a.Given, FamilyName: a.Family, Sex: a.Sex, BirthDate: a.BirthDate, BirthYear: a.BirthYear, PortCostS: a.PortCostS, StarboardCostS: a.StarboardCostS,
		Sculls: a.Sculls, Coxes: a.Coxes, SquadIDs: append([]int64{}, squads[a.ID]...), Note: a.Note, Archived: a.Archived,
	}
}

// ageOf is the age of an athlete on a day. Of a year of birth its middle is taken,
// which is half a year off at the most.
func ageOf(a *store.Athlete, day string) *float64 {
	if a.BirthDate == nil && a.BirthYear != nil {
		return ageOn(wire.Ptr(fmt.Sprintf("%04d-07-02", *a.BirthYear)), day)
	}
	return ageOn(a.BirthDate, day)
}

// ageOn is the age in years on a day, to a tenth; nil when it is not known.
func ageOn(birth *string, day string) *float64 {
	if birth == nil {
		return nil
	}
	from, err1 := time.Parse(wire.DayLayout, *birth)
	to, err2 := time.Parse(wire.DayLayout, day)
	if err1 != nil || err2 != nil || to.Before(from) {
		return nil
	}
	years := float64(to.Year() - from.Year())
	last := from.AddDate(int(years), 0, 0)
	if last.After(to) {
		years--
		last = from.AddDate(int(years), 0, 0)
	}
	part := to.Sub(last).Hours() / last.AddDate(1, 0, 0).Sub(last).Hours()
	return wire.Ptr(years + math.Floor(10*part)/10)
}

// TextOrNil is a text as it is stored; nil for an empty one.
func TextOrNil(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}

// Athlete returns one athlete as of a day.
func (s *Service) Athlete(ctx context.Context, r AthleteRequest) (Athlete, error) {
	if r.AsOf == "" {
		r.AsOf = s.Today()
	}
	var p wire.Problems
	if p.PastDay(wire.At("as_of"), r.AsOf, "", "9999-12-31"); len(p.Fields) > 0 {
		return Athlete{}, p.OrNil()
	}
	a, err := s.Store.Athlete(ctx, r.ID)
	if err != nil {
		return Athlete{}, records.RecordError(err)
	}
	labels, err := s.labels(ctx)
	if err != nil {
		return Athlete{}, err
	}
	squads, err := s.squadsOf(ctx)
	if err != nil {
		return Athlete{}, err
	}
	latest, err := s.Store.LatestMeasures(ctx, r.ID, r.AsOf)
	if err != nil {
		return Athlete{}, records.RecordError(err)
	}
	answer := Athlete{
		ID: a.ID, Version: a.Version, AthleteFields: athleteFields(&a, squads), Label: labels[a.ID], Guest: a.Guest, Example: a.Example, AsOf: r.AsOf,
		Rower: bodyRower(&latest.Body), MeasuredOn: wireDays(latest.MeasuredOn),
	}
	answer.Rower.Sex, answer.Rower.AgeYears = a.Sex, ageOf(&a, r.AsOf)
	if answer.ScullPosture, err = s.posture(ctx, r.ID, store.Scull, r.AsOf); err != nil {
		return Athlete{}, err
	}
	if answer.SweepPosture, err = s.posture(ctx, r.ID, store.Sweep, r.AsOf); err != nil {
		return Athlete{}, err
	}
	answer.Cautions, err = s.growthCautions(ctx, &answer)
	return answer, err
}

// posture returns the newest posture of a kind, or nil.
func (s *Service) posture(ctx context.Context, athlete int64, kind, day string) (*CalibratedPosture, error) {
	p, err := s.Store.LatestPosture(ctx, athlete, kind, day)
	if errors.Is(err, store.ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return wire.Ptr(storedPosture(&p)), nil
}

func storedPosture(p *store.Posture) CalibratedPosture {
	return CalibratedPosture{ID: p.ID, CalibratedOn: p.CalibratedOn, Kind: p.Kind, Note: p.Note, Posture: seat.Posture{
		ShinDeg: p.ShinDeg, LeanDeg: p.LeanDeg, LaybackDeg: p.LaybackDeg, ProtractionCm: p.ProtractionCm,
		DorsiflexionDeg: p.DorsiflexionDeg, FinishKneeDeg: p.FinishKneeDeg, FinishGapCm: p.FinishGapCm,
		RotationMaxDeg: p.RotationMaxDeg, SideLeanCm: p.SideLeanCm,
	}}
}

// AddAthlete puts an athlete on record.
func (s *Service) AddAthlete(ctx context.Context, r NewAthlete) (AthleteEntry, error) {
	r.settleName(nil)
	if err := s.checkAthlete(&r.AthleteFields, r.Measures, r.By); err != nil {
		return AthleteEntry{}, err
	}
	a := r.Stored()
	id, err := s.saveAthlete(ctx, a, &r.AthleteFields, r.Measures, r.By)
	if err != nil {
		return AthleteEntry{}, err
	}
	return AthleteEntry{ID: id, Version: 1, AthleteFields: athleteFields(&a, map[int64][]int64{0: r.SquadIDs})}, nil
}

// saveAthlete writes an athlete with their squads and what was measured today, all
// or nothing.
func (s *Service) saveAthlete(ctx context.Context, a store.Athlete, f *AthleteFields, body *MeasuredBody, by string) (int64, error) {
	member := store.SquadMember{Athlete: a, Squads: f.SquadIDs, Join: f.NewSquads}
	if body != nil {
		member.Body = body.stored()
	}
	ids, err := s.Store.SaveSquad(ctx, []store.SquadMember{member}, s.Today(), s.Signed(by))
	if errors.Is(err, store.ErrNotFound) {
		_, gone := s.Store.Athlete(ctx, a.ID)
		if a.ID == 0 || gone == nil {
			return 0, wire.At("squad_ids").Invalid("A squad of this list is not on record any more.")
		}
	}
	if err != nil {
		return 0, records.TakenAs(err, sameAthlete)
	}
	return ids[0], nil
}

// checkAthlete checks an athlete with what was measured today.
func (s *Service) checkAthlete(f *AthleteFields, body *MeasuredBody, by string) error {
	var p wire.Problems
	s.checkFields(&p, f, by)
	if body != nil {
		body.check(&p, wire.At("measures"), f.Sex)
	}
	return p.OrNil()
}

const sameAthlete = "An athlete of this name and birth date is on record: add the birth date or a middle name to tell them apart."

// UpdateAthlete writes every field of an athlete.
func (s *Service) UpdateAthlete(ctx context.Context, r AthleteEdit) (Athlete, error) {
	old, err := s.Store.Athlete(ctx, r.ID)
	if err != nil {
		return Athlete{}, records.RecordError(err)
	}
	r.settleName(&old)
	if err := s.checkAthlete(&r.AthleteFields, r.Measures, r.By); err != nil {
		return Athlete{}, err
	}
	a := r.Stored()
	a.ID, a.Version = r.ID, r.Version
	if _, err := s.saveAthlete(ctx, a, &r.AthleteFields, r.Measures, r.By); err != nil {
		return Athlete{}, err
	}
	return s.Athlete(ctx, AthleteRequest{ID: r.ID})
}

// settleName makes the name and its parts say the same. What is empty follows from
// what is not; where an athlete is edited, what was left as it was follows from what
// was changed.
func (f *AthleteFields) settleName(old *store.Athlete) {
	f.Name, f.GivenName, f.FamilyName = strings.TrimSpace(f.Name), strings.TrimSpace(f.GivenName), strings.TrimSpace(f.FamilyName)
	bare := f.GivenName == "" && f.FamilyName == ""
	switch {
	case old != nil && f.Name == old.Name && bare:
		f.GivenName, f.FamilyName = old.Given, old.Family
	case old != nil && f.Name == old.Name:
		f.Name = ""
	case bare || old != nil && f.GivenName == old.Given && f.FamilyName == old.Family && f.Name != "":
		f.GivenName, f.FamilyName = store.SplitName(f.Name)
		f.Name = ""
	}
	if f.Name == "" {
		f.Name = store.JoinName(f.GivenName, f.FamilyName)
	}
}

// checkName complains of a name that says something else than its parts.
func (f *AthleteFields) checkName(p *wire.Problems) {
	p.Printable(wire.At("name"), f.Name, "")
	joined := store.JoinName(f.GivenName, f.FamilyName)
	switch {
	case strings.TrimSpace(f.Name) != "" && store.NameKey(f.Name) == "":
		p.Add(wire.At("name").Problem("A name needs letters.")) // marks alone are none
	case joined != "" && directory.Key(joined) != directory.Key(f.Name) && directory.Key(f.FamilyName+" "+f.GivenName) != directory.Key(f.Name):
		p.Add(wire.At("name").Problem("The name says “" + f.Name + "”, its parts “" + joined + "”: send one of the two."))
	}
}

// Stored converts to the record; names lose blanks around them. Who is written
// here belongs to the club and is no guest of a seat race any more, so that
// removing the race leaves them.
func (f *AthleteFields) Stored() store.Athlete {
	return store.Athlete{
		Name: strings.TrimSpace(f.Name), Given: f.GivenName, Family: f.FamilyName, Sex: f.Sex, BirthDate: f.BirthDate, BirthYear: f.BirthYear, PortCostS: f.PortCostS, StarboardCostS: f.StarboardCostS,
		Sculls: f.Sculls, Coxes: f.Coxes, Note: f.Note, Archived: f.Archived,
	}
}

// LongestSideCost bounds what a side may cost, s over 2000 m; engineering
// judgement: more is a side that is not rowed.
const LongestSideCost = 60

// longestLife bounds birth dates, years: an older date is a slip of the pen (our
// judgement).
const longestLife = 110

// CheckAthlete checks what is known of an athlete, and who says so.
func (s *Service) CheckAthlete(f *AthleteFields, by string) error {
	var p wire.Problems
	s.checkFields(&p, f, by)
	return p.OrNil()
}

func (s *Service) checkFields(p *wire.Problems, f *AthleteFields, by string) {
	f.checkName(p)
	for _, name := range f.NewSquads {
		squad := SquadFields{Name: name}
		for _, bad := range squad.problems() {
			p.Add(wire.At("new_squad").Problem(bad.Detail))
		}
	}
	if f.BirthDate != nil {
		p.PastDay(wire.At("birth_date"), *f.BirthDate, s.Now().AddDate(-longestLife, 0, 0).Format(wire.DayLayout), s.Today())
	}
	if y := f.BirthYear; y != nil {
		switch now := int64(s.Now().Year()); {
		case f.BirthDate != nil:
			p.Add(wire.At("birth_year").Problem("The birth date says the year already: send one of the two."))
		case *y > now || *y < now-longestLife:
			p.Add(wire.At("birth_year").Problem(fmt.Sprintf("Nobody who rows was born in %d.", *y)))
		}
	}
	p.Check(wire.At(), f)
	p.Author(by)
}

// DeleteAthlete removes an athlete with everything measured of them. An
// athlete of a seat race cannot be removed.
func (s *Service) DeleteAthlete(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	gone, err := records.Gone(r.ID, s.Store.DeleteAthlete(ctx, r.ID))
	if err == nil {
		s.ReportRemoved(r.ID)
	}
	return gone, err
}

// AthleteChanges returns the history of an athlete's record.
func (s *Service) AthleteChanges(ctx context.Context, r records.ChangesRequest) (records.Changes, error) {
	return s.Changes(ctx, store.AthleteRecord, r)
}

// AddPosture puts a calibrated posture on record.
func (s *Service) AddPosture(ctx context.Context, r PostureEdit) (Athlete, error) {
	var p wire.Problems
	class := rigging.Class{Scull: r.Kind == store.Scull}
	p.PastDay(wire.At("calibrated_on"), r.CalibratedOn, "1900-01-01", s.Today())
	posture := r.Domain(class)
	p.AddError(wire.Place{}, posture.Check(), wire.Names{rigging.FieldPosture: nil})
	p.Check(wire.At(), &r)
	if err := p.OrNil(); err != nil {
		return Athlete{}, err
	}
	if _, err := s.Store.AddPosture(ctx, r.stored(s.Now())); err != nil {
		return Athlete{}, records.RecordError(err)
	}
	return s.Athlete(ctx, AthleteRequest{ID: r.AthleteID})
}

func (r *PostureEdit) stored(now time.Time) store.Posture {
	return store.Posture{
		AthleteID: r.AthleteID, CalibratedOn: r.CalibratedOn, Kind: r.Kind, Note: r.Note, EnteredAt: now,
		ShinDeg: r.ShinDeg, LeanDeg: r.LeanDeg, LaybackDeg: r.LaybackDeg, ProtractionCm: r.ProtractionCm,
		DorsiflexionDeg: r.DorsiflexionDeg, FinishKneeDeg: r.FinishKneeDeg, FinishGapCm: r.FinishGapCm,
		RotationMaxDeg: r.RotationMaxDeg, SideLeanCm: r.SideLeanCm,
	}
}
