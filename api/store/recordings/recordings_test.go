package store

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// addRecording puts one recording on record.
func (s *Store) addRecording(ctx context.Context, r Recording) (int64, error) {
	ids, err := s.AddRecordings(ctx, func(yield func(Recording, error) bool) { yield(r, nil) })
	if err != nil {
		return 0, err
	}
	return ids[0], nil
}

// TestRecordingsAreKeptAllOrNone lets the third of three fail: as the record is
// made, as it is fetched, and as it is written.
func TestRecordingsAreKeptAllOrNone(t *testing.T) {
	s := open(t)
	whole := Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: Samples{TimeS: []float64{1, 2}}}
	torn := errors.New("the file is torn")
	for _, third := range []struct {
		Recording
		err, want error
	}{
		{Recording: whole, err: torn, want: torn},
		{Recording: Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: Samples{TimeS: []float64{1, 2}, ForceN: []float64{1}}}, want: ErrInvalid},
		{Recording: Recording{RecordedOn: "2026-03-01", Thresholds: "{}", AthleteID: ptr(int64(7))}, want: ErrNotFound},
	} {
		_, err := s.AddRecordings(ctx, func(yield func(Recording, error) bool) {
			if twice(whole, yield) {
				yield(third.Recording, third.err)
			}
		})
		wantError(t, err, third.want)
		wantEqual(t, must(s.Recordings(ctx, RecordingFilter{})), []Recording{})
	}
	ids := must(s.AddRecordings(ctx, func(yield func(Recording, error) bool) { twice(whole, yield) }))
	wantEqual(t, len(ids), 2)
	for _, id := range ids {
		wantEqual(t, must(s.Samples(ctx, id)), whole.Samples)
	}
}

func nodes() []float64 {
	curve := make([]float64, 101)
	for i := range curve {
		curve[i] = 700 * math.Sin(math.Pi*float64(i)/100)
	}
	return curve
}

func TestARecordingOutlivesARestart(t *testing.T) {
	s := open(t)
	boat, athlete := addFour(t, s), addNamed(t, s, "Edda")
	r := Recording{
		AthleteID: &athlete, BoatID: &boat, Seat: "3", Side: "port", RecordedOn: "2026-03-01", SourceFile: "outing.csv", MappingName: "plain",
		Thresholds: `{"catch_n":196,"release_n":98}`, Note: "headwind", EnteredAt: noon.Add(time.Second),
		Features:  []FeatureValue{{1, "catch_deg", -55.2, nil}, {2, "catch_deg", -56.1, ptr(0.25)}},
		Samples:   Samples{TimeS: []float64{0, 0.02}, AngleDeg: []float64{-55, -54.5}, ForceN: []float64{0, 60}, VerticalDeg: []float64{1, -2}, SpeedMS: []float64{4.1, math.NaN()}},
		MeanCurve: nodes(),
	}
	r.ID = must(s.addRecording(ctx, r))
	r.Version = 1
	wantFull(t, r)
	s = reopen(t, s)
	if d := cmp.Diff(r.Samples, must(s.Samples(ctx, r.ID)), cmpopts.EquateNaNs()); d != "" {
		t.Error(d)
	}
	r.Samples = Samples{}
	wantEqual(t, must(s.Recording(ctx, r.ID)), r)
	r.Features, r.MeanCurve = nil, nil
	wantEqual(t, must(s.Recordings(ctx, RecordingFilter{})), []Recording{r})
}

func TestASeriesIsKeptBitForBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bits := rapid.SliceOf(rapid.Uint64()).Draw(t, "bits")
		in := make(series, len(bits))
		for i, b := range bits {
			in[i] = math.Float64frombits(b)
		}
		var out series
		if err := out.Scan(must(in.Value())); err != nil {
			t.Fatal(err)
		}
		for i, b := range bits {
			if got := math.Float64bits(out[i]); got != b {
				t.Fatalf("number %d is %x, want %x", i, got, b)
			}
		}
	})
}

