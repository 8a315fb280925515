package progress

import (
	"cmp"
	"context"
	"math"
	"slices"

	"thole/api/records"
	"thole/api/store"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/selection/stroke"
)

// BetweenRequest names two recordings of one rower.
type BetweenRequest struct {
	A           int64    `query:"a" json:"-" validate:"omitempty,gte=1" description:"One recording."`
	B           int64    `query:"b" json:"-" validate:"omitempty,gte=1" description:"Another one of the same rower; the older of both is taken as before."`
	RatePerMin  float64  `query:"rate_per_min" json:"-" validate:"omitempty,gte=8,lte=68" description:"Strokes within 1.5 of it; without it, a rate that both hold, or else each at its own."`
	ShareOfPeak *float64 `query:"share_of_peak" json:"-" validate:"omitempty,gte=0.01,lte=0.95" description:"At which slip is read in both; without it, 0.3."`
}

// Between is what changed in a rower from one recording to another.
type Between struct {
	Before    Side           `json:"before"`
	After     Side           `json:"after"`
	AthleteID int64          `json:"athlete_id"`
	Athlete   string         `json:"athlete"`
	Changes   FeatureChanges `json:"changes"`
	Rig       []RigMark      `json:"rig" description:"What was changed at the rig or in the boat after the first day, up to the second."`
	Threshold string         `json:"threshold" description:"That every slip here refers to, in words."`
	Noise     string         `json:"noise" description:"What ± and the verdicts hold."`
}

// Side is one of two recordings; of a sculler it stands for both oars.
type Side struct {
	RecordingID int64  `json:"recording_id"`
	RecordedOn  string `json:"recorded_on" description:"YYYY-MM-DD."`
	Boat        string `json:"boat"`
	Seat        string `json:"seat"`
	Note        string `json:"note"`
	Oars        int    `json:"oars" description:"Whose recordings are told together."`
}

func (o *outing) side() Side {
	return Side{o.text.ID, o.on(), o.text.Boat, o.text.Seat, o.text.Note, len(o.oars)}
}

// FeatureChanges are the changes of all measures, the surest first.
type FeatureChanges struct {
	Said       string          `json:"said" description:"In one sentence."`
	List       []FeatureChange `json:"list"`
	RateBefore float64         `json:"rate_before_per_min" description:"Strokes a minute, mean of those compared."`
	RateAfter  float64         `json:"rate_after_per_min" description:"Strokes a minute, mean of those compared."`
	RateSaid   string          `json:"rate_said" description:"What the rates say of the comparison."`
	SameRate   bool            `json:"same_rate" description:"Both were rowed at one rate."`
	NotHeld    []string        `json:"not_held" description:"Measures that cannot be held against each other, and why."`
}

// FeatureChange is the change of one measure.
type FeatureChange struct {
	Feature string  `json:"feature" description:"As in a recording."`
	Label   string  `json:"label"`
	Unit    string  `json:"unit"`
	Before  float64 `json:"before" description:"In the unit of the measure."`
	After   float64 `json:"after" description:"In the unit of the measure."`
	Change  Change  `json:"change"`
	Said    string  `json:"said" description:"The change with its verdict."`
}

// Between compares two recordings of one rower. Errors: ErrNotFound, or an
// *Invalid for those of two rowers, or where nothing can be compared.
func (s *Service) Between(ctx context.Context, r BetweenRequest) (Between, error) {
	share := shareOf(r.ShareOfPeak)
	w := Between{Rig: []RigMark{}, Threshold: stroke.Thresholds{Basis: stroke.ByShare, Share: share}.String(), Noise: noiseRule()}
	athlete, err := s.sameRower(ctx, r.A, r.B)
	if err != nil {
		return w, err
	}
	list, err := s.outings(ctx, athlete, share)
	if err != nil {
		return w, err
	}
	a, b := outingOf(list, r.A), outingOf(list, r.B)
	if a == b {
		return w, wire.At("b").Invalid("These are the two oars of one outing: choose another day.")
	}
	before, after := &list[min(a, b)], &list[max(a, b)]
	for _, o := range []*outing{before, after} {
		if o.fault() != "" {
			return w, wire.At("b").Invalid("The recording of " + dayText(o.on()) + " is " + o.fault() + ".")
		}
	}
	w.Before, w.After, w.AthleteID, w.Athlete = before.side(), after.side(), athlete, after.text.Athlete
	w.Changes = changesOf(before, after, references(list), r.RatePerMin)
	if r.RatePerMin != 0 && len(w.Changes.List) == 0 {
		return w, wire.At("rate_per_min").Invalid("Both recordings do not hold five strokes at this rate.")
	}
	marks, err := s.rigMarks(ctx, list, after.on())
	for _, m := range marks {
		if m.On > before.on() {
			w.Rig = append(w.Rig, m)
		}
	}
	return w, err
}

