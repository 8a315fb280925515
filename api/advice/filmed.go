package advice

import (
	"context"
	"math"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/speed"
)

// filmedNear is how many days a clip may lie from a recording for its catch to
// count as that of the recording; engineering judgement: one block of training.
const filmedNear = 60

// filmed fills in the way into the water as a clip shows it, where the recording
// has no vertical angle: how high the blade is carried, how fast it goes in, and
// when it starts down. It says so beside the answer.
func (s *Service) filmed(ctx context.Context, m *strokes.Remeasured, b *firstBoat, r *speed.Recording) error {
	if r.Height.Known || r.Start.Known || m.Stored.AthleteID == nil {
		return nil
	}
	list, err := s.Store.FilmedReadings(ctx, *m.Stored.AthleteID, "")
	if err != nil {
		return records.RecordError(err)
	}
	f := nearestCatch(list, b.class, m.Stored.RecordedOn)
	if f == nil {
		return nil
	}
	r.Height = filmedMeasure(f.HeightCm, f.HeightSdCm, f.Strokes, wire.FromCm)
	r.Sink = filmedMeasure(f.SpeedMS, f.SpeedSdMS, f.Strokes, func(v float64) float64 { return v })
	r.Start = filmedMeasure(f.StartDownMs, f.StartDownSdMs, f.Strokes, func(v float64) float64 { return v / 1000 })
	b.assume("the way into the water as filmed on %s in %s: carried %.0f cm ± %.0f, in at %.1f m/s, down %s", f.FilmedOn, f.Boat,
		*f.HeightCm, 2**f.HeightSdCm, *f.SpeedMS, momentText(*f.StartDownMs/1000))
	return nil
}

// filmedMeasure is the mean over the strokes of a clip with the spread from stroke
// to stroke that goes with the standard deviation of the mean.
func filmedMeasure(mean, sd *float64, n int, si func(float64) float64) speed.Measure {
	return speed.Measure{Mean: si(*mean), SD: si(*sd) * math.Sqrt(float64(max(1, n))), Known: true}
}

// nearestCatch is the filmed catch of the same kind of rowing nearest to a day;
// nil where none is near that shows all of it.
func nearestCatch(list []store.FilmedReading, class rigging.Class, day string) *store.FilmedReading {
	var best *store.FilmedReading
	nearest := filmedNear + 1
	for i := range list {
		f := &list[i]
		kind, ok := rigging.ClassByCode(f.ClassCode)
		if !ok || kind.Scull != class.Scull || f.End != "catch" || f.HeightCm == nil || f.SpeedMS == nil || f.StartDownMs == nil || *f.SpeedMS <= 0 {
			continue
		}
		if d := daysBetween(f.FilmedOn, day); d < nearest {
			best, nearest = f, d
		}
	}
	return best
}

// daysBetween counts the days between two days, either way; days on record can be
// read, others lie far apart.
func daysBetween(a, b string) int {
	x, errA := time.Parse(wire.DayLayout, a)
	y, errB := time.Parse(wire.DayLayout, b)
	if errA != nil || errB != nil {
		return math.MaxInt
	}
	return int(math.Abs(x.Sub(y).Hours()/24) + 0.5)
}
