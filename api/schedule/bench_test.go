package schedule_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"thole/api/apitest"
	"thole/api/schedule"
)

// bigRace is 30 athletes in crews of four over 40 pieces.
func bigRace() schedule.SeatRaceEstimateRequest {
	rng := rand.New(rand.NewPCG(1, 2))
	names := make([]string, 30)
	for i := range names {
		names[i] = fmt.Sprintf("rower %02d", i)
	}
	r := schedule.SeatRaceEstimateRequest{DistanceM: 1000}
	for range 40 {
		rng.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		p := schedule.RacedPiece{}
		for b := range 2 {
			p.Crews = append(p.Crews, append([]string{}, names[4*b:4*b+4]...))
			p.TimesS = append(p.TimesS, new(190+rng.NormFloat64()))
		}
		r.Pieces = append(r.Pieces, p)
	}
	return r
}

func benchmarkSeatRaces(b *testing.B, r schedule.SeatRaceEstimateRequest) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := apitest.Service.Schedule.Estimate(b.Context(), r); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkEstimateSeatRaces judges 30 athletes and 40 pieces through the
// service.
func BenchmarkEstimateSeatRaces(b *testing.B) { benchmarkSeatRaces(b, bigRace()) }

func BenchmarkEstimateSeatRacesPrior(b *testing.B) {
	r := bigRace()
	r.Prior = &schedule.SeatRacePrior{SdS: new(0.5)}
	benchmarkSeatRaces(b, r)
}

func BenchmarkEstimateSeatRacesHTTP(b *testing.B) {
	text := apitest.Encoded(b, bigRace())
	b.ReportAllocs()
	for b.Loop() {
		if w := apitest.Post(b, apitest.EstimatePath, text); w.Code != 200 {
			b.Fatal(w.Body)
		}
	}
}

// BenchmarkPlanSeatRaces plans 16 athletes over eight pieces.
func BenchmarkPlanSeatRaces(b *testing.B) {
	for _, class := range []string{"4-", "8+"} {
		b.Run(class, func(b *testing.B) {
			for b.Loop() {
				r := schedule.SeatRacePlanRequest{BoatClass: class, Athletes: planned("abcdefghijklmnop"), Pieces: 8}
				if _, err := apitest.Service.Schedule.Plan(b.Context(), r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
