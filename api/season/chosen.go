package season

import (
	"context"
	"fmt"

	"thole/api/evidence"
	"thole/api/seatrace"
	"thole/api/wire"
)

// races: four women in doubles a fortnight ago, raced to the end but for one piece, four
// juniors today, and four masters whose race was called off and archived.
func (f *filling) races(ctx context.Context) error {
	then := f.ago(14)
	race, err := then.race.CreateRace(ctx, seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{
		Name: "Women’s doubles", HeldOn: f.day(14), BoatClass: "2x", DistanceM: wire.Ptr(1000.0), Note: "Flat, a light head wind.", By: coach,
		Athletes: f.racing("Ingrid Sollberg", "Maeve Tarrant", "Chiamaka Obiora", "Lotte Brandvold"),
		Pieces: []seatrace.RaceScheduledPiece{
			{Crews: [][]string{{"Ingrid Sollberg", "Maeve Tarrant"}, {"Chiamaka Obiora", "Lotte Brandvold"}}},
			{Crews: [][]string{{"Chiamaka Obiora", "Maeve Tarrant"}, {"Ingrid Sollberg", "Lotte Brandvold"}}},
			{Crews: [][]string{{"Chiamaka Obiora", "Ingrid Sollberg"}, {"Maeve Tarrant", "Lotte Brandvold"}}},
			{Crews: [][]string{{"Ingrid Sollberg", "Maeve Tarrant"}, {"Chiamaka Obiora", "Lotte Brandvold"}}},
		},
	}})
	if err != nil {
		return err
	}
	for i, typed := range [][]string{{"3:42.1", "3:44.6"}, {"3:43.0", "3:43.9"}, {"3:41.2", "3:46.4"}} {
		ask := seatrace.PieceResultRequest{ID: race.ID, Number: i + 1, Key: fmt.Sprintf("demo-%d-%d", race.ID, i+1), Typed: typed, By: coach}
		if _, err := then.race.RecordPiece(ctx, ask); err != nil {
			return fmt.Errorf("piece %d: %w", i+1, err)
		}
	}
	_, err = f.ago(2).race.CreateRace(ctx, seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{
		Name: "Junior doubles", HeldOn: f.day(0), BoatClass: "2x", DistanceM: wire.Ptr(750.0), By: coach,
		Athletes: f.racing("Nell Ashgrove", "Yuki Tanabe", "Milo Peverell", "Priya Ramanand"),
		Pieces: []seatrace.RaceScheduledPiece{
			{Crews: [][]string{{"Nell Ashgrove", "Milo Peverell"}, {"Yuki Tanabe", "Priya Ramanand"}}},
			{Crews: [][]string{{"Yuki Tanabe", "Milo Peverell"}, {"Nell Ashgrove", "Priya Ramanand"}}},
			{Crews: [][]string{{"Yuki Tanabe", "Nell Ashgrove"}, {"Milo Peverell", "Priya Ramanand"}}},
		},
	}})
	if err != nil {
		return err
	}
	called := seatrace.RaceContent{
		Name: "Masters’ doubles", HeldOn: f.day(70), BoatClass: "2x", DistanceM: wire.Ptr(500.0), Note: "Called off: waves.", By: coach,
		Athletes: f.racing("Hanne Grieg", "Dolores Quintanar", "Walter Stibbe", "Bertram Oakes"),
		Pieces:   []seatrace.RaceScheduledPiece{{Crews: [][]string{{"Hanne Grieg", "Walter Stibbe"}, {"Dolores Quintanar", "Bertram Oakes"}}}},
	}
	off, err := f.ago(72).race.CreateRace(ctx, seatrace.CreateRaceRequest{RaceContent: called})
	if err != nil {
		return err
	}
	_, err = f.ago(70).race.ChangeRace(ctx, seatrace.ChangeRaceRequest{ID: off.ID, Version: off.Version, Archived: true, RaceContent: called})
	return err
}

func (f *filling) racing(names ...string) (list []seatrace.RaceParticipant) {
	for _, name := range names {
		list = append(list, seatrace.RaceParticipant{AthleteID: wire.Ptr(f.ids[name]), Name: name})
	}
	return list
}

// opinions of two whose tests say less than what was seen.
func (f *filling) opinions(ctx context.Context) error {
	for _, o := range []struct {
		ago       int
		name      string
		watts, sd float64
		note      string
	}{
		{18, "Emre Saltan", 330, 20, "Moves the boat better than his test."},
		{18, "Chiamaka Obiora", 265, 15, "Strong at low rates."},
		{6, "Milo Peverell", 150, 25, "No test yet; keeps up with Oskar for a minute."},
	} {
		ask := evidence.NewOpinion{AthleteID: f.ids[o.name], SaidOn: f.day(o.ago), PowerW: &o.watts, SdW: &o.sd, Note: o.note, By: coach}
		if _, err := f.ago(o.ago).evidence.AddOpinion(ctx, ask); err != nil {
			return fmt.Errorf("%s: %w", o.name, err)
		}
	}
	return nil
}
