package athletes_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

func TestMeasuresOutliveARestart(t *testing.T) {
	s := storetest.New(t)
	m := store.Measures{AthleteID: storetest.AddNamed(t, s, "Edda"), MeasuredOn: "2026-03-01", MeasuredBy: "Anna", Note: "after training", EnteredAt: storetest.Noon.Add(time.Minute)}
	for i, v := range m.Values() {
		*v.Value = storetest.Ptr(10.25 + float64(i))
	}
	m.ID = storetest.Must(s.AddMeasures(storetest.Ctx, m))
	storetest.WantFull(t, m)
	storetest.WantEqual(t, storetest.Must(storetest.Reopen(t, s).MeasuresOf(storetest.Ctx, m.AthleteID)), []store.Measures{m})
}

func TestSomethingHasToBeMeasured(t *testing.T) {
	s := storetest.New(t)
	_, err := s.AddMeasures(storetest.Ctx, store.Measures{AthleteID: storetest.AddNamed(t, s, "Edda"), MeasuredOn: "2026-03-01"})
	storetest.WantError(t, err, store.ErrInvalid)
}

func TestMeasuresAreNotChangedInPlace(t *testing.T) {
	s := storetest.New(t)
	storetest.Must(s.AddMeasures(storetest.Ctx, store.Measures{AthleteID: storetest.AddNamed(t, s, "Edda"), MeasuredOn: "2026-03-01", Body: store.Body{MassKg: storetest.Ptr(80.0)}}))
	if _, err := storetest.Writer(s).Exec("UPDATE measures SET mass_kg = 70"); err == nil {
		t.Error("a measure was overwritten")
	}
}

func TestTheClockTellsWhenNobodyElseDoes(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	storetest.Must(s.AddMeasures(storetest.Ctx, store.Measures{AthleteID: id, MeasuredOn: "2026-03-01", Body: store.Body{MassKg: storetest.Ptr(80.0)}}))
	storetest.WantEqual(t, storetest.Must(s.MeasuresOf(storetest.Ctx, id))[0].EnteredAt, storetest.Noon)
}

func TestLatestMeasuresComeFromDifferentDays(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	for _, m := range []store.Measures{
		{MeasuredOn: "2025-09-01", Body: store.Body{StatureCm: storetest.Ptr(178.0), MassKg: storetest.Ptr(70.0)}},
		{MeasuredOn: "2026-02-01", Body: store.Body{StatureCm: storetest.Ptr(180.0)}},
		{MeasuredOn: "2025-12-01", Body: store.Body{StatureCm: storetest.Ptr(179.0), ArmSpanCm: storetest.Ptr(185.0)}}, // entered late
		{MeasuredOn: "2026-02-01", Body: store.Body{StatureCm: storetest.Ptr(181.0)}},                                  // sets right
	} {
		m.AthleteID = id
		storetest.Must(s.AddMeasures(storetest.Ctx, m))
	}
	for asOf, want := range map[string]store.LatestMeasures{
		"2026-03-01": {Body: store.Body{StatureCm: storetest.Ptr(181.0), MassKg: storetest.Ptr(70.0), ArmSpanCm: storetest.Ptr(185.0)},
			MeasuredOn: map[string]string{"stature_cm": "2026-02-01", "mass_kg": "2025-09-01", "arm_span_cm": "2025-12-01"}},
		"2026-01-31": {Body: store.Body{StatureCm: storetest.Ptr(179.0), MassKg: storetest.Ptr(70.0), ArmSpanCm: storetest.Ptr(185.0)},
			MeasuredOn: map[string]string{"stature_cm": "2025-12-01", "mass_kg": "2025-09-01", "arm_span_cm": "2025-12-01"}},
		"2025-09-01": {Body: store.Body{StatureCm: storetest.Ptr(178.0), MassKg: storetest.Ptr(70.0)},
			MeasuredOn: map[string]string{"stature_cm": "2025-09-01", "mass_kg": "2025-09-01"}},
		"2025-08-31": {},
	} {
		storetest.WantEqual(t, storetest.Must(s.LatestMeasures(storetest.Ctx, id, asOf)), want)
	}
}

