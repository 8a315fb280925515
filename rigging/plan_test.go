package rigging_test

import (
	"math"
	"testing"

	"thole/rigging"
)

// person draws from a normal distribution.
type crewDraw struct{ in source }

// normal draws with the given mean and standard deviation (sum of uniforms).
func (d crewDraw) normal(mean, sd float64) float64 {
	sum := 0.0
	for range 12 {
		sum += d.in(0, 1)
	}
	return mean + sd*(sum-6)
}

// kind is a kind of crew of the statistics.
type kind struct {
	name          string
	sex           rigging.Sex
	stature, sd   float64 // cm
	mass          float64 // kg
	age, youngest float64 // years
	level         rigging.Level
}

var kinds = []kind{
	{"men", rigging.Male, 187, 6, 86, 25, 0, rigging.Club},
	{"women", rigging.Female, 175, 6, 70, 25, 0, rigging.Club},
	{"juniors", rigging.Male, 172, 8, 62, 16, 14, rigging.Club},
	{"mixed", rigging.AnySex, 180, 8, 77, 25, 0, rigging.Club},
	{"masters", rigging.Male, 181, 6, 85, 58, 0, rigging.Club},
	{"novices", rigging.Female, 172, 7, 68, 25, 0, rigging.Novice},
}

// someCrew draws a crew with a rig of the usual kind: stretchers 18 to 30 cm,
// heel depth 16 to 18, gates 16 to 17.5, of which only stature and mass are
// known.
func someCrew(t reporter, in source, code string, k kind, job rigging.Job) *rigging.PlanTask {
	task := &rigging.PlanTask{Job: job, Limits: rigging.DefaultLimits()}
	d := crewDraw{in}
	cl := class(code)
	for seat := range cl.Rowers {
		s := usualRig(code)
		if seat%2 == 1 && !cl.Scull {
			s.Side = rigging.Starboard
		}
		half := func(v float64) float64 { return math.Round(v/0.005) * 0.005 }
		s.HeelToPin, s.HeelDepth, s.GateHeight = half(in(0.18, 0.30)), half(in(0.16, 0.18)), half(in(0.16, 0.175))
		stature := d.normal(k.stature, k.sd)
		sex := k.sex
		if sex == rigging.AnySex {
			sex = rigging.Male
			if seat%2 == 0 {
				sex, stature = rigging.Female, stature-10
			}
		}
		age := k.age
		if k.youngest > 0 {
			age = math.Floor(in(k.youngest, k.age+1))
		}
		m := rigging.Measures{Sex: sex, Stature: stature / 100, Mass: k.mass + 0.8*(stature-k.stature), Age: age}
		task.Seats = append(task.Seats, planSeat(t, s, m, rigging.Group{Class: cl, Sex: sex, Age: age, Level: k.level}))
	}
	return task
}

// planSeat returns a seat with what is expected of its rower.
func planSeat(t reporter, s rigging.Setup, m rigging.Measures, g rigging.Group) rigging.PlanSeat {
	c := rigging.NewCase(s, &m)
	e, err := c.Expect(g.Arc(), rigging.DefaultLimits(), nil)
	if e.Belief == nil {
		t.Fatalf("Expect: %v", err)
	}
	c.Posture, c.Belief = e.Posture, e.Belief
	return rigging.PlanSeat{Case: c, Measures: m, Arc: g.Arc()}
}

// pair returns a double with rowers of 1.70 and 1.80 m in a common rig.
func pair() *rigging.PlanTask {
	task := &rigging.PlanTask{Job: rigging.JobEveryday}
	for _, stature := range []float64{1.70, 1.80} {
		seat := scull()
		seat.Class = class("2x")
		m := rigging.Measures{Sex: rigging.Female, Stature: stature}
		g := rigging.Group{Class: seat.Class, Sex: m.Sex}
		task.Seats = append(task.Seats, rigging.PlanSeat{Case: rigging.NewCase(seat, &m), Measures: m, Arc: g.Arc()})
	}
	return task
}

func makePlan(t reporter, task *rigging.PlanTask) rigging.Plan {
	t.Helper()
	p, err := rigging.MakePlan(task)
	if err != nil {
		t.Fatalf("MakePlan: %v", err)
	}
	return p
}

// thirtyCrews draws the crews of the statistics.
func thirtyCrews(t reporter, job rigging.Job) []*rigging.PlanTask {
	in := seeded(30)
	codes := []string{"1x", "2x", "4x", "2-", "4-", "4+", "8+"}
	var list []*rigging.PlanTask
	for i := range 30 {
		list = append(list, someCrew(t, in, codes[i%len(codes)], kinds[i%len(kinds)], job))
	}
	return list
}

