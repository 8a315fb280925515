package store

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

func TestMeasuresOutliveARestart(t *testing.T) {
	s := open(t)
	m := Measures{AthleteID: addNamed(t, s, "Edda"), MeasuredOn: "2026-03-01", MeasuredBy: "Anna", Note: "after training", EnteredAt: noon.Add(time.Minute)}
	for i, v := range m.values() {
		*v.value = ptr(10.25 + float64(i))
	}
	m.ID = must(s.AddMeasures(ctx, m))
	wantFull(t, m)
	wantEqual(t, must(reopen(t, s).MeasuresOf(ctx, m.AthleteID)), []Measures{m})
}

func TestSomethingHasToBeMeasured(t *testing.T) {
	s := open(t)
	_, err := s.AddMeasures(ctx, Measures{AthleteID: addNamed(t, s, "Edda"), MeasuredOn: "2026-03-01"})
	wantError(t, err, ErrInvalid)
}

func TestMeasuresAreNotChangedInPlace(t *testing.T) {
	s := open(t)
	must(s.AddMeasures(ctx, Measures{AthleteID: addNamed(t, s, "Edda"), MeasuredOn: "2026-03-01", Body: Body{MassKg: ptr(80.0)}}))
	if _, err := s.writer.Exec("UPDATE measures SET mass_kg = 70"); err == nil {
		t.Error("a measure was overwritten")
	}
}

func TestTheClockTellsWhenNobodyElseDoes(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	must(s.AddMeasures(ctx, Measures{AthleteID: id, MeasuredOn: "2026-03-01", Body: Body{MassKg: ptr(80.0)}}))
	wantEqual(t, must(s.MeasuresOf(ctx, id))[0].EnteredAt, noon)
}

func TestLatestMeasuresComeFromDifferentDays(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	for _, m := range []Measures{
		{MeasuredOn: "2025-09-01", Body: Body{StatureCm: ptr(178.0), MassKg: ptr(70.0)}},
		{MeasuredOn: "2026-02-01", Body: Body{StatureCm: ptr(180.0)}},
		{MeasuredOn: "2025-12-01", Body: Body{StatureCm: ptr(179.0), ArmSpanCm: ptr(185.0)}}, // entered late
		{MeasuredOn: "2026-02-01", Body: Body{StatureCm: ptr(181.0)}},                        // sets right
	} {
		m.AthleteID = id
		must(s.AddMeasures(ctx, m))
	}
	for asOf, want := range map[string]LatestMeasures{
		"2026-03-01": {Body{StatureCm: ptr(181.0), MassKg: ptr(70.0), ArmSpanCm: ptr(185.0)},
			map[string]string{"stature_cm": "2026-02-01", "mass_kg": "2025-09-01", "arm_span_cm": "2025-12-01"}},
		"2026-01-31": {Body{StatureCm: ptr(179.0), MassKg: ptr(70.0), ArmSpanCm: ptr(185.0)},
			map[string]string{"stature_cm": "2025-12-01", "mass_kg": "2025-09-01", "arm_span_cm": "2025-12-01"}},
		"2025-09-01": {Body{StatureCm: ptr(178.0), MassKg: ptr(70.0)},
			map[string]string{"stature_cm": "2025-09-01", "mass_kg": "2025-09-01"}},
		"2025-08-31": {},
	} {
		wantEqual(t, must(s.LatestMeasures(ctx, id, asOf)), want)
	}
}

// The slow way: look through all entries for the best day of one measure.
func TestLatestMeasuresAgreeWithASearch(t *testing.T) {
	s := open(t)
	random := rand.New(rand.NewPCG(3, 4))
	days := []string{"2025-01-01", "2025-06-01", "2025-12-01", "2026-01-01"}
	for range 5 {
		id := addNamed(t, s, time.Duration(random.Int64()).String())
		for range 8 {
			m := Measures{AthleteID: id, MeasuredOn: days[random.IntN(4)], Body: Body{MassKg: ptr(80.0)}}
			for _, v := range m.values() {
				if random.IntN(4) == 0 {
					*v.value = ptr(random.Float64())
				}
			}
			must(s.AddMeasures(ctx, m))
		}
	}
	for id, latest := range must(s.AllLatestMeasures(ctx, days[2])) {
		all := must(s.MeasuresOf(ctx, id))
		for i, v := range latest.values() {
			wantEqual(t, *v.value, newest(all, i, days[2]))
		}
		wantEqual(t, must(s.LatestMeasures(ctx, id, days[2])), latest)
	}
}

// newest returns the i-th measure of the newest entry that has it.
func newest(all []Measures, i int, asOf string) *float64 {
	slices.SortFunc(all, func(a, b Measures) int { return int(a.ID - b.ID) })
	var value *float64
	var day string
	for _, m := range all {
		if v := *m.values()[i].value; v != nil && m.MeasuredOn <= asOf && m.MeasuredOn >= day {
			value, day = v, m.MeasuredOn
		}
	}
	return value
}

func TestAPostureOutlivesARestart(t *testing.T) {
	s := open(t)
	p := Posture{
		AthleteID: addNamed(t, s, "Edda"), CalibratedOn: "2026-03-01", Kind: Sweep, ShinDeg: ptr(91.0), LeanDeg: ptr(24.0), LaybackDeg: ptr(27.0),
		ProtractionCm: ptr(8.5), DorsiflexionDeg: ptr(33.0), FinishKneeDeg: ptr(174.0), FinishGapCm: ptr(2.5), RotationMaxDeg: ptr(40.0),
		SideLeanCm: ptr(4.5), Note: "from the video", EnteredAt: noon,
	}
	p.ID = must(s.AddPosture(ctx, p))
	wantFull(t, p)
	wantEqual(t, must(reopen(t, s).LatestPosture(ctx, p.AthleteID, Sweep, "2026-03-01")), p)
}

func TestTheLatestPostureIsTakenWhole(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	for _, p := range []Posture{
		{CalibratedOn: "2025-09-01", Kind: Scull, ShinDeg: ptr(88.0), LeanDeg: ptr(20.0)},
		{CalibratedOn: "2026-02-01", Kind: Scull, ShinDeg: ptr(90.0)},
		{CalibratedOn: "2026-02-02", Kind: Sweep, ShinDeg: ptr(95.0)},
	} {
		p.AthleteID = id
		must(s.AddPosture(ctx, p))
	}
	p := must(s.LatestPosture(ctx, id, Scull, "2026-03-01"))
	if *p.ShinDeg != 90 || p.LeanDeg != nil {
		t.Errorf("shin %v, lean %v: want 90 and none", *p.ShinDeg, p.LeanDeg)
	}
	wantEqual(t, *must(s.LatestPosture(ctx, id, Scull, "2026-01-31")).ShinDeg, 88.0)
	_, err := s.LatestPosture(ctx, id, Sweep, "2026-02-01")
	wantError(t, err, ErrNotFound)
}

func TestAPostureIsOfAKnownKind(t *testing.T) {
	s := open(t)
	_, err := s.AddPosture(ctx, Posture{AthleteID: addNamed(t, s, "Edda"), CalibratedOn: "2026-03-01", Kind: "x"})
	wantError(t, err, ErrInvalid)
}
