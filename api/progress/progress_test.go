package progress_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/progress"
	"thole/api/strokes"
	"thole/api/wire"
)

// changeOf finds the change of a measure.
func changeOf(t *testing.T, c *progress.FeatureChanges, feature string) progress.FeatureChange {
	t.Helper()
	for _, one := range c.List {
		if one.Feature == feature {
			return one
		}
	}
	t.Fatalf("no %s in %+v", feature, c.List)
	return progress.FeatureChange{}
}

func invalidAt(t *testing.T, field string, err error) {
	t.Helper()
	bad := new(wire.Invalid)
	if !errors.As(err, &bad) || bad.Fields[0].Field != field {
		t.Errorf("want a complaint at %s: %v", field, err)
	}
}

// TestTwoDatesInWords holds what is told of a rower who was planted to reach 3°
// further from the second recording to the fourth: noise of about .8°, so that
// it is real; the finish did not change. Neither the order asked for nor a rate
// that both hold changes the answer.
func TestTwoDatesInWords(t *testing.T) {
	_, _, list := apitest.Months(t)
	got, err := apitest.Service.Progress.Between(t.Context(), progress.BetweenRequest{A: list[1], B: list[3]})
	if err != nil {
		t.Fatal(err)
	}
	c := changeOf(t, &got.Changes, "catch_deg")
	apitest.Near(t, "catch", c.Change.Value, 3, 0.15)
	if c.Change.NoiseSD < 0.6 || c.Change.NoiseSD > 1 || c.Change.Verdict != "real" || !strings.Contains(c.Said, "longer, a real change (") || !got.Changes.SameRate {
		t.Errorf("%+v", c)
	}
	apitest.Near(t, "times", c.Change.Times, c.Change.Value/c.Change.NoiseSD, 0.06)
	if said := got.Changes.RateSaid; !strings.HasPrefix(said, "Both at about 30 a minute (") {
		t.Errorf("of the rates: %s", said)
	}
	for i := 1; i < len(got.Changes.List); i++ { // the surest first
		if a, b := got.Changes.List[i-1].Change, got.Changes.List[i].Change; a.Verdict == b.Verdict && a.Times < b.Times {
			t.Errorf("%g × before %g ×", a.Times, b.Times)
		}
	}
	if f := changeOf(t, &got.Changes, "finish_deg"); f.Change.Verdict == "real" {
		t.Errorf("%+v", f)
	}
	if !strings.HasPrefix(got.Changes.Said, "Against 7 Feb 2026: ") || got.Before.RecordedOn != "2026-02-07" || got.After.RecordedOn != "2026-04-11" {
		t.Errorf("%+v", got.Changes.Said)
	}
	turned, err := apitest.Service.Progress.Between(t.Context(), progress.BetweenRequest{A: list[3], B: list[1], RatePerMin: 30})
	if err != nil || changeOf(t, &turned.Changes, "catch_deg") != c {
		t.Errorf("turned round: %v %+v", err, turned.Changes)
	}
}

// TestAnotherRateIsNoProgress holds that nothing is called real between
// recordings at 30 and 20 a minute, and that the rates are named.
func TestAnotherRateIsNoProgress(t *testing.T) {
	_, _, list := apitest.Months(t)
	got, err := apitest.Service.Progress.Between(t.Context(), progress.BetweenRequest{A: list[1], B: list[4]})
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range got.Changes.List {
		if one.Change.Verdict == "real" {
			t.Errorf("%+v", one)
		}
	}
	if c := changeOf(t, &got.Changes, "catch_deg"); c.Change.Verdict != "rate" || !strings.Contains(c.Said, "may be the rate") {
		t.Errorf("%+v", c)
	}
	if got.Changes.SameRate || !strings.Contains(got.Changes.Said, "30.0 a minute then and 20.0 a minute now") {
		t.Errorf("%+v", got.Changes)
	}
	_, err = apitest.Service.Progress.Between(t.Context(), progress.BetweenRequest{A: list[1], B: list[4], RatePerMin: 30})
	invalidAt(t, "rate_per_min", err)
}

// TestForcesOfTwoSitesAreNotCompared holds that a force at the gate is not held
// against one at the handle, while the angles are.
func TestForcesOfTwoSitesAreNotCompared(t *testing.T) {
	_, _, list := apitest.Months(t)
	got, err := apitest.Service.Progress.Between(t.Context(), progress.BetweenRequest{A: list[0], B: list[1]})
	if err != nil || len(got.Changes.NotHeld) != 1 || !strings.Contains(got.Changes.NotHeld[0], "gate then and at the handle now") {
		t.Fatalf("%v %+v", err, got.Changes.NotHeld)
	}
	for _, one := range got.Changes.List {
		if one.Feature == "peak_n" {
			t.Errorf("%+v", one)
		}
	}
}

