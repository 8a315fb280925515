package club

import (
	"context"
	"fmt"
	"strings"
	"time"

	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// MeasuredBody is what was measured of a body; each value optional.
type MeasuredBody struct {
	StatureCm       *float64      `json:"stature_cm" validate:"omitempty,plausible=rower.stature" description:"Standing, without shoes."`
	ArmSpanCm       *float64      `json:"arm_span_cm" validate:"omitempty,plausible=rower.arm_span" description:"Finger tip to finger tip."`
	SittingHeightCm *float64      `json:"sitting_height_cm" validate:"omitempty,plausible=rower.sitting_height" description:"Seat to the top of the head, sitting upright."`
	MassKg          *float64      `json:"mass_kg" validate:"omitempty,plausible=rower.mass"`
	DrawHeightCm    *float64      `json:"draw_height_cm" validate:"omitempty,plausible=rower.draw_height" description:"Draw height: hands at the finish over the seat."`
	SegmentsCm      seat.Segments `json:"segments_cm"`
}

// Measures are what was taken of one athlete on one day.
type Measures struct {
	ID         int64  `json:"id"`
	MeasuredOn string `json:"measured_on" description:"YYYY-MM-DD."`
	MeasuredBody
	MeasuredBy string    `json:"measured_by"`
	Note       string    `json:"note"`
	EnteredAt  time.Time `json:"entered_at"`
}

// MeasuresList is everything measured of an athlete.
type MeasuresList struct {
	Measures []Measures `json:"measures" description:"Newest first; of two entries of one day the first counts."`
}

// NewMeasures appends what was measured of an athlete on one day. Measures are
// never changed: a wrong one is set right by measuring again.
type NewMeasures struct {
	AthleteID  int64  `path:"id" json:"-" validate:"gte=1"`
	MeasuredOn string `json:"measured_on" validate:"required,day" description:"YYYY-MM-DD."`
	MeasuredBody
	MeasuredBy string `json:"measured_by" validate:"filled,max=80" say:"Say who measured: your name is kept with the values."`
	Note       string `json:"note" validate:"omitempty,max=2000"`
}

// stored and measuredBody convert between the wire and the record.
func (b *MeasuredBody) stored() store.Body {
	g := &b.SegmentsCm
	return store.Body{
		StatureCm: b.StatureCm, ArmSpanCm: b.ArmSpanCm, SittingHeightCm: b.SittingHeightCm, MassKg: b.MassKg, DrawHeightCm: b.DrawHeightCm,
		ShankCm: g.Shank, ThighCm: g.Thigh, TrunkCm: g.Trunk, ArmCm: g.Arm, HalfShoulderCm: g.HalfShoulder, HalfDepthCm: g.HalfDepth,
		AnkleAlongCm: g.AnkleAlong, AnkleOffCm: g.AnkleOff, BallCm: g.Ball, HipHeightCm: g.HipHeight,
	}
}

func measuredBody(b *store.Body) MeasuredBody {
	return MeasuredBody{
		StatureCm: b.StatureCm, ArmSpanCm: b.ArmSpanCm, SittingHeightCm: b.SittingHeightCm, MassKg: b.MassKg, DrawHeightCm: b.DrawHeightCm,
		SegmentsCm: seat.Segments{
			Shank: b.ShankCm, Thigh: b.ThighCm, Trunk: b.TrunkCm, Arm: b.ArmCm, HalfShoulder: b.HalfShoulderCm, HalfDepth: b.HalfDepthCm,
			AnkleAlong: b.AnkleAlongCm, AnkleOff: b.AnkleOffCm, Ball: b.BallCm, HipHeight: b.HipHeightCm,
		},
	}
}

// rower is the body as the calculators take it.
func (b *MeasuredBody) rower() seat.Rower {
	return seat.Rower{
		StatureCm: b.StatureCm, ArmSpanCm: b.ArmSpanCm, SittingHeightCm: b.SittingHeightCm, MassKg: b.MassKg,
		DrawHeightCm: b.DrawHeightCm, SegmentsCm: b.SegmentsCm,
	}
}

func bodyRower(b *store.Body) seat.Rower {
	body := measuredBody(b)
	return body.rower()
}

// wireDays gives the days of measures the names of the wire.
func wireDays(days map[string]string) map[string]string {
	named := make(map[string]string, len(days))
	for name, day := range days {
		switch name {
		case "stature_cm", "arm_span_cm", "sitting_height_cm", "mass_kg", "draw_height_cm":
		default:
			name = "segments_cm." + strings.TrimSuffix(name, "_cm")
		}
		named[name] = day
	}
	return named
}

// Measures returns everything measured of an athlete.
func (s *Service) Measures(ctx context.Context, r records.IDRequest) (MeasuresList, error) {
	if _, err := s.Store.Athlete(ctx, r.ID); err != nil {
		return MeasuresList{}, records.RecordError(err)
	}
	entries, err := s.Store.MeasuresOf(ctx, r.ID)
	list := MeasuresList{Measures: make([]Measures, 0, len(entries))}
	for _, m := range entries {
		list.Measures = append(list.Measures, Measures{
			ID: m.ID, MeasuredOn: m.MeasuredOn, MeasuredBody: measuredBody(&m.Body), MeasuredBy: m.MeasuredBy, Note: m.Note, EnteredAt: m.EnteredAt,
		})
	}
	return list, records.RecordError(err)
}

// AddMeasures appends what was measured on one day, and returns the athlete.
func (s *Service) AddMeasures(ctx context.Context, r NewMeasures) (Athlete, error) {
	a, err := s.Store.Athlete(ctx, r.AthleteID)
	if err != nil {
		return Athlete{}, records.RecordError(err)
	}
	if err := s.checkMeasures(&r, &a); err != nil {
		return Athlete{}, err
	}
	m := store.Measures{
		AthleteID: r.AthleteID, MeasuredOn: r.MeasuredOn, Body: r.stored(), MeasuredBy: strings.TrimSpace(r.MeasuredBy), Note: r.Note, EnteredAt: s.Now(),
	}
	if _, err := s.Store.AddMeasures(ctx, m); err != nil {
		return Athlete{}, records.RecordError(err)
	}
	return s.Athlete(ctx, AthleteRequest{ID: r.AthleteID})
}

// checkMeasures checks the day and the body, each value by itself and against
// the others of the day.
func (s *Service) checkMeasures(r *NewMeasures, a *store.Athlete) error {
	var p wire.Problems
	earliest := "1900-01-01"
	if a.BirthDate != nil {
		earliest = *a.BirthDate
	}
	p.PastDay(wire.At("measured_on"), r.MeasuredOn, earliest, s.Today())
	r.MeasuredBody.check(&p, wire.Place{}, a.Sex)
	if r.MeasuredBody == (MeasuredBody{}) {
		p.Add(wire.At("stature_cm").Problem("Fill in at least one measure."))
	}
	p.Check(wire.At(), r)
	return p.OrNil()
}

// check checks the measures of a body that stand at a place.
func (b *MeasuredBody) check(p *wire.Problems, at wire.Place, sex string) {
	rower := b.rower()
	rower.Sex = sex
	measures := rower.Measures()
	p.AddError(at, measures.Check(), wire.Names{rigging.FieldRower: nil})
	p.Check(at, b)
}

// The growth that calls for another look at the rig. That adolescents grow up to
// about 10 cm within the year of their spurt is from memory; the thresholds
// are engineering judgement.
const (
	remeasure    = 90  // days after which juniors are measured again
	growthAYear  = 4.0 // cm
	growthInAll  = 1.0 // cm
	daysInAYear  = 365.25
	growthWindow = 365 // days looked back
)

// growthCautions reports what growth asks for.
func (s *Service) growthCautions(ctx context.Context, a *Athlete) ([]seat.Caution, error) {
	cautions := []seat.Caution{}
	if age := a.Rower.AgeYears; age == nil || *age >= rigging.AdultAge {
		return cautions, nil
	}
	entries, err := s.Store.MeasuresOf(ctx, a.ID)
	if err != nil {
		return nil, err
	}
	var taken []store.Measures // newest first
	for _, m := range entries {
		if m.StatureCm != nil && m.MeasuredOn <= a.AsOf {
			taken = append(taken, m)
		}
	}
	if len(taken) == 0 || daysBetween(taken[0].MeasuredOn, a.AsOf) > remeasure {
		cautions = append(cautions, seat.Caution{Code: "measure_again", Weight: "warning", Text: "Still growing, and not measured within three months: measure before you rig for this athlete."})
	}
	if text := grown(taken); text != "" {
		cautions = append(cautions, seat.Caution{Code: "growing", Weight: "notice", Text: text})
	}
	return cautions, nil
}

// grown reports how fast the stature rises where that matters to the rig.
func grown(taken []store.Measures) string {
	for i := len(taken) - 1; i > 0; i-- {
		days := daysBetween(taken[i].MeasuredOn, taken[0].MeasuredOn)
		by := *taken[0].StatureCm - *taken[i].StatureCm
		if days > growthWindow || days == 0 {
			continue
		}
		if by >= growthInAll && by/float64(days)*daysInAYear >= growthAYear {
			return fmt.Sprintf("Grew %.1f cm in %s. In a growth spurt legs and arms lengthen before the trunk: measure the limbs as well, check the rig again, gear lighter, and stop at any pain.", by, spell(days))
		}
		return ""
	}
	return ""
}

// spell says how long some days are: to the nearest week from two weeks on.
func spell(days int) string {
	switch {
	case days == 1:
		return "1 day"
	case days < 14:
		return fmt.Sprintf("%d days", days)
	}
	return fmt.Sprintf("%d weeks", (days+3)/7)
}

// daysBetween counts the days from one to the other; 0 when one is none.
func daysBetween(from, to string) int {
	a, err1 := time.Parse(wire.DayLayout, from)
	b, err2 := time.Parse(wire.DayLayout, to)
	if err1 != nil || err2 != nil {
		return 0
	}
	return int(b.Sub(a).Hours() / 24)
}
