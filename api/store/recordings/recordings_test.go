package recordings_test

import (
	"errors"
	"math"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/store/recordings"
	"thole/api/storetest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// TestRecordingsAreKeptAllOrNone lets the third of three fail: as the record is
// made, as it is fetched, and as it is written.
func TestRecordingsAreKeptAllOrNone(t *testing.T) {
	s := storetest.New(t)
	whole := store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: store.Samples{TimeS: []float64{1, 2}}}
	torn := errors.New("the file is torn")
	for _, third := range []struct {
		store.Recording
		err, want error
	}{
		{Recording: whole, err: torn, want: torn},
		{Recording: store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: store.Samples{TimeS: []float64{1, 2}, ForceN: []float64{1}}}, want: store.ErrInvalid},
		{Recording: store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", AthleteID: storetest.Ptr(int64(7))}, want: store.ErrNotFound},
	} {
		_, err := s.AddRecordings(storetest.Ctx, func(yield func(store.Recording, error) bool) {
			if twice(whole, yield) {
				yield(third.Recording, third.err)
			}
		})
		storetest.WantError(t, err, third.want)
		storetest.WantEqual(t, storetest.Must(s.Recordings(storetest.Ctx, store.RecordingFilter{})), []store.Recording{})
	}
	ids := storetest.Must(s.AddRecordings(storetest.Ctx, func(yield func(store.Recording, error) bool) { twice(whole, yield) }))
	storetest.WantEqual(t, len(ids), 2)
	for _, id := range ids {
		storetest.WantEqual(t, storetest.Must(s.Samples(storetest.Ctx, id)), whole.Samples)
	}
}

func TestARecordingOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	boat, athlete := storetest.AddFour(t, s), storetest.AddNamed(t, s, "Edda")
	r := store.Recording{
		AthleteID: &athlete, BoatID: &boat, Seat: "3", Side: "port", RecordedOn: "2026-03-01", SourceFile: "outing.csv", MappingName: "plain",
		Thresholds: `{"catch_n":196,"release_n":98}`, Note: "headwind", EnteredAt: storetest.Noon.Add(time.Second), EnteredBy: "Anna",
		Features:  []store.FeatureValue{{Stroke: 1, Feature: "catch_deg", Value: -55.2, SD: nil}, {Stroke: 2, Feature: "catch_deg", Value: -56.1, SD: storetest.Ptr(0.25)}},
		Samples:   store.Samples{TimeS: []float64{0, 0.02}, AngleDeg: []float64{-55, -54.5}, ForceN: []float64{0, 60}, VerticalDeg: []float64{1, -2}, SpeedMS: []float64{4.1, math.NaN()}},
		MeanCurve: storetest.Nodes(),
	}
	r.ID = storetest.Must(storetest.AddRecording(storetest.Ctx, s, r))
	r.Version, r.KeptWith = 1, r.ID
	storetest.WantFull(t, r)
	s = storetest.Reopen(t, s)
	if d := cmp.Diff(r.Samples, storetest.Must(s.Samples(storetest.Ctx, r.ID)), cmpopts.EquateNaNs()); d != "" {
		t.Error(d)
	}
	r.Samples = store.Samples{}
	storetest.WantEqual(t, storetest.Must(s.Recording(storetest.Ctx, r.ID)), r)
	r.Features, r.MeanCurve = nil, nil
	storetest.WantEqual(t, storetest.Must(s.Recordings(storetest.Ctx, store.RecordingFilter{})), []store.Recording{r})
}

func TestASeriesIsKeptBitForBit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bits := rapid.SliceOf(rapid.Uint64()).Draw(t, "bits")
		in := make(recordings.Series, len(bits))
		for i, b := range bits {
			in[i] = math.Float64frombits(b)
		}
		var out recordings.Series
		if err := out.Scan(storetest.Must(in.Value())); err != nil {
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
	storetest.WantEqual(t, storetest.Must(recordings.Series([]float64{1, -2}).Value()).([]byte), []byte{0, 0, 0, 0, 0, 0, 0xF0, 0x3F, 0, 0, 0, 0, 0, 0, 0, 0xC0})
}

func TestASeriesThatIsNotWholeIsDamaged(t *testing.T) {
	storetest.WantError(t, new(recordings.Series).Scan([]byte{1, 2, 3}), store.ErrDamaged)
	storetest.WantError(t, new(recordings.Series).Scan("text"), store.ErrDamaged)
}