func TestBetweenRefuses(t *testing.T) {
	_, _, list := apitest.Months(t)
	_, _, others := apitest.Months(t)
	both := apitest.Sculled(t)
	for name, r := range map[string]progress.BetweenRequest{"two rowers": {A: list[0], B: others[0]}, "one twice": {A: list[0], B: list[0]}, "a stranger": {A: list[0], B: apitest.Strangers(t)}, "two oars": {A: both[0], B: both[1]}} {
		if _, err := apitest.Service.Progress.Between(t.Context(), r); err == nil {
			t.Errorf("%s are compared", name)
		} else {
			invalidAt(t, "b", err)
		}
	}
	if _, err := apitest.Service.Progress.Between(t.Context(), progress.BetweenRequest{A: list[0], B: 1 << 40}); !errors.Is(err, wire.ErrNotFound) {
		t.Error(err)
	}
}

// TestProgressOverMonths holds the line of the catch: planted 1.5° from one
// recording to the next, told with its trend, at the rate that most hold; the
// one at 20 a minute is named as not used, and the change of the rig is marked.
func TestProgressOverMonths(t *testing.T) {
	athlete, boat, list := apitest.Months(t)
	p, err := apitest.Service.Progress.Athlete(t.Context(), progress.AthleteRequest{ID: athlete})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "rate", p.RatePerMin, 30.0)
	apitest.Same(t, "rates", len(p.Rates), 2)
	apitest.Same(t, "outings", len(p.Outings), 5)
	if len(p.NotUsed) != 1 || !strings.Contains(p.NotUsed[0], "9 May 2026: rowed at 20 a minute") {
		t.Errorf("%v", p.NotUsed)
	}
	for _, line := range p.Series {
		switch line.Feature {
		case "catch_deg":
			apitest.Same(t, "points", len(line.Points), 4)
			apitest.Same(t, "first", line.Points[0].RecordingID, list[0])
			if line.Trend == nil || line.Trend.Change.Verdict != "real" {
				t.Fatalf("%+v", line.Trend)
			}
			apitest.Near(t, "over the trend", line.Trend.Last-line.Trend.First, line.Trend.Change.Value, 1e-3)
			apitest.Near(t, "planted", line.Trend.Change.Value, 4.5, 0.4)
			if !line.Own || line.DaySD <= 0 || line.Trend.HalfBand < line.DaySD {
				t.Errorf("%+v", line)
			}
		case "peak_n":
			apitest.Same(t, "those of one site", len(line.Points), 3)
		}
	}
	if len(p.Rig) != 1 || p.Rig[0].BoatID != boat || !strings.Contains(p.Rig[0].Said, "span 159 to 158 cm") {
		t.Errorf("%+v", p.Rig)
	}
	if p.Before == nil || !strings.Contains(strings.Join(p.Said, " "), "Against 1 Mar 2026") || !strings.Contains(strings.Join(p.Said, " "), "Catch") {
		t.Errorf("%v", p.Said)
	}
	for _, line := range p.Series { // only what is real is said of the whole
		if line.Trend != nil && line.Trend.Change.Verdict != "real" && slices.Contains(p.Said, line.Trend.Said) {
			t.Errorf("%s is said: %s", line.Feature, line.Trend.Said)
		}
	}
	if none, err := apitest.Service.Progress.Athlete(t.Context(), progress.AthleteRequest{ID: apitest.KnownAthlete(t)}); err != nil || none.RatePerMin != 0 || len(none.Outings) != 0 || len(none.Series) != 0 {
		t.Errorf("of one who was never recorded: %v %+v", err, none)
	}
	_, err = apitest.Service.Progress.Athlete(t.Context(), progress.AthleteRequest{ID: athlete, RatePerMin: 44})
	invalidAt(t, "rate_per_min", err)
	alone, err := apitest.Service.Progress.Athlete(t.Context(), progress.AthleteRequest{ID: athlete, RatePerMin: 20})
	if err != nil || len(alone.Series) != 0 || alone.Before != nil || !strings.Contains(alone.Said[0], "from the second on") {
		t.Errorf("%v %+v", err, alone.Said)
	}
}

// TestSlipsAreReadAtOneThreshold holds that recordings imported at other
// thresholds are measured again before they are compared.
func TestSlipsAreReadAtOneThreshold(t *testing.T) {
	athlete := apitest.KnownAthlete(t)
	var ids []int64
	for _, threshold := range []string{`{"share_of_peak":0.3}`, `{"share_of_peak":0.5}`} {
		body := apitest.KeepingOf(apitest.Uploaded(t, apitest.Rows(30, apitest.Known)), nil, athlete)
		body["thresholds"] = apitest.Parsed(threshold)
		ids = append(ids, apitest.Kept(t, body)[0].ID)
	}
	got, err := apitest.Service.Progress.Between(t.Context(), progress.BetweenRequest{A: ids[0], B: ids[1]})
	if err != nil {
		t.Fatal(err)
	}
	if c := changeOf(t, &got.Changes, "catch_slip_deg"); math.Abs(c.Change.Value) > 0.05 {
		t.Errorf("the same strokes differ: %+v", c)
	}
}