// The slow way: look through all entries for the best day of one measure.
func TestLatestMeasuresAgreeWithASearch(t *testing.T) {
	s := storetest.New(t)
	random := rand.New(rand.NewPCG(3, 4))
	days := []string{"2025-01-01", "2025-06-01", "2025-12-01", "2026-01-01"}
	for range 5 {
		id := storetest.AddNamed(t, s, time.Duration(random.Int64()).String())
		for range 8 {
			m := store.Measures{AthleteID: id, MeasuredOn: days[random.IntN(4)], Body: store.Body{MassKg: storetest.Ptr(80.0)}}
			for _, v := range m.Values() {
				if random.IntN(4) == 0 {
					*v.Value = storetest.Ptr(random.Float64())
				}
			}
			storetest.Must(s.AddMeasures(storetest.Ctx, m))
		}
	}
	for id, latest := range storetest.Must(s.AllLatestMeasures(storetest.Ctx, days[2])) {
		all := storetest.Must(s.MeasuresOf(storetest.Ctx, id))
		for i, v := range latest.Values() {
			storetest.WantEqual(t, *v.Value, newest(all, i, days[2]))
		}
		storetest.WantEqual(t, storetest.Must(s.LatestMeasures(storetest.Ctx, id, days[2])), latest)
	}
}

// newest returns the i-th measure of the newest entry that has it.
func newest(all []store.Measures, i int, asOf string) *float64 {
	slices.SortFunc(all, func(a, b store.Measures) int { return int(a.ID - b.ID) })
	var value *float64
	var day string
	for _, m := range all {
		if v := *m.Values()[i].Value; v != nil && m.MeasuredOn <= asOf && m.MeasuredOn >= day {
			value, day = v, m.MeasuredOn
		}
	}
	return value
}

func TestAPostureOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	p := store.Posture{
		AthleteID: storetest.AddNamed(t, s, "Edda"), CalibratedOn: "2026-03-01", Kind: store.Sweep, ShinDeg: storetest.Ptr(91.0), LeanDeg: storetest.Ptr(24.0), LaybackDeg: storetest.Ptr(27.0),
		ProtractionCm: storetest.Ptr(8.5), DorsiflexionDeg: storetest.Ptr(33.0), FinishKneeDeg: storetest.Ptr(174.0), FinishGapCm: storetest.Ptr(2.5), RotationMaxDeg: storetest.Ptr(40.0),
		SideLeanCm: storetest.Ptr(4.5), Note: "from the video", EnteredAt: storetest.Noon,
	}
	p.ID = storetest.Must(s.AddPosture(storetest.Ctx, p))
	storetest.WantFull(t, p)
	storetest.WantEqual(t, storetest.Must(storetest.Reopen(t, s).LatestPosture(storetest.Ctx, p.AthleteID, store.Sweep, "2026-03-01")), p)
}

func TestTheLatestPostureIsTakenWhole(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	for _, p := range []store.Posture{
		{CalibratedOn: "2025-09-01", Kind: store.Scull, ShinDeg: storetest.Ptr(88.0), LeanDeg: storetest.Ptr(20.0)},
		{CalibratedOn: "2026-02-01", Kind: store.Scull, ShinDeg: storetest.Ptr(90.0)},
		{CalibratedOn: "2026-02-02", Kind: store.Sweep, ShinDeg: storetest.Ptr(95.0)},
	} {
		p.AthleteID = id
		storetest.Must(s.AddPosture(storetest.Ctx, p))
	}
	p := storetest.Must(s.LatestPosture(storetest.Ctx, id, store.Scull, "2026-03-01"))
	if *p.ShinDeg != 90 || p.LeanDeg != nil {
		t.Errorf("shin %v, lean %v: want 90 and none", *p.ShinDeg, p.LeanDeg)
	}
	storetest.WantEqual(t, *storetest.Must(s.LatestPosture(storetest.Ctx, id, store.Scull, "2026-01-31")).ShinDeg, 88.0)
	_, err := s.LatestPosture(storetest.Ctx, id, store.Sweep, "2026-02-01")
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestAPostureIsOfAKnownKind(t *testing.T) {
	s := storetest.New(t)
	_, err := s.AddPosture(storetest.Ctx, store.Posture{AthleteID: storetest.AddNamed(t, s, "Edda"), CalibratedOn: "2026-03-01", Kind: "x"})
	storetest.WantError(t, err, store.ErrInvalid)
}
