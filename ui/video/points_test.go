package video

import (
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/video"
	"thole/api/wire"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// marked is a form with figures of a boat and every point marked.
func marked(more ...string) url.Values {
	q := url.Values{"across_cm": {"160"}, "gate_over_water_cm": {"24"}, "inboard_cm": {"88"}, "oar_length_cm": {"288"}, "tape_x_cm": {"60"}, "tape_y_cm": {"25"}, "tape_z_cm": {"12"}, "bow_x_cm": {"420"}, "stern_x_cm": {"390"}}
	for i, name := range []string{"near_pin", "far_pin", "near_bow", "near_stern", "far_bow", "far_stern", "water_bow", "water_stern", "bow_ball", "stern_end"} {
		q.Set(name, fmt.Sprintf("%d, 400", 100*i))
	}
	for i := 0; i < len(more); i += 2 {
		q.Set(more[i], more[i+1])
	}
	return q
}

// TestKnownPointsStandWhereTheyAre: x towards the stern and y to starboard, so that what is
// near a camera on starboard is at plus, and the bow at minus.
func TestKnownPointsStandWhereTheyAre(t *testing.T) {
	for _, c := range []struct{ from, side, want string }{
		{"starboard", "starboard", "0,-80,24,1 -60,25,12,1 60,25,12,1 -60,-25,12,1 60,-25,12,1 -150,20,0,1 150,20,0,1 -420,0,15,5 390,0,15,5"},
		{"port", "port", "0,80,24,1 -60,-25,12,1 60,-25,12,1 -60,25,12,1 60,25,12,1 -150,-20,0,1 150,-20,0,1 -420,0,15,5 390,0,15,5"},
		{"starboard", "port", "0,80,24,1 -60,25,12,1 60,25,12,1 -60,-25,12,1 60,-25,12,1 -150,20,0,1 150,20,0,1 -420,0,15,5 390,0,15,5"},
	} {
		p := newPage(marked("seen_from", c.from, "side", c.side))
		ask := p.angleRequest(marked("seen_from", c.from, "side", c.side))
		told := ""
		for _, k := range ask.Points {
			told += fmt.Sprintf("%v,%v,%v,%v ", k.XCm, k.YCm, k.ZCm, *k.SdCm)
			if k.XSdCm != nil {
				is(t, "along the water", *k.XSdCm, 100)
			}
		}
		is(t, "seen from "+c.from+", oar on "+c.side, strings.TrimSpace(told), c.want)
		is(t, "pin", ask.Oar.PinOutCm, 80)
		pin := ""
		for _, m := range ask.Oar.Marks {
			pin += fmt.Sprintf("%s at %v; ", m.Place, m.UPx)
		}
		is(t, "the oar's own pin", pin, map[bool]string{true: "pin at 0; ", false: "pin at 100; "}[c.from == c.side])
	}
	sweep := newPage(marked("kind", "sweep"))
	is(t, "a spread", sweep.angleRequest(marked("kind", "sweep")).Oar.PinOutCm, 160)
	twice := marked("handle_end", "500 300", "again", "502 301")
	is(t, "marked twice", len(newPage(twice).angleRequest(twice).Twice), 1)
	for _, name := range []string{"handle_end", "again"} {
		once := marked(name, "500 300")
		is(t, "marked once", len(newPage(once).angleRequest(once).Twice), 0)
	}
	none := newPage(url.Values{})
	is(t, "nothing marked", len(none.points(url.Values{}, 80)), 0)
}

// TestAMarkIsTwoNumbers.
func TestAMarkIsTwoNumbers(t *testing.T) {
	for text, want := range map[string]string{"812.5 430": "true 812.5 430", "812,430": "true 812 430", "": "false 0 0", "812": "false 0 0 wrong", "1 2 3": "false 0 0 wrong", "a b": "false 0 0 wrong", "1 b": "false 0 0 wrong", "NaN 1": "false 0 0 wrong"} {
		p := newPage(url.Values{})
		m, ok := p.mark(url.Values{"tip": {text}}, "tip")
		got := fmt.Sprintf("%v %v %v", ok, m.UPx, m.VPx)
		if len(p.Problems) > 0 {
			got += " wrong"
		}
		is(t, text, got, want)
	}
}

// TestALineOfAStroke has three times, then the height with a scale, then both angles.
func TestALineOfAStroke(t *testing.T) {
	for _, c := range []struct {
		line  string
		scale bool
		want  string
	}{
		{"1 1.1 1.2", true, "1 1.1 1.2"}, {"1 1.1 1.2 30", true, "1 1.1 1.2 h30"}, {"1 1.1 1.2 30", false, "1 1.1 1.2"}, {"1 1.1 1.2 30 60 55", false, "1 1.1 1.2 60-55"},
		{"1 1.1", true, "wrong"}, {"1 1.1 1.2 30 60", true, "wrong"}, {"1 1.1 x", true, "wrong"}, {"1 1.1 NaN", true, "wrong"}, {"1 2 3 4 5 6 7", true, "wrong"},
	} {
		p := newPage(url.Values{})
		ask := &video.StrokesRequest{}
		if c.scale {
			ask.PxPerM = wire.Ptr(200.)
		}
		p.strokeLine(ask, c.line)
		got := "wrong"
		if len(p.Problems) == 0 {
			s := ask.Strokes[0]
			got = fmt.Sprint(s.ReversalS, s.EdgeS, s.WholeS)
			if s.HeightPx != nil {
				got += fmt.Sprintf(" h%v", *s.HeightPx)
			}
			if s.FromDeg != nil {
				got += fmt.Sprintf(" %v-%v", *s.FromDeg, *s.ToDeg)
			}
			is(t, "without an angle of its own", s.FromSdDeg == nil, true)
		}
		is(t, c.line, got, c.want)
	}
}

// TestWhatWasFilmedIsToldAtItsEnd: touches and covered at the catch, shows and clear at the
// finish; one stroke tells no spread; the catch can be tried where all three are known.
func TestWhatWasFilmedIsToldAtItsEnd(t *testing.T) {
	mean := func(v float64, n int) *video.Mean { return &video.Mean{Value: v, Sd: 1, Spread: 2, Count: n} }
	for end, want := range map[string]string{"catch": "Edge touches after, Covered after, ", "finish": "Edge shows after, Clear after, "} {
		p := newPage(url.Values{"end": {end}})
		m := &video.Strokes{EdgeMs: *mean(40, 1), WholeMs: *mean(80, 2), HeightCm: mean(-3, 2), SpeedMS: mean(0.5, 2), StartDownMs: mean(-20, 2)}
		p.show(m)
		is(t, end, p.Rows[0].Label+", "+p.Rows[1].Label+", ", want)
		is(t, "spread", p.Rows[0].Spread+" "+p.Rows[1].Spread, "– 2")
		is(t, "rows", len(p.Rows), 5)
		is(t, "to try", p.Try != "", end == "catch")
		for _, lacks := range []func(){func() { m.HeightCm = nil }, func() { m.HeightCm, m.SpeedMS = mean(3, 1), nil }, func() { m.SpeedMS, m.StartDownMs = mean(3, 1), nil }} {
			lacks()
			p.Try = ""
			p.show(m)
			is(t, "to try", p.Try, "")
		}
	}
	p := newPage(url.Values{"kind": {"sweep"}})
	m := &video.Strokes{HeightCm: mean(-3, 2), SpeedMS: mean(0.5, 2), StartDownMs: mean(-20, 2)}
	is(t, "under water", tryLink(p, m), "/catch?boat_class=8%2B&height_cm=0&moment_ms=-20&sink_m_s=0.5")
	for tells, want := range map[bool]string{true: "/catch?boat_class=8%2B&catch_deg=61.5&height_cm=0&moment_ms=-20&sink_m_s=0.5", false: "/catch?boat_class=8%2B&height_cm=0&moment_ms=-20&sink_m_s=0.5"} {
		p.Angle = &video.Angle{AngleDeg: -61.5, Tells: tells}
		is(t, "with its angle", tryLink(p, m), want)
	}
	p.Kind, p.Angle = "scull", nil
	is(t, "a scull", strings.Contains(tryLink(p, m), "boat_class=1x"), true)
}

// TestTheRecordFillsWhatWasNotSent, and all where that is asked for.
func TestTheRecordFillsWhatWasNotSent(t *testing.T) {
	f := &video.SeatFigures{Kind: "sweep", Side: "port", AcrossCm: wire.Ptr(84.), InboardCm: wire.Ptr(114.), Boat: "Nightjar", Seat: 3, Seats: 8}
	for _, c := range []struct {
		typed url.Values
		all   bool
		want  string
	}{
		{url.Values{}, false, "sweep port 84 114"}, {url.Values{"kind": {"scull"}, "side": {"starboard"}, "across_cm": {"160"}}, false, "scull starboard 160 114"}, {url.Values{"kind": {"scull"}, "side": {"starboard"}, "across_cm": {"160"}}, true, "sweep port 84 114"},
	} {
		p := newPage(c.typed)
		p.take(f, c.typed, c.all)
		is(t, fmt.Sprint(c.typed, c.all), strings.Join([]string{p.Kind, p.Side, p.boatField("across_cm").Value, p.boatField("inboard_cm").Value}, " "), c.want)
		is(t, "marked as on record", strings.HasSuffix(p.boatField("across_cm").Help, "As on record."), strings.Contains(c.want, "84"))
		is(t, "missing", strings.Contains(p.Filled, "Not on record: ") && !strings.Contains(p.Filled, "usual one"), true)
	}
	p := newPage(url.Values{})
	p.Side = "starboard"
	full := &video.SeatFigures{Kind: "scull", AcrossCm: wire.Ptr(160.), InboardCm: wire.Ptr(88.), OarLengthCm: wire.Ptr(288.), GateOverWaterCm: wire.Ptr(24.), UsualSeat: true}
	p.take(full, url.Values{}, true)
	is(t, "a sculler's side stays", p.Side, "starboard")
	is(t, "all there", !strings.Contains(p.Filled, "Not on record") && strings.Contains(p.Filled, "usual one"), true)
}

// TestAnAthleteIsFilledInNoSeatOfAnother: who asks for somebody else gets no place, and the
// records are not asked.
func TestAnAthleteIsFilledInNoSeatOfAnother(t *testing.T) {
	asked := func(v *access.Viewer, typed url.Values) string {
		r := httptest.NewRequest("GET", "/video", nil)
		place, err := (&site{}).placeOf(r.WithContext(access.With(r.Context(), v)), typed)
		if err != nil {
			t.Fatal(err)
		}
		return place
	}
	is(t, "another's", asked(&access.Viewer{Role: access.Athlete, Athlete: 7}, url.Values{"athlete": {"8"}}), "")
	is(t, "one's own, by its seat", asked(&access.Viewer{Role: access.Athlete, Athlete: 7}, url.Values{"athlete": {"7"}, "place": {"9-1"}}), "9-1")
	is(t, "nobody's", asked(&access.Viewer{Role: access.Coach}, url.Values{"place": {"9-1"}}), "9-1")
}
