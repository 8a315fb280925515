package apitest

import (
	"fmt"
	"testing"
)

func privacyOf(athlete int64, what string) string {
	return fmt.Sprintf("/api/v1/athletes/%d/%s", athlete, what)
}

// consenting is an athlete who consented once and withdrew.
func consenting(t testing.TB) int64 {
	id := KnownAthlete(t)
	for _, given := range []bool{true, false} {
		if w := Post(t, privacyOf(id, "consents"), Object{"given": given, "said_on": "2026-01-05", "guardian": "Mother", "note": "form in the office", "by": "Ines"}); w.Code != 201 {
			t.Fatalf("%d: %s", w.Code, w.Body)
		}
	}
	return id
}

func init() {
	Samples["GET /api/v1/athletes/:id/privacy"] = func(t testing.TB) []sample {
		return []sample{{path: privacyOf(KnownAthlete(t), "privacy")}, {path: privacyOf(consenting(t), "privacy")}}
	}
	Samples["POST /api/v1/athletes/:id/consents"] = func(t testing.TB) []sample {
		return []sample{
			{path: privacyOf(KnownAthlete(t), "consents"), Body: Object{"given": true, "said_on": "2026-01-05", "guardian": "Mother", "note": "form in the office", "by": "Ines"}},
			{path: privacyOf(KnownAthlete(t), "consents"), Body: Object{"given": false, "by": "Ines"}},
		}
	}
	Samples["GET /api/v1/athletes/:id/everything"] = func(t testing.TB) []sample {
		return []sample{{path: privacyOf(consenting(t), "everything")}}
	}
}
