package erg

import (
	"errors"
	"testing"

	"thole/rigging"
)

// wantField fails unless err names the field, and only it.
func wantField(t *testing.T, err error, field string) {
	t.Helper()
	var many rigging.FieldErrors
	var one *rigging.FieldError
	switch {
	case errors.As(err, &many) && len(many) == 1:
		one = many[0]
	case !errors.As(err, &one):
		t.Errorf("error %v, want one for the field %s", err, field)
		return
	}
	if one.Place.String() != field || one.Error() == "" {
		t.Errorf("error %q names field %q, want %q", one, one.Place.String(), field)
	}
	if one.Place.String() != field {
		t.Errorf("error %q stands at place %q, want %q", one, one.Place, field)
	}
}