func TestWhatNoRecordingCanBe(t *testing.T) {
	s := storetest.New(t)
	for what, change := range map[string]func(*store.Recording){
		"lengths": func(r *store.Recording) {
			r.Samples = store.Samples{TimeS: make([]float64, 3), ForceN: make([]float64, 2)}
		},
		"curve":      func(r *store.Recording) { r.MeanCurve = make([]float64, 100) },
		"thresholds": func(r *store.Recording) { r.Thresholds = "196 N" },
		"side":       func(r *store.Recording) { r.Side = "left" },
		"twice":      func(r *store.Recording) { r.Features = []store.FeatureValue{{Feature: "a"}, {Feature: "a"}} },
		"no number":  func(r *store.Recording) { r.Features = []store.FeatureValue{{Feature: "a", Value: math.NaN()}} },
	} {
		t.Run(what, func(t *testing.T) {
			r := store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}"}
			change(&r)
			_, err := storetest.AddRecording(storetest.Ctx, s, r)
			storetest.WantError(t, err, store.ErrInvalid)
		})
	}
	_, err := storetest.AddRecording(storetest.Ctx, s, store.Recording{AthleteID: storetest.Ptr(int64(7)), RecordedOn: "2026-03-01", Thresholds: "{}"})
	storetest.WantError(t, err, store.ErrNotFound)
	storetest.WantEqual(t, storetest.Must(s.Recordings(storetest.Ctx, store.RecordingFilter{})), []store.Recording{})
}

func TestARecordingThatIsNotThere(t *testing.T) {
	s := storetest.New(t)
	_, err := s.Recording(storetest.Ctx, 7)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.Samples(storetest.Ctx, 7)
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestRecordingsAreListedByAthleteAndBoat(t *testing.T) {
	s := storetest.New(t)
	boat, edda := storetest.AddFour(t, s), storetest.AddNamed(t, s, "Edda")
	add := func(day string, athlete, boat *int64) int64 {
		return storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{AthleteID: athlete, BoatID: boat, RecordedOn: day, Thresholds: "{}"}))
	}
	both, guest, alone := add("2026-03-01", &edda, &boat), add("2026-03-03", nil, &boat), add("2026-03-02", &edda, nil)
	for _, c := range []struct {
		filter store.RecordingFilter
		want   []int64
	}{{store.RecordingFilter{}, []int64{guest, alone, both}}, {store.RecordingFilter{AthleteID: edda}, []int64{alone, both}}, {store.RecordingFilter{AthleteID: edda, BoatID: boat}, []int64{both}}} {
		var got []int64
		for _, r := range storetest.Must(s.Recordings(storetest.Ctx, c.filter)) {
			got = append(got, r.ID)
		}
		storetest.WantEqual(t, got, c.want)
	}
}

func TestTheLatestCurveOfEachAthlete(t *testing.T) {
	s := storetest.New(t)
	edda, frieda := storetest.AddNamed(t, s, "Edda"), storetest.AddNamed(t, s, "Frieda")
	old, newer := storetest.Nodes(), storetest.Nodes()
	newer[50] = 800
	for _, r := range []store.Recording{
		{AthleteID: &edda, RecordedOn: "2026-03-02", MeanCurve: newer}, {AthleteID: &edda, RecordedOn: "2026-03-01", MeanCurve: old},
		{AthleteID: &edda, RecordedOn: "2026-03-03"}, {AthleteID: &frieda, RecordedOn: "2026-01-01", MeanCurve: old}, {RecordedOn: "2026-03-04", MeanCurve: old},
	} {
		r.Thresholds = "{}"
		storetest.Must(storetest.AddRecording(storetest.Ctx, s, r))
	}
	storetest.WantEqual(t, storetest.Must(s.LatestCurves(storetest.Ctx)), map[int64][]float64{edda: newer, frieda: old})
}

func TestAMappingIsSavedByName(t *testing.T) {
	s := storetest.New(t)
	for _, m := range []store.ImportMapping{{Name: "oars", Mapping: `{"a":1}`}, {Name: "gates", Mapping: `{}`}, {Name: "oars", Mapping: `{"a":2}`, SavedAt: storetest.Noon.Add(time.Hour)}} {
		storetest.Check(t, s.SaveMapping(storetest.Ctx, m))
	}
	s = storetest.Reopen(t, s)
	m := store.ImportMapping{Name: "oars", Mapping: `{"a":2}`, SavedAt: storetest.Noon.Add(time.Hour)}
	storetest.WantFull(t, m)
	storetest.WantEqual(t, storetest.Must(s.Mapping(storetest.Ctx, "oars")), m)
	storetest.WantEqual(t, storetest.Must(s.Mappings(storetest.Ctx)), []store.ImportMapping{{Name: "gates", Mapping: `{}`, SavedAt: storetest.Noon}, m})
	storetest.Check(t, s.DeleteMapping(storetest.Ctx, "oars"))
	_, err := s.Mapping(storetest.Ctx, "oars")
	storetest.WantError(t, err, store.ErrNotFound)
	storetest.WantError(t, s.SaveMapping(storetest.Ctx, store.ImportMapping{Name: "x", Mapping: "{"}), store.ErrInvalid)
}

