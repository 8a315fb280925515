package seatrace

import (
	"testing"

	"thole/selection"
)

// bigDay is 30 athletes in crews of four, 40 pieces, one swap and a rotation
// of those ashore between pieces.
func bigDay() []selection.Piece {
	rng := seeded(1)
	ids := letters(30)
	var out []selection.Piece
	for range 40 {
		rng.Shuffle(len(ids), func(i, j int) { ids[i], ids[j] = ids[j], ids[i] })
		crew := func(k int) []string { return append([]string(nil), ids[4*k:4*k+4]...) }
		out = append(out, selection.Piece{Crews: [][]string{crew(0), crew(1)}})
	}
	return world{effect: drawn(letters(30), 0.5, rng), base: 190, noise: 1}.race(out, rng)
}

func benchmarkEstimate(b *testing.B, o Options) {
	pieces := bigDay()
	o.Distance = 1000
	for b.Loop() {
		r, err := Estimate(pieces, o)
		if err != nil {
			b.Fatal(err)
		}
		if len(r.Final().Differences()) != 435 {
			b.Fatal("differences are missing")
		}
	}
}

func BenchmarkEstimate30Athletes40Pieces(b *testing.B) { benchmarkEstimate(b, Options{}) }

func BenchmarkEstimate30Athletes40PiecesPrior(b *testing.B) {
	benchmarkEstimate(b, Options{Prior: &Prior{SD: 0.5}})
}

func BenchmarkNextPiece30Athletes40Pieces(b *testing.B) {
	r, err := Estimate(bigDay(), Options{Distance: 1000})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := r.NextPieces([]Pair{{"a", "b"}}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlan16Athletes8Pieces(b *testing.B) {
	s := sweeps(16)
	s.Swaps = 1
	for b.Loop() {
		plan(b, Request{Setup: s, Pieces: 8})
	}
}

func BenchmarkPlan16Athletes8PiecesFree(b *testing.B) {
	for b.Loop() {
		plan(b, Request{Setup: sculls(16), Pieces: 8})
	}
}

func BenchmarkPlan30Athletes40Pieces(b *testing.B) {
	s := sculls(30)
	s.Swaps = 1
	for b.Loop() {
		plan(b, Request{Setup: s, Pieces: 40})
	}
}

func BenchmarkEvaluate16Athletes8Pieces(b *testing.B) {
	s := sculls(16)
	races := schedule("AAAAAAAABBBBBBBB", "AAAABBBBAAAABBBB", "AABBAABBAABBAABB", "ABABABABABABABAB", "AAAAAAAABBBBBBBB", "AAAABBBBAAAABBBB", "AABBAABBAABBAABB", "ABABABABABABABAB")
	for b.Loop() {
		if _, err := Evaluate(races, s); err != nil {
			b.Fatal(err)
		}
	}
}