// The bytes of 1.0 and −2.0 are those of IEEE 754-2019 binary64 (sign, 11 bits
// of exponent biased by 1023, 52 bits of fraction), lowest byte first.
func TestASeriesIsLittleEndian(t *testing.T) {
	wantEqual(t, []byte(encoded([]float64{1, -2})), []byte{0, 0, 0, 0, 0, 0, 0xF0, 0x3F, 0, 0, 0, 0, 0, 0, 0, 0xC0})
}

func TestASeriesThatIsNotWholeIsDamaged(t *testing.T) {
	wantError(t, new(series).Scan([]byte{1, 2, 3}), ErrDamaged)
	wantError(t, new(series).Scan("text"), ErrDamaged)
}

func TestWhatNoRecordingCanBe(t *testing.T) {
	s := open(t)
	for what, change := range map[string]func(*Recording){
		"lengths":    func(r *Recording) { r.Samples = Samples{TimeS: make([]float64, 3), ForceN: make([]float64, 2)} },
		"curve":      func(r *Recording) { r.MeanCurve = make([]float64, 100) },
		"thresholds": func(r *Recording) { r.Thresholds = "196 N" },
		"side":       func(r *Recording) { r.Side = "left" },
		"twice":      func(r *Recording) { r.Features = []FeatureValue{{Feature: "a"}, {Feature: "a"}} },
		"no number":  func(r *Recording) { r.Features = []FeatureValue{{Feature: "a", Value: math.NaN()}} },
	} {
		t.Run(what, func(t *testing.T) {
			r := Recording{RecordedOn: "2026-03-01", Thresholds: "{}"}
			change(&r)
			_, err := s.addRecording(ctx, r)
			wantError(t, err, ErrInvalid)
		})
	}
	_, err := s.addRecording(ctx, Recording{AthleteID: ptr(int64(7)), RecordedOn: "2026-03-01", Thresholds: "{}"})
	wantError(t, err, ErrNotFound)
	wantEqual(t, must(s.Recordings(ctx, RecordingFilter{})), []Recording{})
}

func TestARecordingThatIsNotThere(t *testing.T) {
	s := open(t)
	_, err := s.Recording(ctx, 7)
	wantError(t, err, ErrNotFound)
	_, err = s.Samples(ctx, 7)
	wantError(t, err, ErrNotFound)
}

func TestRecordingsAreListedByAthleteAndBoat(t *testing.T) {
	s := open(t)
	boat, edda := addFour(t, s), addNamed(t, s, "Edda")
	add := func(day string, athlete, boat *int64) int64 {
		return must(s.addRecording(ctx, Recording{AthleteID: athlete, BoatID: boat, RecordedOn: day, Thresholds: "{}"}))
	}
	both, guest, alone := add("2026-03-01", &edda, &boat), add("2026-03-03", nil, &boat), add("2026-03-02", &edda, nil)
	for _, c := range []struct {
		filter RecordingFilter
		want   []int64
	}{{RecordingFilter{}, []int64{guest, alone, both}}, {RecordingFilter{AthleteID: edda}, []int64{alone, both}}, {RecordingFilter{edda, boat}, []int64{both}}} {
		var got []int64
		for _, r := range must(s.Recordings(ctx, c.filter)) {
			got = append(got, r.ID)
		}
		wantEqual(t, got, c.want)
	}
}

func TestTheLatestCurveOfEachAthlete(t *testing.T) {
	s := open(t)
	edda, frieda := addNamed(t, s, "Edda"), addNamed(t, s, "Frieda")
	old, newer := nodes(), nodes()
	newer[50] = 800
	for _, r := range []Recording{
		{AthleteID: &edda, RecordedOn: "2026-03-02", MeanCurve: newer}, {AthleteID: &edda, RecordedOn: "2026-03-01", MeanCurve: old},
		{AthleteID: &edda, RecordedOn: "2026-03-03"}, {AthleteID: &frieda, RecordedOn: "2026-01-01", MeanCurve: old}, {RecordedOn: "2026-03-04", MeanCurve: old},
	} {
		r.Thresholds = "{}"
		must(s.addRecording(ctx, r))
	}
	wantEqual(t, must(s.LatestCurves(ctx)), map[int64][]float64{edda: newer, frieda: old})
}

