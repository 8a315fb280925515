package samples

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
)

// bareFrames show no height, and the blade goes in within one frame.
func bareFrames() apitest.Object {
	return apitest.Parsed(`{"end": "catch", "kind": "sweep", "frame_rate": 30, "strokes": [{"reversal_s": 1, "edge_s": 1.1, "whole_s": 1.1}]}`)
}

func init() {
	Of["POST /api/v1/video/angle"] = bodies(apitest.Pictured(-.8862, .4633))
	Of["POST /api/v1/video/strokes"] = bodies(apitest.FramesExample(), apitest.Put(apitest.FramesExample(), "end", "release"), bareFrames())
	Of["POST /api/v1/video/body"] = bodies(apitest.BodyExample(), apitest.Drop(apitest.BodyExample(), "arm_px"), apitest.Drop(apitest.Drop(apitest.BodyExample(), "leg_px"), "sitting_height_px"))
	path := "/api/v1/athletes/%d/filmed"
	Of["POST /api/v1/athletes/:id/filmed"] = func(t testing.TB) []Sample {
		return []Sample{{fmt.Sprintf(path, apitest.KnownAthlete(t)), apitest.FilmedExample(t)}, {fmt.Sprintf(path, apitest.KnownAthlete(t)), apitest.Drop(apitest.FilmedExample(t), "frames")},
			{fmt.Sprintf(path, apitest.KnownAthlete(t)), shownBare(t)}, {fmt.Sprintf(path, apitest.KnownAthlete(t)), driven(t)}}
	}
	Of["GET /api/v1/athletes/:id/filmed"] = func(t testing.TB) []Sample {
		at := fmt.Sprintf(path, apitest.KnownAthlete(t))
		apitest.Created(t, at, apitest.FilmedExample(t))
		apitest.Created(t, at, apitest.Drop(apitest.FilmedExample(t), "frames"))
		apitest.Created(t, at, driven(t))
		apitest.Created(t, at, shownBare(t))
		with := strings.TrimSuffix(keptStill(t), "/still")
		return []Sample{{path: at}, {path: with[:strings.LastIndexByte(with, '/')]}}
	}
	Of["DELETE /api/v1/athletes/:id/filmed/:reading"] = func(t testing.TB) []Sample {
		at := fmt.Sprintf(path, apitest.KnownAthlete(t))
		return []Sample{{path: fmt.Sprintf("%s/%d", at, apitest.Created(t, at, apitest.FilmedExample(t)))}}
	}
	apitest.Settled = append(apitest.Settled, "POST /api/v1/athletes/:id/filmed.still") // which comes after it
	still := "/api/v1/athletes/:id/filmed/:reading/still"
	Of["PUT "+still] = func(t testing.TB) []Sample { return []Sample{{path: mayKeepStill(t), Body: apitest.StillExample(t)}} }
	Of["GET "+still+".jpg"] = func(t testing.TB) []Sample { return []Sample{{path: keptStill(t) + ".jpg"}} }
	Of["DELETE "+still] = func(t testing.TB) []Sample { return []Sample{{path: keptStill(t)}} }
}

// mayKeepStill is where a picture may be kept: a parent has consented.
func mayKeepStill(t testing.TB) string {
	t.Helper()
	athlete := fmt.Sprintf("/api/v1/athletes/%d", apitest.KnownAthlete(t))
	if w := apitest.Post(t, athlete+"/consents", apitest.Object{"given": true, "guardian": "Mother", "by": "Ines"}); w.Code != http.StatusCreated {
		t.Fatalf("consent: %d %s", w.Code, w.Body)
	}
	return fmt.Sprintf("%s/filmed/%d/still", athlete, apitest.Created(t, athlete+"/filmed", apitest.FilmedExample(t)))
}

func keptStill(t testing.TB) string {
	t.Helper()
	path := mayKeepStill(t)
	if w := apitest.Request(http.MethodPut, path, apitest.JSONType, apitest.Encoded(t, apitest.StillExample(t))); w.Code != http.StatusOK {
		t.Fatalf("still: %d %s", w.Code, w.Body)
	}
	return path
}

// driven is a picture in the drive.
func driven(t testing.TB) apitest.Object {
	return apitest.Put(apitest.Put(apitest.Drop(apitest.FilmedExample(t), "frames"), "end", "drive"), "picture.oar.end", "drive")
}

// shownBare is a reading of moments alone, in which no height shows.
func shownBare(t testing.TB) apitest.Object {
	return apitest.Put(apitest.Drop(apitest.FilmedExample(t), "picture"), "frames.strokes", []any{apitest.Object{"reversal_s": 1, "edge_s": 1.1, "whole_s": 1.2}})
}
