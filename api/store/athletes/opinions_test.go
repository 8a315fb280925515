package store

import "testing"

func TestAnOpinionOutlivesARestart(t *testing.T) {
	s := open(t)
	edda, frieda := addNamed(t, s, "Edda"), addNamed(t, s, "Frieda")
	old := Opinion{AthleteID: edda, SaidOn: "2026-03-01", PowerW: 260, SDW: 12, Note: "strong in a headwind", SaidBy: "Anna", EnteredAt: noon}
	old.ID = must(s.AddOpinion(ctx, old))
	newer := Opinion{AthleteID: edda, SaidOn: "2026-04-01", PowerW: 270.5, SDW: 8, SaidBy: "Bert", EnteredAt: noon}
	newer.ID = must(s.AddOpinion(ctx, newer))
	wantFull(t, old)
	s = reopen(t, s)
	wantEqual(t, must(s.OpinionsOf(ctx, edda)), []Opinion{newer, old})
	wantEqual(t, must(s.OpinionsOf(ctx, frieda)), []Opinion{})
	wantEqual(t, must(s.Opinions(ctx)), []Opinion{newer, old})
	_, err := s.OpinionsOf(ctx, 99)
	wantError(t, err, ErrNotFound)
	wantError(t, s.RemoveOpinion(ctx, frieda, newer.ID), ErrNotFound)
	check(t, s.RemoveOpinion(ctx, edda, newer.ID))
	wantEqual(t, must(s.Opinions(ctx)), []Opinion{old})
	check(t, s.DeleteAthlete(ctx, edda))
	wantEqual(t, must(s.Opinions(ctx)), []Opinion{})
}

func TestOpinionsThatCannotBe(t *testing.T) {
	s := open(t)
	edda := addNamed(t, s, "Edda")
	for _, o := range []Opinion{
		{AthleteID: edda, SaidOn: "1 March", PowerW: 260, SDW: 12}, {AthleteID: edda, SaidOn: "2026-03-01", SDW: 12}, {AthleteID: edda, SaidOn: "2026-03-01", PowerW: 260},
	} {
		_, err := s.AddOpinion(ctx, o)
		wantError(t, err, ErrInvalid)
	}
	_, err := s.AddOpinion(ctx, Opinion{AthleteID: 99, SaidOn: "2026-03-01", PowerW: 260, SDW: 12})
	wantError(t, err, ErrNotFound)
}

func TestTheNewestRecordingTellsThePower(t *testing.T) {
	s := open(t)
	edda, frieda := addNamed(t, s, "Edda"), addNamed(t, s, "Frieda")
	boat := must(s.AddBoat(ctx, Boat{Name: "Kingfisher", ClassCode: "2-", Seats: []Seat{{Number: 1}, {Number: 2}}}, anna))
	row := func(who int64, in *int64, day string, features ...FeatureValue) {
		_, err := s.AddRecordings(ctx, func(yield func(Recording, error) bool) {
			yield(Recording{AthleteID: &who, BoatID: in, RecordedOn: day, SourceFile: "a.csv", Thresholds: "{}", Features: features}, nil)
		})
		check(t, err)
	}
	power := func(w, rate float64) []FeatureValue {
		return []FeatureValue{{Feature: "power_w", Value: w}, {Feature: "rate_per_min", Value: rate}, {Stroke: 1, Feature: "power_w", Value: 2 * w}}
	}
	row(edda, &boat, "2026-03-02", power(280, 30)...)
	row(edda, &boat, "2026-03-01", power(250, 28)...)
	row(edda, nil, "2026-03-03", power(200, 20)...)
	row(edda, &boat, "2026-03-04", FeatureValue{Feature: "power_w", Value: 300})
	row(frieda, &boat, "2026-03-01", power(240, 28)...)
	wantEqual(t, must(s.RecordedPowers(ctx)), []RecordedPower{{frieda, boat, "2026-03-01", 240, 28}, {edda, boat, "2026-03-02", 280, 30}})
}
