package rest

import (
	"fmt"
	"testing"

	"thole/api/access"
)

// signedFields are embedded in requests.
type signedFields struct {
	By string `json:"by"`
}

type signedRequest struct {
	signedFields
	MeasuredBy string `query:"measured_by" json:"-"`
	Note       string `json:"note"`
}

// TestTheAccountSignsRequests: with one, whatever name was sent, or none; without,
// the name that was sent.
func TestTheAccountSignsRequests(t *testing.T) {
	sent := signedRequest{signedFields{"Somebody"}, "", "by hand"}
	trusted := sent
	sign(t.Context(), &trusted)
	if trusted != sent {
		t.Errorf("without an account: %+v", trusted)
	}
	signed := sent
	sign(access.With(t.Context(), &access.Viewer{Role: access.Coach, Account: 1, Name: "Ines"}), &signed)
	if want := (signedRequest{signedFields{"Ines"}, "Ines", "by hand"}); signed != want {
		t.Errorf("%+v, want %+v", signed, want)
	}
	var nothing struct{}
	sign(access.With(t.Context(), &access.Viewer{Account: 1, Name: "Ines"}), &nothing)
	for _, request := range []any{&struct {
		By int `json:"by"`
	}{4}, &struct {
		by string // of the program itself, not of the request
	}{"x"}} {
		before := fmt.Sprint(request)
		if sign(access.With(t.Context(), &access.Viewer{Account: 1, Name: "Ines"}), request); fmt.Sprint(request) != before {
			t.Errorf("what is no name: %v, before %s", request, before)
		}
	}
	names := map[string]string{"by": "x"}
	sign(access.With(t.Context(), &access.Viewer{Account: 1, Name: "Ines"}), &names)
	if names["by"] != "x" {
		t.Errorf("%v", names)
	}
}