func TestARecordingIsCorrectedWithHistory(t *testing.T) {
	s := storetest.New(t)
	r := store.Recording{Seat: "1", RecordedOn: "2026-03-01", Thresholds: "{}", Note: "headwind"}
	r.ID = storetest.Must(storetest.AddRecording(storetest.Ctx, s, r))
	r = storetest.Must(s.RecordingRow(storetest.Ctx, r.ID))
	storetest.WantEqual(t, r.Version, int64(1))
	r.RecordedOn, r.Seat = "2026-03-02", "3"
	storetest.WantEqual(t, storetest.Must(s.CorrectRecording(storetest.Ctx, r, nil, store.By{Name: "Ada"})), int64(2))
	_, err := s.CorrectRecording(storetest.Ctx, r, nil, store.By{Name: "Bob"})
	var conflict *store.ErrConflict
	if !errors.As(err, &conflict) || conflict.Version != 2 || len(conflict.Changes) != 2 {
		t.Fatalf("%v", err)
	}
	r = storetest.Must(s.RecordingRow(storetest.Ctx, r.ID))
	storetest.WantEqual(t, storetest.Must(s.CorrectRecording(storetest.Ctx, r, nil, store.By{Name: "Bob"})), int64(2))
	changes := storetest.Must(s.Changes(storetest.Ctx, store.RecordingRecord, r.ID, 0))
	storetest.WantEqual(t, []string{changes[0].What(), *changes[0].From, *changes[0].To, changes[0].By, changes[1].What(), *changes[1].To},
		[]string{"seat", "1", "3", "Ada", "recorded_on", "2026-03-02"})
	storetest.Check(t, s.DeleteRecording(storetest.Ctx, r.ID))
	storetest.WantEqual(t, len(storetest.Must(s.Changes(storetest.Ctx, store.RecordingRecord, r.ID, 0))), 0)
}

func TestMeansOfABoatOnADay(t *testing.T) {
	s := storetest.New(t)
	boat := storetest.Must(s.AddBoat(storetest.Ctx, storetest.Swallow(), store.By{Name: "Ada"}))
	add := func(day string, boat *int64, catch float64) {
		storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{BoatID: boat, RecordedOn: day, Thresholds: "{}", Features: []store.FeatureValue{{Stroke: 0, Feature: "catch_deg", Value: catch, SD: storetest.Ptr(0.5)}, {Stroke: 1, Feature: "catch_deg", Value: -1, SD: nil}}}))
	}
	add("2026-03-01", &boat, -55)
	add("2026-03-01", nil, -56)
	add("2026-03-02", &boat, -57)
	found := storetest.Must(s.RecordingMeans(storetest.Ctx, boat, "2026-03-01"))
	if len(found) != 1 || found[0].Mean["catch_deg"].Value != -55 {
		t.Errorf("%+v", found)
	}
}

func TestMeanCurvesOfAll(t *testing.T) {
	s := storetest.New(t)
	a := storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", MeanCurve: storetest.Nodes()}))
	storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: store.Samples{TimeS: []float64{1}}}))
	storetest.WantEqual(t, storetest.Must(s.MeanCurves(storetest.Ctx)), map[int64][]float64{a: storetest.Nodes()})
}

// twice returns a recording two times, and reports whether more is asked for.
func twice(r store.Recording, yield func(store.Recording, error) bool) bool {
	for range 2 {
		if !yield(r, nil) {
			return false
		}
	}
	return true
}

// TestTracesOfARecordingAreTold when the file could not be wiped after it.
func TestTracesOfARecordingAreTold(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}"}))
	storetest.Run(t, storetest.Writer(s), "PRAGMA busy_timeout = 1")
	_, err := db.Read(storetest.Ctx, s.File, func(r *db.Tx) (struct{}, error) {
		storetest.Check(t, r.Exists("recordings", id))
		storetest.WantError(t, s.DeleteRecording(storetest.Ctx, id), store.ErrTraces)
		return struct{}{}, nil
	})
	storetest.Check(t, err)
	if storetest.Must(s.Traces(storetest.Ctx)).IsZero() {
		t.Error("nothing is left to be wiped")
	}
}