func TestAMappingIsSavedByName(t *testing.T) {
	s := open(t)
	for _, m := range []ImportMapping{{Name: "oars", Mapping: `{"a":1}`}, {Name: "gates", Mapping: `{}`}, {Name: "oars", Mapping: `{"a":2}`, SavedAt: noon.Add(time.Hour)}} {
		check(t, s.SaveMapping(ctx, m))
	}
	s = reopen(t, s)
	m := ImportMapping{Name: "oars", Mapping: `{"a":2}`, SavedAt: noon.Add(time.Hour)}
	wantFull(t, m)
	wantEqual(t, must(s.Mapping(ctx, "oars")), m)
	wantEqual(t, must(s.Mappings(ctx)), []ImportMapping{{Name: "gates", Mapping: `{}`, SavedAt: noon}, m})
	check(t, s.DeleteMapping(ctx, "oars"))
	_, err := s.Mapping(ctx, "oars")
	wantError(t, err, ErrNotFound)
	wantError(t, s.SaveMapping(ctx, ImportMapping{Name: "x", Mapping: "{"}), ErrInvalid)
}

func TestARecordingIsCorrectedWithHistory(t *testing.T) {
	s := open(t)
	r := Recording{Seat: "1", RecordedOn: "2026-03-01", Thresholds: "{}", Note: "headwind"}
	r.ID = must(s.addRecording(ctx, r))
	r = must(s.RecordingRow(ctx, r.ID))
	wantEqual(t, r.Version, int64(1))
	r.RecordedOn, r.Seat = "2026-03-02", "3"
	wantEqual(t, must(s.CorrectRecording(ctx, r, nil, By{Name: "Ada"})), int64(2))
	_, err := s.CorrectRecording(ctx, r, nil, By{Name: "Bob"})
	var conflict *ErrConflict
	if !errors.As(err, &conflict) || conflict.Version != 2 || len(conflict.Changes) != 2 {
		t.Fatalf("%v", err)
	}
	r = must(s.RecordingRow(ctx, r.ID))
	wantEqual(t, must(s.CorrectRecording(ctx, r, nil, By{Name: "Bob"})), int64(2))
	changes := must(s.Changes(ctx, RecordingRecord, r.ID, 0))
	wantEqual(t, []string{changes[0].What(), *changes[0].From, *changes[0].To, changes[0].By, changes[1].What(), *changes[1].To},
		[]string{"seat", "1", "3", "Ada", "recorded_on", "2026-03-02"})
	check(t, s.DeleteRecording(ctx, r.ID))
	wantEqual(t, len(must(s.Changes(ctx, RecordingRecord, r.ID, 0))), 0)
}

func TestMeansOfABoatOnADay(t *testing.T) {
	s := open(t)
	boat := must(s.AddBoat(ctx, swallow(), By{Name: "Ada"}))
	add := func(day string, boat *int64, catch float64) {
		must(s.addRecording(ctx, Recording{BoatID: boat, RecordedOn: day, Thresholds: "{}", Features: []FeatureValue{{0, "catch_deg", catch, ptr(0.5)}, {1, "catch_deg", -1, nil}}}))
	}
	add("2026-03-01", &boat, -55)
	add("2026-03-01", nil, -56)
	add("2026-03-02", &boat, -57)
	found := must(s.RecordingMeans(ctx, boat, "2026-03-01"))
	if len(found) != 1 || found[0].Mean["catch_deg"].Value != -55 {
		t.Errorf("%+v", found)
	}
}

func TestMeanCurvesOfAll(t *testing.T) {
	s := open(t)
	a := must(s.addRecording(ctx, Recording{RecordedOn: "2026-03-01", Thresholds: "{}", MeanCurve: nodes()}))
	must(s.addRecording(ctx, Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: Samples{TimeS: []float64{1}}}))
	wantEqual(t, must(s.MeanCurves(ctx)), map[int64][]float64{a: nodes()})
}

// twice yields a recording two times, and reports whether more is asked for.
func twice(r Recording, yield func(Recording, error) bool) bool {
	for range 2 {
		if !yield(r, nil) {
			return false
		}
	}
	return true
}
