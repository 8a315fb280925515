package seat_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/apitest/same"
)

// advised are requests for advice on crews that differ in what stops them.
func advised() map[string]apitest.Object {
	high := apitest.UnlikePair()
	delete(high, "adjust")
	for _, s := range high["seats"].([]any) {
		apitest.Put(s.(apitest.Object), "seat.gate_height_cm", 23.0)
		apitest.Put(s.(apitest.Object), "rower.draw_height_cm", 33.0)
		apitest.Put(s.(apitest.Object), "seat.heel_to_pin_cm", 27.0)
	}
	return map[string]apitest.Object{"pair-unlike": apitest.UnlikePair(), "pair-high-gates": high}
}

// seatsAdvised are the same for one seat.
func seatsAdvised() map[string]apitest.Object {
	long := rower(apitest.BareScull(), "male", 193, 92)
	return map[string]apitest.Object{
		"at-the-end": apitest.AtTheEnd(), "as-found": apitest.Scull(), "without-targets": apitest.Drop(apitest.Scull(), "targets"),
		"stretcher-out-of-place": apitest.Put(long, "seat.heel_to_pin_cm", 20.0),
		"small":                  rower(apitest.BareScull(), "female", 158, 52),
		"no-rower":               apitest.BareScull(),
		"over-reaching":          apitest.Put(rower(apitest.BareScull(), "female", 165, 59), "targets", apitest.Parsed(`{"catch_deg": -72, "finish_deg": 46}`)),
	}
}

// TestAdviceIsAsLookedOver: every sentence and figure was read with the question
// whether a boatman would do it.
func TestAdviceIsAsLookedOver(t *testing.T) {
	for path, all := range map[string]map[string]apitest.Object{apitest.CrewPath: advised(), apitest.FitPath: seatsAdvised()} {
		for name, o := range all {
			answer := apitest.Answered(t, path, o)
			if path == apitest.FitPath {
				short(answer, "result")
			} else {
				for _, s := range answer["seats"].([]any) {
					short(s.(apitest.Object), "result")
				}
			}
			body, err := json.MarshalIndent(answer, "", " ")
			if err != nil {
				t.Fatal(err)
			}
			same.Lines(t, "testdata/advice-"+name+".txt", strings.Split(string(body), "\n"))
		}
	}
}

// short leaves out of an answer what other tests hold against published figures.
func short(o apitest.Object, name string) {
	result := o[name].(apitest.Object)
	for _, part := range []string{"drawing", "gearing", "sensitivities", "body", "heights", "rule_checks", "demand"} {
		delete(result, part)
	}
}

// TestEveryKeptAnswerIsAsked: a file that no request makes holds nothing.
func TestEveryKeptAnswerIsAsked(t *testing.T) {
	files, err := os.ReadDir("testdata")
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{}
	for _, all := range []map[string]apitest.Object{advised(), seatsAdvised()} {
		for name := range all {
			known["advice-"+name+".txt"] = true
		}
	}
	for _, f := range files {
		if !known[f.Name()] {
			t.Errorf("%s: nothing asks for it", f.Name())
		}
	}
}
