package store_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

// A large club: 200 eights with every setting known and one seat changed again,
// 500 athletes measured three times with five tests on the ergometer.
const clubBoats, clubAthletes = 200, 500

func openClub(b *testing.B) *store.Store {
	b.Helper()
	s := storetest.New(b)
	for i := range clubBoats {
		addEight(s, fmt.Sprintf("Boat %03d", i))
	}
	for i := range clubAthletes {
		addMeasured(s, fmt.Sprintf("Athlete %03d", i))
	}
	return s
}

func addEight(s *store.Store, name string) {
	b := store.Boat{Name: name, ClassCode: "8+"}
	for i := range 8 {
		seat := store.Seat{Number: i + 1, Side: []string{"port", "starboard"}[i%2]}
		for _, v := range seat.Rig.Values() {
			*v.Value = storetest.Ptr(80.0)
			seat.Adjustments = append(seat.Adjustments, store.Adjustment{Setting: v.Name, Min: 70, Max: 90, Step: 0.5, Cost: 1})
		}
		b.Seats = append(b.Seats, seat)
	}
	id := storetest.Must(s.AddBoat(storetest.Ctx, b, storetest.Anna))
	for version := range int64(10) {
		storetest.Must(s.ChangeRig(storetest.Ctx, id, 1+version, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: 81 + float64(version)}}, "", storetest.Anna))
	}
}

func addMeasured(s *store.Store, name string) {
	id := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: name, PortCostS: storetest.Ptr(0.0)}, storetest.Anna))
	var tests []store.ErgTest
	for i := range 5 {
		tests = append(tests, store.ErgTest{AthleteID: id, TestedOn: fmt.Sprintf("2026-03-%02d", i+1), Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 420})
	}
	storetest.Must(s.SaveErgTests(storetest.Ctx, tests))
	for i := range 3 {
		storetest.Must(s.AddMeasures(storetest.Ctx, store.Measures{AthleteID: id, MeasuredOn: fmt.Sprintf("2026-03-%02d", i+1), Body: store.Body{StatureCm: storetest.Ptr(180.0), MassKg: storetest.Ptr(80.0)}}))
	}
}

func BenchmarkClub(b *testing.B) {
	s := openClub(b)
	for _, c := range []struct {
		name string
		run  func(context.Context) error
	}{
		{"list 200 boats", func(ctx context.Context) error { _, err := s.Boats(ctx, store.Filter{}); return err }},
		{"find a boat by name", func(ctx context.Context) error { _, err := s.Boats(ctx, store.Filter{Name: "t 123"}); return err }},
		{"list 500 athletes", func(ctx context.Context) error { _, err := s.Athletes(ctx, store.Filter{}); return err }},
		{"latest measures of 500 athletes", func(ctx context.Context) error { _, err := s.AllLatestMeasures(ctx, "2026-03-31"); return err }},
		{"2500 ergometer tests", func(ctx context.Context) error { _, err := s.ErgTestsSince(ctx, "2026-01-01"); return err }},
		{"an eight with its seats", func(ctx context.Context) error { _, err := s.Boat(ctx, 100); return err }},
		{"an eight's last 50 changes", func(ctx context.Context) error {
			_, err := s.RigHistory(ctx, 100, store.RigFilter{Limit: 50})
			return err
		}},
		{"an athlete's latest measures", func(ctx context.Context) error { _, err := s.LatestMeasures(ctx, 100, "2026-03-31"); return err }},
		{"what people wrote", func(ctx context.Context) error { _, err := s.Typed(ctx); return err }},
		{"ping", func(ctx context.Context) error { return s.Ping(ctx) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				storetest.Check(b, c.run(b.Context()))
			}
		})
	}
	b.Run("backup", func(b *testing.B) {
		path := filepath.Join(b.TempDir(), "backup.db")
		for b.Loop() {
			storetest.Check(b, s.Backup(storetest.Ctx, path))
		}
		b.ReportMetric(float64(storetest.Must(os.Stat(path)).Size())/1e6, "MB")
	})
}