// sameRower returns whose the two recordings are.
func (s *Service) sameRower(ctx context.Context, a, b int64) (int64, error) {
	var rows [2]store.Recording
	for i, id := range []int64{a, b} {
		row, err := s.Store.RecordingRow(ctx, id)
		if err != nil {
			return 0, records.RecordError(err)
		}
		rows[i] = row
	}
	switch {
	case a == b:
		return 0, wire.At("b").Invalid("Choose two recordings.")
	case rows[0].AthleteID == nil || rows[1].AthleteID == nil:
		return 0, wire.At("b").Invalid("Say whose both recordings are first: correct them on their pages.")
	case *rows[0].AthleteID != *rows[1].AthleteID:
		return 0, wire.At("b").Invalid("These are two rowers: progress is told of one.")
	}
	return *rows[0].AthleteID, nil
}

// outingOf is the place of the outing of a recording; it is there.
func outingOf(list []outing, id int64) int {
	return slices.IndexFunc(list, func(o outing) bool {
		return slices.ContainsFunc(o.oars, func(p *profile) bool { return p.row.ID == id })
	})
}

// references are all outings, from which the scatter from day to day is told.
func references(list []outing) []*outing {
	var all []*outing
	for i := range list {
		if list[i].fault() == "" {
			all = append(all, &list[i])
		}
	}
	return all
}

// rateApart is how far two rates may be apart for one comparison, strokes a
// minute: both within the window of one rate.
const rateApart = RateWindow

// changesOf compares two outings at a rate, or, with 0, at one that both hold;
// where there is none, each at its own. The days' scatter is that of all.
func changesOf(before, after *outing, all []*outing, rate float64) FeatureChanges {
	w := FeatureChanges{List: []FeatureChange{}, NotHeld: []string{}}
	rateA, rateB := rate, rate
	if rate == 0 {
		rateA, rateB = commonRates(before, after, all)
	}
	_, w.RateBefore = before.count(rateA)
	_, w.RateAfter = after.count(rateB)
	w.RateBefore, w.RateAfter = wire.Round(w.RateBefore, 10), wire.Round(w.RateAfter, 10)
	w.SameRate = rateA == rateB && math.Abs(w.RateAfter-w.RateBefore) <= rateApart
	for k := range measures {
		m := &measures[k]
		a, okA := before.session(k, rateA)
		b, okB := after.session(k, rateB)
		if !okA || !okB {
			continue
		}
		if m.force && before.site() != after.site() {
			w.NotHeld = append(w.NotHeld, m.label+": the force was measured at the "+before.site()+" then and at the "+after.site()+" now")
			continue
		}
		g := noiseAt(k, all, rateB, a, b).Between(a, b)
		w.List = append(w.List, m.featureChange(a, b, g, w.SameRate))
	}
	slices.SortStableFunc(w.List, func(a, b FeatureChange) int {
		if d := rank(a.Change.Verdict) - rank(b.Change.Verdict); d != 0 {
			return d
		}
		return cmp.Compare(b.Change.Times, a.Change.Times)
	})
	w.say(dayText(before.on()))
	return w
}

// rank orders verdicts, the surest first.
func rank(verdict string) int {
	return slices.Index([]string{"real", "rate", "unclear", "same"}, verdict)
}

// noiseAt is the days' scatter of a measure, from all outings at the rate, or of
// the two alone.
func noiseAt(k int, all []*outing, rate float64, a, b stroke.Session) stroke.DayNoise {
	var sessions []stroke.Session
	if len(all) > 0 {
		sessions, _ = sessionsOf(k, all, rate)
	}
	if len(sessions) < 2 {
		sessions = []stroke.Session{a, b}
	}
	return stroke.NoiseOf(sessions, measures[k].sensorOf(sessions))
}

// commonRates returns a rate that both outings hold, twice, or the commonest of each
// where they share none. The rates at which the rower is followed over all outings come
// first: compared alone, two days then say what they say in the rower's progress.
func commonRates(a, b *outing, all []*outing) (rateA, rateB float64) {
	for _, r := range append(rates(all), bestRate([]*outing{a, b})) {
		if a.holds(r.RatePerMin) && b.holds(r.RatePerMin) {
			return r.RatePerMin, r.RatePerMin
		}
	}
	return a.oars[0].commonRate(), b.oars[0].commonRate()
}

// CrewRequest asks what a crew gained between two days.
type CrewRequest struct {
	ID          int64    `path:"id" json:"-" validate:"gte=1"`
	From        string   `query:"from" json:"-" validate:"omitempty,day" description:"YYYY-MM-DD; without it, the day with recordings before the second."`
	To          string   `query:"to" json:"-" validate:"omitempty,day" description:"YYYY-MM-DD; without it, the newest day with recordings."`
	ShareOfPeak *float64 `query:"share_of_peak" json:"-" validate:"omitempty,gte=0.01,lte=0.95" description:"At which slip is read; without it, 0.3."`
}

