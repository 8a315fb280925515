package setup_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/directory"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/storetest"
	"thole/api/wire"
	"thole/rigging"
)

// springEight is a crew for the demo club's eight, bow first.
var springEight = []string{"Luca Ferrand", "Tomas Verhelde", "Aurel Dascalu", "Davide Roncalli", "Jonas Wickstead", "Sam Okafor", "Kofi Mensah-Bright", "Emre Saltan"}

// newClub is a club of its own without anything on record.
func newClub(t testing.TB) *api.Service {
	t.Helper()
	s := api.NewService(storetest.Open(t))
	t.Cleanup(s.Close)
	return s
}

func demoClub(t testing.TB) *api.Service { t.Helper(); return apitest.DemoService(t) }

func boatNamed(t testing.TB, s *api.Service, name string) fleet.Boat {
	t.Helper()
	list, err := s.Fleet.Boats(t.Context(), records.ListRequest{Name: name})
	if err != nil || len(list.Boats) == 0 {
		t.Fatalf("%s: %v", name, err)
	}
	boat, err := s.Fleet.Boat(t.Context(), records.IDRequest{ID: list.Boats[0].ID})
	if err != nil {
		t.Fatal(err)
	}
	return boat
}

// crewNamed is a crew of athletes on record.
func crewNamed(t testing.TB, s *api.Service, names []string) []setup.CrewPlace {
	t.Helper()
	all, err := s.Club.AthleteNames(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var crew []setup.CrewPlace
	for i, name := range names {
		at := slices.IndexFunc(all, func(a directory.Athlete) bool { return a.Name == name })
		crew = append(crew, setup.CrewPlace{Seat: i + 1, AthleteID: &all[at].ID})
	}
	return crew
}

// guests are rowers of whom height and mass are known.
func guests(sex string, statures, masses []float64) []setup.CrewPlace {
	var crew []setup.CrewPlace
	for i := range statures {
		crew = append(crew, setup.CrewPlace{Seat: i + 1, Name: fmt.Sprint("Guest ", i+1), Rower: &seat.Rower{Sex: sex, StatureCm: &statures[i], MassKg: &masses[i]}})
	}
	return crew
}

// eightWomen are 158 to 183 cm tall, known by height and mass alone.
func eightWomen() []setup.CrewPlace {
	return guests("female", []float64{158, 162, 166, 169, 172, 176, 180, 183}, []float64{53, 56, 60, 63, 66, 70, 74, 77})
}

func setUp(t testing.TB, s *api.Service, boat fleet.Boat, fields setup.SetupFields) setup.Setup {
	t.Helper()
	w, err := s.Setup.SetUp(t.Context(), setup.SetupRequest{BoatID: boat.ID, SetupFields: fields})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func sheetFor(t testing.TB, s *api.Service, boat fleet.Boat, fields setup.SetupFields) setup.Sheet {
	t.Helper()
	h, err := s.Setup.AddSheet(t.Context(), setup.NewSheet{BoatID: boat.ID, BoatVersion: boat.Version, SetupFields: fields, By: "Bram"})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// newCautions lists what a seat of the set-up is cautioned about that it is not
// in the rig as found.
func newCautions(t testing.TB, s *api.Service, boat fleet.Boat, fields setup.SetupFields, w *setup.Setup) []string {
	t.Helper()
	as := fields
	for _, seat := range w.Seats { // every setting by hand to where it stands
		for _, l := range seat.Lines {
			if l.Moves {
				as.ByHand = append(as.ByHand, fleet.RigSetting{Seat: seat.Number, Setting: l.Setting, Value: l.AsFound})
			}
		}
	}
	found := setUp(t, s, boat, as)
	had := map[string]bool{}
	for _, c := range found.Cautions {
		for _, n := range c.Seats {
			had[fmt.Sprint(n, c.Code)] = true
		}
	}
	var list []string
	for _, c := range w.Cautions {
		for _, n := range c.Seats {
			if !had[fmt.Sprint(n, c.Code)] {
				list = append(list, fmt.Sprintf("seat %d: %s", n, c.Code))
			}
		}
	}
	return list
}

// checkWork complains about a default set-up that a boatman would not carry out.
func checkWork(t *testing.T, s *api.Service, boat fleet.Boat, fields setup.SetupFields) {
	t.Helper()
	w := setUp(t, s, boat, fields)
	stretchers, gates, others := 0, 0, []string{}
	for _, seat := range w.Seats {
		for _, l := range seat.Lines {
			switch {
			case !l.Moves:
			case l.Setting == "heel_to_pin_cm":
				stretchers++
			case l.Setting == "gate_height_cm":
				gates++
			default:
				others = append(others, fmt.Sprint(seat.Number, " ", l.Text))
			}
			if l.Moves && l.AsFound == nil {
				t.Errorf("seat %d: %s was never measured and is told: %s", seat.Number, l.Setting, l.Text)
			}
		}
		if seat.Result == nil {
			t.Errorf("seat %d cannot be rowed: %s", seat.Number, seat.Stuck)
		}
		if len(seat.HeldBy) > 0 || len(seat.Result.NewCautions) > 0 {
			t.Logf("held by %v, new %v", seat.HeldBy, seat.Result.NewCautions)
		}
		t.Logf("seat %d %s: %s, finish %.1f by %.1f ± %.1f, catch %.1f", seat.Number, seat.Name, seat.Result.Verdict.Verdict, seat.Result.FinishDeg, seat.Result.FinishByDeg, seat.Result.FinishSdDeg, seat.Result.ReachedCatchDeg)
	}
	t.Logf("targets %v, %d stretchers, %d gates, offers %d", w.Targets, stretchers, gates, len(w.Offers))
	if len(others) > 0 || stretchers == 0 || gates > stretchers {
		t.Errorf("%d stretchers, %d gates and %v", stretchers, gates, others)
	}
	if fresh := newCautions(t, s, boat, fields, &w); len(fresh) > 0 {
		t.Errorf("new cautions: %v", fresh)
	}
	sameOnSheet(t, &w, sheetFor(t, s, boat, fields))
}

// sameOnSheet complains where the sheet says anything else of a seat than the
// set-up it was made from.
func sameOnSheet(t *testing.T, w *setup.Setup, h setup.Sheet) {
	t.Helper()
	for i, seat := range w.Seats {
		row := h.Seats[i]
		if row.Planned == nil || seat.Result == nil {
			t.Errorf("seat %d: %v on the set-up, %v on the sheet", seat.Number, seat.Result, row.Planned)
			continue
		}
		if row.Planned.Verdict != seat.Result.Verdict || row.Planned.CatchDeg != seat.Result.CatchDeg || row.Planned.FinishDeg != seat.Result.FinishDeg ||
			row.Planned.ReachedCatchDeg != seat.Result.ReachedCatchDeg || row.Planned.Proof != seat.Result.Proof {
			t.Errorf("seat %d: %+v on the set-up, %+v on the sheet", seat.Number, *seat.Result, *row.Planned)
		}
		for j, l := range seat.Lines {
			if x := row.Lines[j]; x.Target != l.Target || x.Text != l.Text || x.Moves != l.Moves || x.Tolerance != l.Tolerance {
				t.Errorf("seat %d %s: %+v on the set-up, %+v on the sheet", seat.Number, l.Setting, l, x)
			}
		}
	}
	if fmt.Sprint(w.Targets) != fmt.Sprint(h.Targets) || cautionsIn(w.Cautions) != cautionsIn(h.Cautions) {
		t.Errorf("targets or cautions differ:\n%v\n%v\n%s\n%s", w.Targets, h.Targets, cautionsIn(w.Cautions), cautionsIn(h.Cautions))
	}
}

func cautionsIn(list []setup.SeatCaution) string {
	var codes []string
	for _, c := range list {
		codes = append(codes, fmt.Sprint(c.Code, c.Seats))
	}
	slices.Sort(codes)
	return strings.Join(codes, " ")
}

func TestTheDefaultSetupOfTheDemoEightIsWorkForABoatman(t *testing.T) {
	s := demoClub(t)
	boat := boatNamed(t, s, "Nightjar")
	checkWork(t, s, boat, setup.SetupFields{Crew: crewNamed(t, s, springEight)})
}

func TestTheDefaultSetupForEightWomenIsWorkForABoatman(t *testing.T) {
	s := demoClub(t)
	checkWork(t, s, boatNamed(t, s, "Nightjar"), setup.SetupFields{Crew: eightWomen()})
}

// randomBoat puts a boat with a usual rig on record, with what boathouses differ
// in, and returns it with a crew.
func randomBoat(t testing.TB, s *api.Service, r *rand.Rand, n int) (fleet.Boat, []setup.CrewPlace) {
	t.Helper()
	classes := []string{"1x", "2x", "4x", "2-", "4-", "4+", "8+"}
	class, _ := rigging.ClassByCode(classes[n%len(classes)])
	boat, err := s.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: fmt.Sprint("Random ", n), BoatClass: class.Code}, By: "Bram"})
	if err != nil {
		t.Fatal(err)
	}
	rig := map[string]float64{"spread_cm": 85, "inboard_cm": 115, "oar_length_cm": 374}
	if class.Scull {
		rig = map[string]float64{"span_cm": 159, "inboard_cm": 88, "oar_length_cm": 288, "gate_difference_cm": 1}
	}
	edit := fleet.RigEdit{ID: boat.ID, Version: boat.Version, By: "Bram"}
	var crew []setup.CrewPlace
	for i := range boat.Seats {
		rig["heel_to_pin_cm"], rig["heel_depth_cm"], rig["gate_height_cm"] = float64(18+r.IntN(13)), float64(16+r.IntN(3)), 16+0.5*float64(r.IntN(4))
		for name, v := range rig {
			edit.Settings = append(edit.Settings, fleet.RigSetting{Seat: i + 1, Setting: name, Value: wire.Ptr(v)})
		}
		crew = append(crew, randomRower(r, n, i+1))
	}
	if boat, err = s.Fleet.UpdateRig(t.Context(), edit); err != nil {
		t.Fatal(err)
	}
	return boat, crew
}