// demoService is a service over the demo club.
func demoService(t *testing.T) *api.Service { t.Helper(); return apitest.DemoService(t) }

// TestCrewBetweenTwoDays holds what was planted in the demo's four: seat 3 lost
// catch slip and seat 4 release slip, seat 2 neither.
func TestCrewBetweenTwoDays(t *testing.T) {
	s := demoService(t)
	c, err := s.Progress.Crew(t.Context(), progress.CrewRequest{ID: 8})
	if err != nil || len(c.Rows) != 4 || len(c.Days) < 3 {
		t.Fatalf("%v %+v", err, c)
	}
	for i, want := range map[int][2]string{1: {"same", "same"}, 2: {"real", ""}, 3: {"", "real"}} {
		row := &c.Rows[i]
		for k, feature := range []string{"catch_slip_deg", "release_slip_deg"} {
			got := changeOf(t, row.Changes, feature)
			if want[k] != "" && got.Change.Verdict != want[k] {
				t.Errorf("seat %s: %s", row.Seat, got.Said)
			}
			if got.Change.Verdict == "real" && got.Change.Value > 0 {
				t.Errorf("seat %s got worse: %s", row.Seat, got.Said)
			}
		}
	}
	old, err := s.Progress.Crew(t.Context(), progress.CrewRequest{ID: 8, From: c.Days[len(c.Days)-1], To: c.Days[0]})
	if err != nil || old.Rows[0].Changes == nil || !strings.Contains(old.Rows[1].Missing, "not recorded in this boat on") {
		t.Errorf("%v %+v", err, old)
	}
	_, err = s.Progress.Crew(t.Context(), progress.CrewRequest{ID: 8, From: "2020-01-01"})
	invalidAt(t, "from", err)
}

// TestBothOarsOfAScullerAreOne holds that the two recordings of a sculler are
// told as one, the angles as their mean and the power as their sum.
func TestBothOarsOfAScullerAreOne(t *testing.T) {
	s := demoService(t)
	recordings, err := s.Strokes.Recordings(t.Context(), strokes.RecordingsRequest{AthleteID: 5})
	if err != nil || len(recordings.Recordings) != 4 {
		t.Fatalf("%v %+v", err, recordings)
	}
	p, err := s.Progress.Athlete(t.Context(), progress.AthleteRequest{ID: 5})
	if err != nil || len(p.Outings) != 2 || p.Outings[1].Oars != 2 {
		t.Fatalf("%v %+v", err, p.Outings)
	}
	mean := map[string]float64{}
	for _, one := range recordings.Recordings[:2] {
		r, err := s.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: one.ID})
		if err != nil {
			t.Fatal(err)
		}
		mean["catch_deg"] -= r.Oar.Features["catch_deg"].Mean / 2
		mean["power_w"] += r.Oar.Features["power_w"].Mean
	}
	for _, line := range p.Series {
		if want, ok := mean[line.Feature]; ok {
			apitest.Near(t, line.Feature, line.Points[1].Mean, want, 0.02*math.Abs(want))
		}
	}
}

// TestTheReport holds that it says what to work on, what changed and how it was
// measured, whatever is known.
func TestTheReport(t *testing.T) {
	_, _, list := apitest.Months(t)
	r, err := apitest.Service.Progress.Report(t.Context(), progress.ReportRequest{ID: list[3]})
	if err != nil {
		t.Fatal(err)
	}
	if r.Since == nil || r.Since.RecordingID != list[2] || r.First.Said == "" || len(r.Measured) < 6 || !strings.Contains(r.Care, "clinician") || !strings.Contains(r.Evidence, "30 % of peak force") {
		t.Errorf("%+v", r)
	}
	if len(r.Tasks) != len(r.First.Findings) {
		t.Errorf("%d tasks for %d findings", len(r.Tasks), len(r.First.Findings))
	}
	first, err := apitest.Service.Progress.Report(t.Context(), progress.ReportRequest{ID: list[4]})
	if err != nil || first.Since != nil {
		t.Errorf("none before holds 20 a minute: %v %+v", err, first.Since)
	}
	if nobody, err := apitest.Service.Progress.Report(t.Context(), progress.ReportRequest{ID: apitest.Strangers(t)}); err != nil || nobody.Since != nil {
		t.Errorf("%v %+v", err, nobody)
	}
}
