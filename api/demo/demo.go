package demo

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
)

// FillDemo puts the demo club on record, unless there is something there: the
// Tarnwick rowers of Hollen Water, a club and a lake of our own making, in the
// week in which spring crews take over boats that were set up for others. Its
// days count back from the present.
func (s *Service) FillDemo(ctx context.Context) error {
	empty, err := s.Empty(ctx)
	if err != nil || !empty {
		return err
	}
	d := demo{service: s, now: s.Now(), coach: coach, people: demoAthletes, sets: demoOars, fleet: demoBoats}
	return s.Store.Bulk(ctx, func() error {
		for _, fill := range []func(context.Context) error{d.athletes, d.oars, d.boats, d.ergTests, d.strokes} {
			if err := fill(ctx); err != nil {
				return err
			}
		}
		return nil
	})
}

// Empty reports whether nobody and nothing is on record, archived or not.
func (s *Service) Empty(ctx context.Context) (bool, error) {
	all := records.ListRequest{Archived: true}
	athletes, err1 := s.club.Athletes(ctx, all)
	boats, err2 := s.fleet.Boats(ctx, all)
	oars, err3 := s.fleet.OarSets(ctx, all)
	for _, err := range []error{err1, err2, err3} {
		if err != nil {
			return false, err
		}
	}
	return len(athletes.Athletes)+len(boats.Boats)+len(oars.OarSets) == 0, nil
}

// demo fills in the demo club through the use cases, so that nothing gets in
// that the pages would refuse.
type demo struct {
	service *Service
	now     time.Time
	coach   string // who enters the athletes
	people  []demoAthlete
	sets    []fleet.OarFields
	fleet   []demoBoat
	ids     []int64 // of the athletes, in the order of people
}

// ago is the service as it stood some days ago.
func (d *demo) ago(days int) *Service {
	then := d.now.AddDate(0, 0, -days)
	return d.service.at(then)
}

func (d *demo) day(daysAgo int) string { return d.now.AddDate(0, 0, -daysAgo).Format(wire.DayLayout) }

// The two who keep the records.
const (
	boatman = "Bram Tolley"
	coach   = "Ines Caldera"
)

// joined is when the athletes came on record, days ago: before the first of
// the measures.
const joined = 620

// demoAthlete is an athlete of the demo club.
type demoAthlete struct {
	name            string
	sex             string
	years, days     int     // of age
	port, starboard float64 // cost of the side, s over 2000 m; notRowed for none
	sculls          bool
	note            string
	taken           []demoTaken   // oldest first
	best2k          float64       // s; 0: none
	pace6k          float64       // s over 500 m; 0: none
	tests           []demoTest    // further ones
	posture         *seat.Posture // calibrated, for the athlete's kind of rowing
}

// demoTaken is what was measured some days ago; 0 was not.
type demoTaken struct {
	ago                                  int
	stature, span, sitting, mass, drawUp float64
}

// demoTest is one more ergometer test, some days ago.
type demoTest struct {
	ago               int
	distance, seconds float64
	note              string
}

const notRowed = -1

func sideCost(v float64) *float64 {
	if v == notRowed {
		return nil
	}
	return &v
}

func (d *demo) athletes(ctx context.Context) error {
	for i := range d.people {
		a := &d.people[i]
		added, err := d.ago(joined).club.AddAthlete(ctx, club.NewAthlete{By: d.coach, AthleteFields: club.AthleteFields{
			Name: a.name, Sex: a.sex, BirthDate: wire.Ptr(d.now.AddDate(-a.years, 0, -a.days).Format(wire.DayLayout)),
			PortCostS: sideCost(a.port), StarboardCostS: sideCost(a.starboard), Sculls: a.sculls, Note: a.note,
		}})
		if err != nil {
			return fmt.Errorf("demo athlete %s: %w", a.name, err)
		}
		d.ids = append(d.ids, added.ID)
		if err := d.body(ctx, a, added.ID); err != nil {
			return fmt.Errorf("demo athlete %s: %w", a.name, err)
		}
	}
	return nil
}

// body puts measures and posture of an athlete on record.
func (d *demo) body(ctx context.Context, a *demoAthlete, id int64) error {
	for _, t := range a.taken {
		_, err := d.ago(t.ago).club.AddMeasures(ctx, club.NewMeasures{
			AthleteID: id, MeasuredOn: d.day(t.ago), MeasuredBy: d.coach,
			MeasuredBody: club.MeasuredBody{
				StatureCm: wire.SomeOf(t.stature), ArmSpanCm: wire.SomeOf(t.span), SittingHeightCm: wire.SomeOf(t.sitting),
				MassKg: wire.SomeOf(t.mass), DrawHeightCm: wire.SomeOf(t.drawUp),
			},
		})
		if err != nil {
			return err
		}
	}
	if a.posture == nil {
		return nil
	}
	kind := store.Sweep
	if a.sculls && a.port == notRowed && a.starboard == notRowed {
		kind = store.Scull
	}
	_, err := d.ago(40).club.AddPosture(ctx, club.PostureEdit{
		AthleteID: id, CalibratedOn: d.day(40), Kind: kind, Posture: *a.posture, Note: "From the gate sensor, steady rowing.",
	})
	return err
}