// randomRower is one of men of 187 ± 6 cm, women of 175 ± 6, juniors of 14 to 16
// of 172 ± 8, of whom some are known by height and mass alone.
func randomRower(r *rand.Rand, n, number int) setup.CrewPlace {
	kinds := []struct {
		sex        string
		mean, sd   float64
		kg, ageAdd float64
	}{{"male", 187, 6, 86, 0}, {"female", 175, 6, 70, 0}, {"", 172, 8, 62, 14}}
	k := kinds[n%len(kinds)]
	stature := wire.Round(k.mean+k.sd*r.NormFloat64(), 1)
	rower := seat.Rower{Sex: k.sex, StatureCm: &stature, MassKg: wire.Ptr(wire.Round(k.kg+5*r.NormFloat64(), 1))}
	if k.ageAdd > 0 {
		rower.AgeYears = wire.Ptr(k.ageAdd + float64(r.IntN(3)))
	}
	if r.IntN(2) == 0 {
		rower.ArmSpanCm = wire.Ptr(stature + float64(r.IntN(5)))
	}
	return setup.CrewPlace{Seat: number, Name: fmt.Sprint("Guest ", number), Rower: &rower}
}

func TestSetupAndSheetSayTheSameOfEverySeat(t *testing.T) {
	s := newClub(t)
	r := rand.New(rand.NewPCG(11, 30))
	moves, seats := map[string]int{}, 0
	for n := range 30 {
		boat, crew := randomBoat(t, s, r, n)
		fields := setup.SetupFields{Crew: crew}
		if n%5 == 0 {
			fields.Job, fields.Level = string(rigging.JobRerig), "championship"
		}
		w := setUp(t, s, boat, fields)
		sameOnSheet(t, &w, sheetFor(t, s, boat, fields))
		for _, seat := range w.Seats {
			if len(seat.Result.NewCautions) > 0 {
				t.Errorf("boat %d (%s) seat %d: new cautions %v", n, boat.BoatClass, seat.Number, seat.Result.NewCautions)
			}
			seats++
			for _, l := range seat.Lines {
				if l.Moves {
					moves[l.Setting]++
				}
			}
		}
	}
	t.Logf("%d seats: %v", seats, moves)
}

func TestNobodyIsOnTargetWhoseHeightIsNotKnown(t *testing.T) {
	s := demoClub(t)
	boat := boatNamed(t, s, "Wren")
	fields := setup.SetupFields{Crew: []setup.CrewPlace{{Seat: 1, Name: "Guest", Rower: &seat.Rower{Sex: "female", MassKg: wire.Ptr(60.0)}}}}
	w := setUp(t, s, boat, fields)
	one := w.Seats[0]
	if one.Result.Verdict.Verdict != string(rigging.SeatMeasureFirst) || !one.Result.MeasureRower {
		t.Errorf("%+v", one.Result.Verdict)
	}
	for _, l := range one.Lines {
		if l.Moves && l.Setting == "heel_to_pin_cm" {
			t.Errorf("told all the same: %s", l.Text)
		}
	}
	sameOnSheet(t, &w, sheetFor(t, s, boat, fields))
}
