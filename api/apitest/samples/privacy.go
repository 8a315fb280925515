package samples

import (
	"fmt"
	"testing"

	"thole/api/apitest"
)

func privacyOf(athlete int64, what string) string {
	return fmt.Sprintf("/api/v1/athletes/%d/%s", athlete, what)
}

// consenting is an athlete who consented once and withdrew.
func consenting(t testing.TB) int64 {
	id := apitest.KnownAthlete(t)
	for _, given := range []bool{true, false} {
		if w := apitest.Post(t, privacyOf(id, "consents"), apitest.Object{"given": given, "said_on": "2026-01-05", "guardian": "Mother", "note": "form in the office", "by": "Ines"}); w.Code != 201 {
			t.Fatalf("%d: %s", w.Code, w.Body)
		}
	}
	return id
}

func init() {
	Of["GET /api/v1/athletes/:id/privacy"] = func(t testing.TB) []Sample {
		return []Sample{{path: privacyOf(apitest.KnownAthlete(t), "privacy")}, {path: privacyOf(consenting(t), "privacy")}}
	}
	Of["POST /api/v1/athletes/:id/consents"] = func(t testing.TB) []Sample {
		return []Sample{
			{path: privacyOf(apitest.KnownAthlete(t), "consents"), Body: apitest.Object{"given": true, "said_on": "2026-01-05", "guardian": "Mother", "note": "form in the office", "by": "Ines"}},
			{path: privacyOf(apitest.KnownAthlete(t), "consents"), Body: apitest.Object{"given": false, "by": "Ines"}},
		}
	}
	Of["GET /api/v1/athletes/:id/everything"] = func(t testing.TB) []Sample {
		return []Sample{{path: privacyOf(consenting(t), "everything")}}
	}
}