// alarms returns the cautions of a seat as set and rowed in a posture, those that
// always hold apart.
func alarms(t reporter, seat *rigging.PlanSeat, setup rigging.Setup, p rigging.Posture) map[string]bool {
	c := seat.Case
	c.Setup = setup
	_, cautions, err := c.RowedCautions(p, &seat.Measures)
	if err != nil {
		return map[string]bool{"unrowable": true}
	}
	list := map[string]bool{}
	for _, a := range cautions {
		if a.Weight == rigging.Standing {
			continue
		}
		code := a.Code
		if a.Range != nil {
			code += " " + a.Range.Place.String()
		}
		list[code] = true
	}
	return list
}

// TestThirtyCrews reports what the everyday job does to 30 crews drawn as
// someCrew says, and holds it to the laws.
func TestThirtyCrews(t *testing.T) {
	for _, job := range []rigging.Job{rigging.JobEveryday, rigging.JobRerig} {
		seats, moves, stretchers, gates, heels, added, refits, offers, unmet, offFinish, boats := 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0
		verdicts, why := map[rigging.SeatVerdict]int{}, map[string]int{}
		var stature, gate, foundGate []float64
		for _, task := range thirtyCrews(t, job) {
			plan := makePlan(t, task)
			again := *task
			again.Seats = append([]rigging.PlanSeat(nil), task.Seats...)
			for i, s := range plan.Seats {
				seats++
				moves += len(s.Changes)
				verdicts[s.After.Verdict]++
				unmet += min(1, len(s.Unmet))
				for _, c := range s.Changes {
					switch c.Setting {
					case rigging.SettingHeelToPin:
						stretchers++
					case rigging.SettingGateHeight:
						gates++
					}
				}
				found := task.Seats[i].Case
				if math.Abs(s.Setup.HeelDepth-found.Setup.HeelDepth) >= 0.03 {
					heels++
				}
				before := alarms(t, &task.Seats[i], found.Setup, found.Posture)
				for a := range alarms(t, &task.Seats[i], s.Setup, s.Posture) {
					if !before[a] && !before["unrowable"] {
						added++
						why[a]++
					}
				}
				if s.After.FinishBy.Degrees() > 1.0001 || s.After.FinishBy.Degrees() < -1.0001 {
					offFinish++
					t.Logf("%s, %.2f m: heel %.3f wanted %.3f, finish %+.1f, before %v", found.Setup.Class.Code, task.Seats[i].Measures.Stature, s.Setup.HeelToPin, s.HeelToPin, s.After.FinishBy.Degrees(), before)
				}
				stature, gate = append(stature, task.Seats[i].Measures.Stature), append(gate, s.Setup.GateHeight)
				foundGate = append(foundGate, found.Setup.GateHeight)
				g := task.Seats[i]
				again.Seats[i] = planSeat(t, s.Setup, g.Measures, rigging.Group{Class: found.Setup.Class, Sex: g.Measures.Sex, Age: g.Measures.Age, Level: levelOf(task, i)})
			}
			again.Targets = plan.Targets
			moved := false
			for _, s := range makePlan(t, &again).Seats {
				moved = moved || len(s.Changes) > 0
			}
			if moved {
				refits++
			}
			offers += len(plan.Offers)
			boats++
		}
		t.Logf("%s: %d boats, %d seats: %d moves (%d stretchers, %d gates), heels ≥ 3 cm %d, added cautions %d %v, boats that move on refit %d, offers %d, seats with something unmet %d, finish off %d, verdicts %v, stature–gate r %+.2f (as found %+.2f)",
			job, boats, seats, moves, stretchers, gates, heels, added, why, refits, offers, unmet, offFinish, verdicts, correlation(stature, gate), correlation(stature, foundGate))
		if added > 0 || refits > 0 || heels > 0 {
			t.Errorf("%s: %d cautions added %v, %d boats move again, %d heels by 3 cm", job, added, why, refits, heels)
		}
		if r := correlation(stature, gate) - correlation(stature, foundGate); math.Abs(r) > 0.2 {
			t.Errorf("%s: the work correlates stature and gate by %.2f more", job, r)
		}
	}
}

// levelOf returns the level by the seat's arc: the kinds differ in nothing else
// that matters to a refit.
func levelOf(task *rigging.PlanTask, i int) rigging.Level {
	m := task.Seats[i].Measures
	for _, l := range []rigging.Level{rigging.Club, rigging.Novice, rigging.Championship} {
		g := rigging.Group{Class: task.Seats[i].Case.Setup.Class, Sex: m.Sex, Age: m.Age, Level: l}
		if g.Arc().Catch == task.Seats[i].Arc.Catch {
			return l
		}
	}
	return rigging.Club
}

func correlation(x, y []float64) float64 {
	mx, my := mean(x), mean(y)
	var xy, xx, yy float64
	for i := range x {
		xy += (x[i] - mx) * (y[i] - my)
		xx += (x[i] - mx) * (x[i] - mx)
		yy += (y[i] - my) * (y[i] - my)
	}
	return xy / math.Sqrt(xx*yy)
}
