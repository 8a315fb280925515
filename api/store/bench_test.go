package store

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// A large club: 200 eights with every setting known and one seat changed again,
// 500 athletes measured three times with five tests on the ergometer.
const clubBoats, clubAthletes = 200, 500

func openClub(b *testing.B) *Store {
	b.Helper()
	s := open(b)
	for i := range clubBoats {
		addEight(s, fmt.Sprintf("Boat %03d", i))
	}
	for i := range clubAthletes {
		addMeasured(s, fmt.Sprintf("Athlete %03d", i))
	}
	return s
}

func addEight(s *Store, name string) {
	b := Boat{Name: name, ClassCode: "8+"}
	for i := range 8 {
		seat := Seat{Number: i + 1, Side: []string{"port", "starboard"}[i%2]}
		for _, v := range seat.Rig.values() {
			*v.value = ptr(80.0)
			seat.Adjustments = append(seat.Adjustments, Adjustment{v.name, 70, 90, 0.5, 1})
		}
		b.Seats = append(b.Seats, seat)
	}
	id := must(s.AddBoat(ctx, b, anna))
	for version := range int64(10) {
		must(s.ChangeRig(ctx, id, 1+version, []RigSetting{{1, "spread_cm", 81 + float64(version)}}, "", anna))
	}
}

func addMeasured(s *Store, name string) {
	id := must(s.AddAthlete(ctx, Athlete{Name: name, PortCostS: ptr(0.0)}, anna))
	var tests []ErgTest
	for i := range 5 {
		tests = append(tests, ErgTest{AthleteID: id, TestedOn: fmt.Sprintf("2026-03-%02d", i+1), Fixed: FixedDistance, DistanceM: 2000, TimeS: 420})
	}
	must(s.SaveErgTests(ctx, tests))
	for i := range 3 {
		must(s.AddMeasures(ctx, Measures{AthleteID: id, MeasuredOn: fmt.Sprintf("2026-03-%02d", i+1), Body: Body{StatureCm: ptr(180.0), MassKg: ptr(80.0)}}))
	}
}

func BenchmarkClub(b *testing.B) {
	s := openClub(b)
	for _, c := range []struct {
		name string
		run  func(context.Context) error
	}{
		{"list 200 boats", func(ctx context.Context) error { _, err := s.Boats(ctx, Filter{}); return err }},
		{"find a boat by name", func(ctx context.Context) error { _, err := s.Boats(ctx, Filter{Name: "t 123"}); return err }},
		{"list 500 athletes", func(ctx context.Context) error { _, err := s.Athletes(ctx, Filter{}); return err }},
		{"latest measures of 500 athletes", func(ctx context.Context) error { _, err := s.AllLatestMeasures(ctx, "2026-03-31"); return err }},
		{"2500 ergometer tests", func(ctx context.Context) error { _, err := s.ErgTestsSince(ctx, "2026-01-01"); return err }},
		{"an eight with its seats", func(ctx context.Context) error { _, err := s.Boat(ctx, 100); return err }},
		{"an eight's last 50 changes", func(ctx context.Context) error { _, err := s.RigHistory(ctx, 100, RigFilter{Limit: 50}); return err }},
		{"an athlete's latest measures", func(ctx context.Context) error { _, err := s.LatestMeasures(ctx, 100, "2026-03-31"); return err }},
		{"ping", func(ctx context.Context) error { return s.Ping(ctx) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				check(b, c.run(b.Context()))
			}
		})
	}
	b.Run("backup", func(b *testing.B) {
		path := filepath.Join(b.TempDir(), "backup.db")
		for b.Loop() {
			check(b, s.Backup(ctx, path))
		}
		b.ReportMetric(float64(must(os.Stat(path)).Size())/1e6, "MB")
	})
}

// One change of the rig, on disk when it is acknowledged.
func BenchmarkChangeRig(b *testing.B) {
	s := open(b)
	id := addFour(b, s)
	_, err := s.writer.Exec("PRAGMA synchronous = FULL")
	check(b, err)
	version := int64(1)
	for b.Loop() {
		version = must(s.ChangeRig(ctx, id, version, []RigSetting{{1, "spread_cm", float64(version)}}, "", anna))
	}
}

// Half an hour at 50 samples a second in five channels, 900 strokes with 26
// features: what one oar brings home.
func BenchmarkAddRecording(b *testing.B) {
	s := open(b)
	long := make([]float64, 90_000)
	r := Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: Samples{long, long, long, long, long}, MeanCurve: nodes()}
	for stroke := range 900 {
		for feature := range 26 {
			r.Features = append(r.Features, FeatureValue{stroke + 1, fmt.Sprint("feature ", feature), 1, nil})
		}
	}
	for b.Loop() {
		must(s.addRecording(ctx, r))
	}
}

func BenchmarkOpen(b *testing.B) {
	b.Run("new", func(b *testing.B) {
		folder, i := b.TempDir(), 0
		for b.Loop() {
			i++
			s := must(Open(ctx, filepath.Join(folder, fmt.Sprint(i, ".db"))))
			check(b, s.Close())
		}
	})
	b.Run("again", func(b *testing.B) {
		s := open(b)
		for b.Loop() {
			check(b, s.Close())
			s = must(Open(ctx, s.path))
		}
		check(b, s.Close())
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
		must(s.addRecording(ctx, Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: Samples{TimeS: row, AngleDeg: row, ForceN: row}}))
	}
	check(b, s.Close())
	size := must(os.Stat(s.path)).Size()
	b.Run("open", func(b *testing.B) {
		b.SetBytes(size)
		for b.Loop() {
			check(b, must(Open(ctx, s.path)).Close())
		}
	})
	b.Run("backup", func(b *testing.B) {
		s := must(Open(ctx, s.path))
		defer s.Close()
		b.SetBytes(size)
		for b.Loop() {
			check(b, s.Backup(ctx, s.path+".backup"))
		}
	})
}