// One change of the rig, on disk when it is acknowledged.
func BenchmarkChangeRig(b *testing.B) {
	s := storetest.New(b)
	id := storetest.AddFour(b, s)
	_, err := storetest.Writer(s).Exec("PRAGMA synchronous = FULL")
	storetest.Check(b, err)
	version := int64(1)
	for b.Loop() {
		version = storetest.Must(s.ChangeRig(storetest.Ctx, id, version, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: float64(version)}}, "", storetest.Anna))
	}
}

// Half an hour at 50 samples a second in five channels, 900 strokes with 26
// features: what one oar brings home.
func BenchmarkAddRecording(b *testing.B) {
	s := storetest.New(b)
	long := make([]float64, 90_000)
	r := store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: store.Samples{TimeS: long, AngleDeg: long, ForceN: long, VerticalDeg: long, SpeedMS: long}, MeanCurve: storetest.Nodes()}
	for stroke := range 900 {
		for feature := range 26 {
			r.Features = append(r.Features, store.FeatureValue{Stroke: stroke + 1, Feature: fmt.Sprint("feature ", feature), Value: 1, SD: nil})
		}
	}
	for b.Loop() {
		storetest.Must(storetest.AddRecording(storetest.Ctx, s, r))
	}
}

func BenchmarkOpen(b *testing.B) {
	b.Run("new", func(b *testing.B) {
		folder, i := b.TempDir(), 0
		for b.Loop() {
			i++
			s := storetest.Must(store.Open(storetest.Ctx, filepath.Join(folder, fmt.Sprint(i, ".db"))))
			storetest.Check(b, s.Close())
		}
	})
	b.Run("again", func(b *testing.B) {
		s := storetest.New(b)
		for b.Loop() {
			storetest.Check(b, s.Close())
			s = storetest.Must(store.Open(storetest.Ctx, s.Path()))
		}
		storetest.Check(b, s.Close())
	})
}

// BenchmarkKeeping opens the file of a large club with 100 recordings of twenty
// minutes at 50 Hz, which is read whole to find damage, and backs it up.
func BenchmarkKeeping(b *testing.B) {
	s := openClub(b)
	row := make([]float64, 20*60*50)
	for i := range row {
		row[i] = float64(i) / 50
	}
	for range 100 {
		storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: store.Samples{TimeS: row, AngleDeg: row, ForceN: row}}))
	}
	storetest.Check(b, s.Close())
	size := storetest.Must(os.Stat(s.Path())).Size()
	b.Run("open", func(b *testing.B) {
		b.SetBytes(size)
		for b.Loop() {
			storetest.Check(b, storetest.Must(store.Open(storetest.Ctx, s.Path())).Close())
		}
	})
	b.Run("backup", func(b *testing.B) {
		s := storetest.Must(store.Open(storetest.Ctx, s.Path()))
		defer s.Close()
		b.SetBytes(size)
		for b.Loop() {
			storetest.Check(b, s.Backup(storetest.Ctx, s.Path()+".backup"))
		}
	})
}

// BenchmarkPageOfAList reads 20 rows from the middle of the lists of a large club, and
// the whole lists that they are cut from otherwise.
func BenchmarkPageOfAList(b *testing.B) {
	s := openClub(b)
	for i := range 1000 {
		storetest.Must(s.AddTask(storetest.Ctx, store.Task{What: "Wash", Address: fmt.Sprint("/boats/", i)}, storetest.Anna))
	}
	for name, read := range map[string]func(context.Context) error{
		"athletes": func(ctx context.Context) error { _, err := s.Athletes(ctx, store.Filter{}); return err },
		"boats":    func(ctx context.Context) error { _, err := s.Boats(ctx, store.Filter{}); return err },
		"tasks":    func(ctx context.Context) error { _, _, err := s.Tasks(ctx); return err },
	} {
		for part, ctx := range map[string]context.Context{
			"page": store.Paged(store.WithWindow(storetest.Ctx, &store.Window{Offset: 100, Count: 22})), "whole": storetest.Ctx,
		} {
			b.Run(name+" "+part, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					storetest.Check(b, read(ctx))
				}
			})
		}
	}
}
