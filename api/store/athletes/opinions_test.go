package athletes_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

func TestAnOpinionOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	edda, frieda := storetest.AddNamed(t, s, "Edda"), storetest.AddNamed(t, s, "Frieda")
	old := store.Opinion{AthleteID: edda, SaidOn: "2026-03-01", PowerW: 260, SDW: 12, Note: "strong in a headwind", SaidBy: "Anna", EnteredAt: storetest.Noon}
	old.ID = storetest.Must(s.AddOpinion(storetest.Ctx, old))
	newer := store.Opinion{AthleteID: edda, SaidOn: "2026-04-01", PowerW: 270.5, SDW: 8, SaidBy: "Bert", EnteredAt: storetest.Noon}
	newer.ID = storetest.Must(s.AddOpinion(storetest.Ctx, newer))
	storetest.WantFull(t, old)
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.OpinionsOf(storetest.Ctx, edda)), []store.Opinion{newer, old})
	storetest.WantEqual(t, storetest.Must(s.OpinionsOf(storetest.Ctx, frieda)), []store.Opinion{})
	storetest.WantEqual(t, storetest.Must(s.Opinions(storetest.Ctx)), []store.Opinion{newer, old})
	_, err := s.OpinionsOf(storetest.Ctx, 99)
	storetest.WantError(t, err, store.ErrNotFound)
	storetest.WantError(t, s.RemoveOpinion(storetest.Ctx, frieda, newer.ID), store.ErrNotFound)
	storetest.Check(t, s.RemoveOpinion(storetest.Ctx, edda, newer.ID))
	storetest.WantEqual(t, storetest.Must(s.Opinions(storetest.Ctx)), []store.Opinion{old})
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, edda))
	storetest.WantEqual(t, storetest.Must(s.Opinions(storetest.Ctx)), []store.Opinion{})
}

func TestOpinionsThatCannotBe(t *testing.T) {
	s := storetest.New(t)
	edda := storetest.AddNamed(t, s, "Edda")
	for _, o := range []store.Opinion{
		{AthleteID: edda, SaidOn: "1 March", PowerW: 260, SDW: 12}, {AthleteID: edda, SaidOn: "2026-03-01", SDW: 12}, {AthleteID: edda, SaidOn: "2026-03-01", PowerW: 260},
	} {
		_, err := s.AddOpinion(storetest.Ctx, o)
		storetest.WantError(t, err, store.ErrInvalid)
	}
	_, err := s.AddOpinion(storetest.Ctx, store.Opinion{AthleteID: 99, SaidOn: "2026-03-01", PowerW: 260, SDW: 12})
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestTheNewestRecordingTellsThePower(t *testing.T) {
	s := storetest.New(t)
	edda, frieda := storetest.AddNamed(t, s, "Edda"), storetest.AddNamed(t, s, "Frieda")
	boat := storetest.Must(s.AddBoat(storetest.Ctx, store.Boat{Name: "Kingfisher", ClassCode: "2-", Seats: []store.Seat{{Number: 1}, {Number: 2}}}, storetest.Anna))
	row := func(who int64, in *int64, day string, features ...store.FeatureValue) {
		_, err := s.AddRecordings(storetest.Ctx, func(yield func(store.Recording, error) bool) {
			yield(store.Recording{AthleteID: &who, BoatID: in, RecordedOn: day, SourceFile: "a.csv", Thresholds: "{}", Features: features}, nil)
		})
		storetest.Check(t, err)
	}
	power := func(w, rate float64) []store.FeatureValue {
		return []store.FeatureValue{{Feature: "power_w", Value: w}, {Feature: "rate_per_min", Value: rate}, {Stroke: 1, Feature: "power_w", Value: 2 * w}}
	}
	row(edda, &boat, "2026-03-02", power(280, 30)...)
	row(edda, &boat, "2026-03-01", power(250, 28)...)
	row(edda, nil, "2026-03-03", power(200, 20)...)
	row(edda, &boat, "2026-03-04", store.FeatureValue{Feature: "power_w", Value: 300})
	row(frieda, &boat, "2026-03-01", power(240, 28)...)
	storetest.WantEqual(t, storetest.Must(s.RecordedPowers(storetest.Ctx)), []store.RecordedPower{{AthleteID: frieda, BoatID: boat, RecordedOn: "2026-03-01", PowerW: 240, RatePerMin: 28}, {AthleteID: edda, BoatID: boat, RecordedOn: "2026-03-02", PowerW: 280, RatePerMin: 30}})
}
