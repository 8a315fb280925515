package api_test

import (
	"context"
	"errors"
	"fmt"

	"thole/api"
	"thole/api/seat"
	"thole/api/wire"
)

// A seat is solved by the same method that answers
//
//	curl -H 'Content-Type: application/json' -d '{"boat_class":"1x","seat":{"span_cm":159,…}}' \
//	  http://127.0.0.1:8080/api/v1/rigging/solve
func ExampleService_SolveSeat() {
	r := seat.SolveRequest{
		BoatClass: "1x",
		Seat:      seat.Seat{SpanCm: new(159.0), OarLengthCm: new(288.0), InboardCm: new(88.0), HeelToPinCm: new(23.4)},
		Rower:     seat.Rower{Sex: "male", StatureCm: new(185.0), MassKg: new(85.0)},
	}
	a, err := api.NewService(nil).Seat.SolveSeat(context.Background(), r)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("catch %.0f ± %.0f, finish %.0f ± %.0f\n", -a.CatchDeg, 2*a.Uncertainty.CatchSdDeg, a.FinishDeg, 2*a.Uncertainty.FinishSdDeg)
	fmt.Printf("lever ratio %.2f, overlap %.0f cm\n", a.Gearing.LeverRatio, a.OverlapCm.Raw)
	// Output:
	// catch 59 ± 8, finish 48 ± 8
	// lever ratio 2.10, overlap 17 cm
}

// Mistakes come back together, each with its place and in people's units.
func ExampleInvalid() {
	r := seat.SolveRequest{
		BoatClass: "1x",
		Seat:      seat.Seat{SpanCm: new(1.59), OarLengthCm: new(288.0), InboardCm: new(88.0), HeelToPinCm: new(23.4)},
		Rower:     seat.Rower{StatureCm: new(18.5)},
	}
	_, err := api.NewService(nil).Seat.SolveSeat(context.Background(), r)
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		for _, f := range bad.Fields {
			fmt.Println(f.Pointer, f.Detail)
		}
	}
	// Output:
	// #/seat/span_cm 1.59 cm cannot be right: the plausible range is 110 to 190 cm. It looks like metres: 159 cm?
	// #/rower/stature_cm 18.5 cm cannot be right: the plausible range is 100 to 235 cm.
}
