package advice_test

import (
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/apitest"
	"thole/api/store"
	"thole/api/wire"
)

// filmedCatch is a late catch carried 9 cm high, filmed in a single.
func filmedCatch(athlete int64, day string) store.FilmedReading {
	return store.FilmedReading{
		AthleteID: athlete, Boat: "Wren", ClassCode: "1x", Seat: 1, FilmedOn: day, End: "catch", Marks: "{}", Strokes: 5,
		EdgeMs: wire.Ptr(120.0), EdgeSdMs: wire.Ptr(4.0), WholeMs: wire.Ptr(260.0), WholeSdMs: wire.Ptr(4.0), HeightCm: wire.Ptr(9.0), HeightSdCm: wire.Ptr(.5),
		SpeedMS: wire.Ptr(1.5), SpeedSdMS: wire.Ptr(.05), StartDownMs: wire.Ptr(60.0), StartDownSdMs: wire.Ptr(4.0),
	}
}

// TestAFilmedCatchIsRankedWhereTheGateMeasuresNoHeight: a sculler without a
// vertical angle starts down 60 ms after the reversal by the clip; one filmed half
// a year before says nothing of that day.
func TestAFilmedCatchIsRankedWhereTheGateMeasuresNoHeight(t *testing.T) {
	id := apitest.Sculled(t)[0]
	s := apitest.Service
	recordings := s.Advice.Store
	m, err := recordings.Recording(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	ask := advice.FirstRequest{ID: id, BoatClass: "1x"}
	titles := func(f advice.First) string {
		var list []string
		for _, w := range f.Findings {
			list = append(list, w.Item)
		}
		for _, g := range f.Missing {
			list = append(list, "missing "+g.Name)
		}
		return strings.Join(append(list, f.Assumed...), "; ")
	}
	add := func(f store.FilmedReading) {
		if _, err := recordings.AddFilmedReading(t.Context(), f, store.By{Name: "Ines"}); err != nil {
			t.Fatal(err)
		}
	}
	before := titles(firstOf(t, ask))
	add(filmedCatch(*m.AthleteID, "2001-05-02"))
	if now := titles(firstOf(t, ask)); now != before {
		t.Errorf("with a clip of another year %s, before %s", now, before)
	}
	add(filmedCatch(*m.AthleteID, m.RecordedOn))
	now := titles(firstOf(t, ask))
	if strings.Contains(before, "entry_late") || !strings.Contains(now, "entry_late") || !strings.Contains(now, "as filmed on "+m.RecordedOn+" in Wren: carried 9 cm ± 1") {
		t.Errorf("before: %s\nnow: %s", before, now)
	}
}
