package evidence_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"thole/api"
	"thole/api/club"
	"thole/api/evidence"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/seatrace"
	"thole/api/storetest"
)

// BenchmarkFiveHundred joins what is known of 500 scullers, with a test each and
// ten seat races of eight.
func BenchmarkFiveHundred(b *testing.B) {
	s := api.NewService(storetest.Open(b))
	b.Cleanup(s.Close)
	var table strings.Builder
	table.WriteString("name,sculls,mass_kg,test_date,test_distance_m,test_time\n")
	for i := range 500 {
		fmt.Fprintf(&table, "Sculler %d,yes,70,%s,2000,%d:%02d.0\n", i, time.Now().Format(time.DateOnly), 6+i%2, i%60)
	}
	if _, err := s.Squadfile.Save(b.Context(), strings.NewReader(table.String()), "Ines"); err != nil {
		b.Fatal(err)
	}
	list, err := s.Club.Athletes(b.Context(), records.ListRequest{})
	if err != nil {
		b.Fatal(err)
	}
	for race := range 10 {
		addRace(b, s, race, list.Athletes[8*race:8*race+8])
	}
	b.Run("lines", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := s.Evidence.Squad(b.Context(), evidence.Request{}); err != nil {
				b.Fatal(err)
			}
		}
	})
	for _, powers := range []string{"joined", "ergometer"} {
		b.Run("squad "+powers, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := s.Lineup.SquadFor(b.Context(), lineup.BoatSquadRequest{BoatClass: "4x", Powers: powers}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// addRace races eight in two quads, four pieces with one pair swapped each.
func addRace(b *testing.B, s *api.Service, number int, eight []club.AthleteSummary) {
	b.Helper()
	r := seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{Name: fmt.Sprint("Race ", number), BoatClass: "4x"}}
	for i := range eight {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{AthleteID: &eight[i].ID, Name: eight[i].Name})
	}
	for piece := range 4 {
		crews := [][]string{{}, {}}
		for i := range eight {
			boat := i / 4
			if i%4 == piece {
				boat = 1 - boat
			}
			crews[boat] = append(crews[boat], eight[i].Name)
		}
		r.Pieces = append(r.Pieces, seatrace.RaceScheduledPiece{Crews: crews})
	}
	made, err := s.Seatrace.CreateRace(b.Context(), r)
	if err != nil {
		b.Fatal(err)
	}
	for piece := range 4 {
		one, other := 190+0.3*float64(piece), 190.5
		_, err := s.Seatrace.RecordPiece(b.Context(), seatrace.PieceResultRequest{ID: made.ID, Number: piece + 1, Key: fmt.Sprint("k", piece), TimesS: []*float64{&one, &other}})
		if err != nil {
			b.Fatal(err)
		}
	}
}