// Crew is what the rowers of a boat gained between two days.
type Crew struct {
	BoatID    int64     `json:"boat_id"`
	Boat      string    `json:"boat"`
	Days      []string  `json:"days" description:"With recordings in this boat, newest first."`
	From      string    `json:"from" description:"Empty where there are not two days."`
	To        string    `json:"to"`
	Rows      []CrewRow `json:"rows" description:"By seat."`
	Rig       []RigMark `json:"rig" description:"What was changed at the rig of these seats in between."`
	Threshold string    `json:"threshold" description:"That every slip here refers to, in words."`
	Noise     string    `json:"noise" description:"What ± and the verdicts hold."`
}

// CrewRow is one rower.
type CrewRow struct {
	AthleteID int64           `json:"athlete_id"`
	Athlete   string          `json:"athlete"`
	Seat      string          `json:"seat" description:"On the second day, or on the one that there is."`
	BeforeID  int64           `json:"before_id" description:"Recording of the first day; 0 for none."`
	AfterID   int64           `json:"after_id" description:"Recording of the second day; 0 for none."`
	Missing   string          `json:"missing" description:"Why nothing is compared; empty where it is."`
	Changes   *FeatureChanges `json:"changes" description:"Null where nothing is compared."`
}

// Crew returns what each rower of a boat gained between two days. Errors:
// ErrNotFound, or an *Invalid for a day without recordings.
func (s *Service) Crew(ctx context.Context, r CrewRequest) (Crew, error) {
	share := shareOf(r.ShareOfPeak)
	w := Crew{Days: []string{}, Rows: []CrewRow{}, Rig: []RigMark{}, Threshold: stroke.Thresholds{Basis: stroke.ByShare, Share: share}.String(), Noise: noiseRule()}
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: r.ID})
	if err != nil {
		return w, err
	}
	w.BoatID, w.Boat = boat.ID, boat.Name
	told, err := s.strokes.Recordings(ctx, strokes.RecordingsRequest{BoatID: r.ID})
	if err != nil {
		return w, err
	}
	for _, one := range told.Recordings {
		if one.AthleteID != nil && !slices.Contains(w.Days, one.RecordedOn) {
			w.Days = append(w.Days, one.RecordedOn)
		}
	}
	if err := w.chooseDays(&r); err != nil || w.From == "" {
		return w, err
	}
	for _, one := range told.Recordings {
		on := one.RecordedOn == w.From || one.RecordedOn == w.To
		if one.AthleteID == nil || !on || slices.ContainsFunc(w.Rows, func(row CrewRow) bool { return row.AthleteID == *one.AthleteID }) {
			continue
		}
		if err := s.addRow(ctx, &w, &one, share); err != nil {
			return w, err
		}
	}
	slices.SortStableFunc(w.Rows, func(a, b CrewRow) int { return seatOrder(a.Seat, b.Seat) })
	return w, nil
}

// chooseDays sets the two days, the newest two where none are asked for.
func (w *Crew) chooseDays(r *CrewRequest) error {
	w.From, w.To = r.From, r.To
	for name, day := range map[string]string{"from": r.From, "to": r.To} {
		if day != "" && !slices.Contains(w.Days, day) {
			return wire.At(name).Invalid("Nobody was recorded in this boat on this day.")
		}
	}
	if w.To == "" && len(w.Days) > 0 {
		w.To = w.Days[0]
	}
	older := slices.IndexFunc(w.Days, func(day string) bool { return day < w.To })
	if w.From == "" && older >= 0 {
		w.From = w.Days[older]
	}
	if w.From > w.To {
		w.From, w.To = w.To, w.From
	}
	if w.From == w.To {
		w.From = ""
	}
	return nil
}

// addRow compares one rower of the crew, of whom told is the newest recording.
func (s *Service) addRow(ctx context.Context, w *Crew, told *strokes.RecordingSummary, share float64) error {
	list, err := s.outings(ctx, *told.AthleteID, share)
	if err != nil {
		return err
	}
	row := CrewRow{AthleteID: *told.AthleteID, Athlete: told.Athlete, Seat: told.Seat}
	newest := func(day string) *outing {
		for i := range slices.Backward(list) {
			if o := &list[i]; o.on() == day && wire.Or(o.text.BoatID, 0) == w.BoatID {
				return o
			}
		}
		return nil
	}
	before, after := newest(w.From), newest(w.To)
	switch {
	case before == nil:
		row.AfterID, row.Missing = after.text.ID, "not recorded in this boat on "+dayText(w.From)
	case after == nil:
		row.BeforeID, row.Missing = before.text.ID, "not recorded in this boat on "+dayText(w.To)
	case before.fault()+after.fault() != "":
		row.BeforeID, row.AfterID, row.Missing = before.text.ID, after.text.ID, before.fault()+after.fault()
	default:
		c := changesOf(before, after, references(list), 0)
		row.BeforeID, row.AfterID, row.Changes = before.text.ID, after.text.ID, &c
	}
	w.Rows = append(w.Rows, row)
	marks, err := s.rigMarks(ctx, list, w.To)
	for _, m := range marks {
		if m.On > w.From && m.BoatID == w.BoatID && !slices.Contains(w.Rig, m) {
			w.Rig = append(w.Rig, m)
		}
	}
	return err
}
