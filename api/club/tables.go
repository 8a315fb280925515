package club

import (
	"context"

	"thole/api/records"
	"thole/api/table"
)

// What is on record as tables. The headings of the athletes are those that the
// import of a squad knows, so that the table can come in again.

var athleteColumns = []table.Column{
	table.Texts("name", "Of the athlete, the given name first."), table.Texts("given_name", "Its first part."), table.Texts("family_name", "Its last part."),
	table.Texts("sex", "female or male; blank where it is not known."),
	table.Days("birth_date", "YYYY-MM-DD."),
	table.Numbers("age_years", 1, "As of today."),
	table.Numbers("stature_cm", 1, "Height standing, the newest on record."),
	table.Numbers("mass_kg", 1, "The newest on record."),
	table.Days("measured_on", "Day of the newest measure, YYYY-MM-DD."),
	table.Texts("sculls", "yes or no."),
	table.Numbers("port_cost_s", table.Free, "What rowing on port costs over 2000 m, in s: 0 for the better side, blank for a side that is not rowed."),
	table.Numbers("starboard_cost_s", table.Free, "The same for starboard."),
	table.Texts("athlete_note", "On the athlete."),
}

// AthleteTable lists athletes as AthletesIn does.
func (s *Service) AthleteTable(ctx context.Context, r AthleteListRequest) (table.Table, string, error) {
	t := table.New("Athletes", athleteColumns...)
	list, err := s.AthletesIn(ctx, r)
	for i := range list.Athletes {
		a := &list.Athletes[i]
		t.Add(a.Name, a.GivenName, a.FamilyName, a.Sex, a.BirthDate, a.AgeYears, a.StatureCm, a.MassKg, a.MeasuredOn, table.YesNo(a.Sculls), a.PortCostS, a.StarboardCostS, a.Note)
	}
	return t, "athletes", err
}

var measureColumns = []table.Column{
	table.Days("Measured on", "YYYY-MM-DD."),
	table.Numbers("Height, cm", 1, "Standing, without shoes."), table.Numbers("Arm span, cm", 1, "Finger tip to finger tip."),
	table.Numbers("Sitting height, cm", 1, "Seat to the top of the head."), table.Numbers("Mass, kg", 1, "In rowing kit."),
	table.Numbers("Draw height, cm", 1, "Draw height: hands at the finish over the seat."),
	table.Numbers("Shank, cm", 1, "Ankle to knee."), table.Numbers("Thigh, cm", 1, "Knee to hip."), table.Numbers("Trunk, cm", 1, "Hip to shoulder."),
	table.Numbers("Arm, cm", 1, "Shoulder to the middle of the handle."), table.Numbers("Half shoulders, cm", 1, "Spine to shoulder."),
	table.Texts("Measured by", "Who measured."), table.Texts("Note", "On the measures."),
}

// MeasureTable lists what was measured of an athlete, newest first.
func (s *Service) MeasureTable(ctx context.Context, r records.IDRequest) (table.Table, string, error) {
	t := table.New("Measures", measureColumns...)
	list, err := s.Measures(ctx, r)
	for i := range list.Measures {
		m := &list.Measures[i]
		g := &m.SegmentsCm
		t.Add(m.MeasuredOn, m.StatureCm, m.ArmSpanCm, m.SittingHeightCm, m.MassKg, m.DrawHeightCm, g.Shank, g.Thigh, g.Trunk, g.Arm, g.HalfShoulder, m.MeasuredBy, m.Note)
	}
	return t, "measures", err
}