// ergTests spreads the winter's tests over the squad.
func (d *demo) ergTests(ctx context.Context) error {
	var tests []store.ErgTest
	for i := range d.people {
		a := &d.people[i]
		list := slices.Clone(a.tests)
		if a.best2k > 0 {
			list = append(list, demoTest{110, 2000, a.best2k * 1.012, ""}, demoTest{24, 2000, a.best2k, ""})
		}
		if a.pace6k > 0 {
			list = append(list, demoTest{66, 6000, a.pace6k * 12, ""})
		}
		for _, t := range list {
			tests = append(tests, store.ErgTest{
				AthleteID: d.ids[i], TestedOn: d.day(t.ago), Fixed: store.FixedDistance, DistanceM: t.distance, TimeS: wire.Round(t.seconds, 10),
				MassKg: wire.SomeOf(a.taken[len(a.taken)-1].mass), Note: t.note, EnteredAt: d.now.AddDate(0, 0, -t.ago),
			})
		}
	}
	_, err := d.service.Store.SaveErgTests(ctx, tests)
	return err
}

func (d *demo) oars(ctx context.Context) error {
	for _, o := range d.sets {
		if _, err := d.ago(joined).fleet.AddOarSet(ctx, fleet.NewOarSet{OarFields: o, By: boatman}); err != nil {
			return fmt.Errorf("demo oars %s: %w", o.Name, err)
		}
	}
	return nil
}

// demoRig is values by setting.
type demoRig map[string]float64

// demoWork is one entry of the history of a boat's rig: values that all seats
// take, and those of single seats, bow first.
type demoWork struct {
	ago   int
	by    string
	why   string
	all   demoRig
	seats map[int]demoRig
	undo  bool // take the newest change back instead
}

// demoBoat is a boat of the demo club with the work done on it.
type demoBoat struct {
	fleet.BoatFields
	sides  []string // bow first; nil: as usual
	either []int    // seats whose rigger fits both sides
	work   []demoWork
}

func (d *demo) boats(ctx context.Context) error {
	for i := range d.fleet {
		b := &d.fleet[i]
		archived := b.Archived
		fields := b.BoatFields
		fields.Archived = false
		boat, err := d.ago(b.work[0].ago).fleet.AddBoat(ctx, fleet.NewBoat{BoatFields: fields, Seats: d.seats(b), By: boatman})
		for j := 0; err == nil && j < len(b.work); j++ {
			boat, err = d.work(ctx, boat, &b.work[j])
		}
		if err == nil && archived {
			_, err = d.ago(10).fleet.UpdateBoat(ctx, fleet.BoatEdit{ID: boat.ID, Version: boat.Version, BoatFields: b.BoatFields, Seats: boat.SeatFields(), By: boatman})
		}
		if err != nil {
			return fmt.Errorf("demo boat %s: %w", b.Name, err)
		}
	}
	return nil
}

func (d *demo) seats(b *demoBoat) []fleet.SeatFields {
	seats := d.service.fleet.UsualSeats(b.BoatClass)
	for i, side := range b.sides {
		seats[i].Side = side
	}
	for _, n := range b.either {
		seats[n-1].CanChangeSides = true
	}
	return seats
}

func (d *demo) work(ctx context.Context, boat fleet.Boat, w *demoWork) (fleet.Boat, error) {
	then := d.ago(w.ago)
	if w.undo {
		last, err := then.fleet.RigHistory(ctx, fleet.RigHistoryRequest{ID: boat.ID, Limit: 1})
		if err != nil {
			return fleet.Boat{}, err
		}
		return then.fleet.UndoRig(ctx, fleet.RigUndo{ID: boat.ID, Change: last.Changes[0].ID, Why: w.why, By: w.by})
	}
	edit := fleet.RigEdit{ID: boat.ID, Version: boat.Version, Why: w.why, By: w.by}
	for n := range boat.Seats {
		rig := maps.Clone(w.all)
		if rig == nil {
			rig = demoRig{}
		}
		maps.Copy(rig, w.seats[n+1])
		for _, name := range slices.Sorted(maps.Keys(rig)) {
			edit.Settings = append(edit.Settings, fleet.RigSetting{Seat: n + 1, Setting: name, Value: wire.Ptr(rig[name])})
		}
	}
	return then.fleet.UpdateRig(ctx, edit)
}
