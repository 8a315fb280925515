package samples

import (
	"fmt"
	"maps"
	"testing"

	"thole/api/apitest"
	"thole/api/store"
)

// sparse puts athletes on record of whom little is known, of each another part.
func sparse(t testing.TB) []int64 {
	t.Helper()
	var ids []int64
	for _, segment := range []string{"shank", "thigh"} {
		body := apitest.BareAthlete()
		body["birth_year"] = 1999
		id := apitest.Created(t, "/api/v1/athletes", body)
		at := fmt.Sprintf("/api/v1/athletes/%d", id)
		apitest.Created(t, at+"/measures", apitest.Object{"measured_on": "2026-02-01", "segments_cm": apitest.Object{segment: 41.0}, "measured_by": "Ines"})
		for _, kind := range []string{"scull", "sweep"} {
			apitest.Created(t, at+"/postures", apitest.Object{"calibrated_on": "2026-02-01", "kind": kind})
		}
		ids = append(ids, id)
	}
	return ids
}

// heelBoat is a single whose stretcher is read at the heel from the line of work.
func heelBoat() apitest.Object {
	return apitest.Put(apitest.BareBoat(), "stretcher", apitest.Object{"mark": "heel"})
}

// heelBoatRigged puts one on record, fully measured.
func heelBoatRigged(t testing.TB) int64 {
	t.Helper()
	id := apitest.Created(t, "/api/v1/boats", heelBoat())
	apitest.Enter(t, id, apitest.Everything(1, true))
	return id
}

// withRig is a new boat of which the rig is known.
func withRig(boat apitest.Object, scull bool) apitest.Object {
	boat["rig"] = apitest.Everything(1, scull)["settings"]
	return boat
}

func init() {
	apitest.Settled = append(apitest.Settled, "GET /api/v1/boats/:id/rig.settings.value")    // only what is known is listed
	apitest.Settled = append(apitest.Settled, "GET /api/v1/oars/:id/boats.boats.oar_set_id") // it is that of the set
	maps.Copy(Of, map[string]func(testing.TB) []Sample{
		"GET /api/v1/athletes": func(t testing.TB) []Sample {
			apitest.KnownAthlete(t)
			apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
			apitest.Created(t, "/api/v1/athletes", bornIn1999())
			return []Sample{{}, {path: "/api/v1/athletes?name=zzz&archived=true"}}
		},
		"POST /api/v1/athletes": func(testing.TB) []Sample {
			return []Sample{{Body: apitest.FullAthlete()}, {Body: apitest.BareAthlete()}, {Body: bornIn1999()}}
		},
		"GET /api/v1/athletes/:id": athletePaths("", "?as_of=2026-07-01"),
		"PUT /api/v1/athletes/:id": func(t testing.TB) []Sample {
			full, bare := apitest.FullAthlete(), apitest.BareAthlete()
			known, unknown := apitest.KnownAthlete(t), apitest.Created(t, "/api/v1/athletes", bare)
			list := []Sample{{fmt.Sprintf("/api/v1/athletes/%d", known), apitest.Edited(full, 1, nil)}, {fmt.Sprintf("/api/v1/athletes/%d", unknown), apitest.Edited(bare, 1, apitest.Object{"note": "x"})}}
			for _, id := range sparse(t) {
				list = append(list, Sample{fmt.Sprintf("/api/v1/athletes/%d", id), apitest.Edited(apitest.BareAthlete(), 1, apitest.Object{"birth_year": 1999})})
			}
			return list
		},
		"DELETE /api/v1/athletes/:id":      athletePaths(""),
		"GET /api/v1/athletes/:id/changes": editedAthlete,
		"GET /api/v1/athletes/:id/measures": func(t testing.TB) []Sample {
			id := apitest.KnownAthlete(t)
			apitest.Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), apitest.Object{"measured_on": "2026-02-02", "mass_kg": 61.0, "measured_by": "Ines"})
			apitest.Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), apitest.Object{"measured_on": "2026-02-03", "arm_span_cm": 171.0, "measured_by": "Ines"})
			return []Sample{{path: fmt.Sprintf("/api/v1/athletes/%d/measures", id)}}
		},
		"POST /api/v1/athletes/:id/measures": func(t testing.TB) []Sample {
			some := sparse(t)
			return []Sample{
				{fmt.Sprintf("/api/v1/athletes/%d/measures", some[0]), apitest.Object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", some[1]), apitest.Object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", apitest.KnownAthlete(t)), apitest.FullBody("2026-03-01", 168)},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())), apitest.Object{"measured_on": "2026-03-01", "mass_kg": 70.0, "measured_by": "Ines"}},
				{fmt.Sprintf("/api/v1/athletes/%d/measures", apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())), apitest.Object{"measured_on": "2026-03-01", "stature_cm": 170.0, "measured_by": "Ines"}},
			}
		},
		"POST /api/v1/athletes/:id/postures": func(t testing.TB) []Sample {
			known, bare, some := apitest.KnownAthlete(t), apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete()), sparse(t)
			return []Sample{
				{fmt.Sprintf("/api/v1/athletes/%d/postures", some[0]), apitest.Object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", some[1]), apitest.Object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", known), apitest.FullPosture("sweep")},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", bare), apitest.Object{"calibrated_on": "2026-03-01", "kind": "sweep"}},
				{fmt.Sprintf("/api/v1/athletes/%d/postures", apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())), apitest.Object{"calibrated_on": "2026-03-01", "kind": "scull"}},
			}
		},

		"GET /api/v1/squads": func(t testing.TB) []Sample {
			apitest.Created(t, "/api/v1/squads", fullSquad(t))
			apitest.Created(t, "/api/v1/squads", apitest.Object{"name": apitest.Fresh("Juniors")})
			return []Sample{{}}
		},
		"POST /api/v1/squads": func(t testing.TB) []Sample {
			return []Sample{{Body: fullSquad(t)}, {Body: apitest.Object{"name": apitest.Fresh("Juniors")}}}
		},
		"GET /api/v1/squads/:id":    squadPaths,
		"DELETE /api/v1/squads/:id": squadPaths,
		"PUT /api/v1/squads/:id": func(t testing.TB) []Sample {
			body := fullSquad(t)
			return []Sample{{fmt.Sprintf("/api/v1/squads/%d", apitest.Created(t, "/api/v1/squads", body)), apitest.Edited(body, 1, apitest.Object{"athlete_ids": []any{}})}}
		},

		"GET /api/v1/boats": func(t testing.TB) []Sample {
			apitest.Rigged(t)
			heelBoatRigged(t)
			return []Sample{{}}
		},
		"POST /api/v1/boats": func(testing.TB) []Sample {
			return []Sample{{Body: withRig(apitest.FullBoat(), false)}, {Body: withRig(apitest.BareBoat(), true)}, {Body: apitest.BareBoat()}, {Body: heelBoat()}}
		},
		"GET /api/v1/boats/:id": boatPaths(""),
		"PUT /api/v1/boats/:id": func(t testing.TB) []Sample {
			pair, single := apitest.Rigged(t)
			return []Sample{
				{apitest.BoatPath(pair), apitest.Edited(apitest.FullBoat(), 2, nil)},
				{apitest.BoatPath(single), apitest.Edited(apitest.BareBoat(), 2, apitest.Object{"seats": []any{apitest.Object{"number": 1}}})},
				{apitest.BoatPath(heelBoatRigged(t)), apitest.Edited(heelBoat(), 2, apitest.Object{"seats": []any{apitest.Object{"number": 1}}})},
			}
		},
		"DELETE /api/v1/boats/:id":      boatPaths(""),
		"GET /api/v1/boats/:id/changes": boatPaths("/changes"),
		"PUT /api/v1/boats/:id/rig": func(t testing.TB) []Sample {
			pair, single := apitest.Rigged(t)
			heel := heelBoatRigged(t)
			return []Sample{{apitest.BoatPath(pair) + "/rig", apitest.Everything(2, false)}, {apitest.BoatPath(single) + "/rig", apitest.Everything(2, true)}, {apitest.BoatPath(heel) + "/rig", apitest.Everything(2, true)}}
		},
		"PUT /api/v1/boats/:id/table": func(t testing.TB) []Sample {
			pair, single := apitest.Rigged(t)
			heel := heelBoatRigged(t)
			table := func(scull bool, seats any) apitest.Object {
				o := apitest.Everything(2, scull)
				o["rig"] = o["settings"]
				delete(o, "settings")
				return apitest.Put(o, "seats", seats)
			}
			one := []any{apitest.Object{"number": 1}}
			return []Sample{{apitest.BoatPath(pair) + "/table", table(false, apitest.FullBoat()["seats"])}, {apitest.BoatPath(single) + "/table", table(true, one)}, {apitest.BoatPath(heel) + "/table", table(true, one)}}
		},
		"GET /api/v1/boats/:id/rig": func(t testing.TB) []Sample {
			pair, _ := apitest.Rigged(t)
			apitest.Undo(t, pair, apitest.Number(t, apitest.OnRecord(t, apitest.BoatPath(pair)+"/rig"), "changes.0.id"))
			workThrough(t, pair)
			return []Sample{{path: apitest.BoatPath(pair) + "/rig"}, {path: apitest.BoatPath(pair) + "/rig?limit=2&seat=1"}}
		},
		"POST /api/v1/boats/:id/rig/:change/undo": func(t testing.TB) []Sample {
			pair, single := apitest.Rigged(t)
			var list []Sample
			for i, boat := range []int64{pair, single, heelBoatRigged(t)} {
				change := apitest.Number(t, apitest.OnRecord(t, apitest.BoatPath(boat)+"/rig"), fmt.Sprintf("changes.%d.id", 2*min(i, 1)))
				list = append(list, Sample{fmt.Sprintf("%s/rig/%.0f/undo", apitest.BoatPath(boat), change), apitest.Object{"by": "Bram", "why": "wrong seat"}})
			}
			return list
		},
		"POST /api/v1/boats/:id/rig/sheets/:sheet/undo": func(t testing.TB) []Sample {
			pair, single := apitest.Rigged(t)
			list := []Sample{}
			for _, boat := range []int64{pair, single, heelBoatRigged(t)} {
				sheet := workDone(t, boat)
				list = append(list, Sample{fmt.Sprintf("%s/rig/sheets/%d/undo", apitest.BoatPath(boat), sheet), apitest.Object{"by": "Bram", "why": "wrong boat"}})
			}
			return list
		},

		"GET /api/v1/oars": func(t testing.TB) []Sample {
			apitest.Created(t, "/api/v1/oars", apitest.FullOars("scull"))
			apitest.Created(t, "/api/v1/oars", apitest.BareOars())
			return []Sample{{}}
		},
		"POST /api/v1/oars": func(testing.TB) []Sample {
			return []Sample{{Body: apitest.FullOars("scull")}, {Body: apitest.BareOars()}}
		},
		"GET /api/v1/oars/:id/boats": func(t testing.TB) []Sample {
			set := apitest.Created(t, "/api/v1/oars", apitest.BareOars())
			for _, boat := range []apitest.Object{apitest.FullBoat(), {"name": apitest.Fresh("Tern"), "boat_class": "2-", "by": "Bram"}, {"name": apitest.Fresh("Crane"), "boat_class": "4-", "stretcher": apitest.Object{"mark": "heel"}, "by": "Bram"}} {
				apitest.Created(t, "/api/v1/boats", apitest.Put(boat, "oar_set_id", set))
			}
			return []Sample{{path: fmt.Sprintf("/api/v1/oars/%d/boats", set)}}
		},
		"GET /api/v1/oars/:id": oarPaths(""),
		"PUT /api/v1/oars/:id": func(t testing.TB) []Sample {
			full, bare := apitest.FullOars("scull"), apitest.BareOars()
			return []Sample{
				{fmt.Sprintf("/api/v1/oars/%d", apitest.Created(t, "/api/v1/oars", full)), apitest.Edited(full, 1, apitest.Object{"count": 9})},
				{fmt.Sprintf("/api/v1/oars/%d", apitest.Created(t, "/api/v1/oars", bare)), apitest.Edited(bare, 1, apitest.Object{"count": 9})},
			}
		},
		"DELETE /api/v1/oars/:id":      oarPaths(""),
		"GET /api/v1/oars/:id/changes": oarChanges,
	})
}

// workThrough finishes a work sheet of one line on a boat that stands at
// version 3.
func workThrough(t testing.TB, boat int64) {
	t.Helper()
	by := store.By{Name: "Bram"}
	sheet, err := apitest.Scratch.AddSheet(t.Context(), store.Sheet{BoatID: boat, BoatVersion: 3, Lines: []store.SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85}}}, by)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := apitest.Scratch.RecordReading(t.Context(), sheet, store.Reading{Seat: 1, Setting: "spread_cm", Value: 85, Key: "a"}, by); err != nil {
		t.Fatal(err)
	}
	if _, err := apitest.Scratch.FinishSheet(t.Context(), sheet, 3, by); err != nil {
		t.Fatal(err)
	}
}

// workDone finishes a work sheet that moves the heels of seat 1, and returns its
// number.
func workDone(t testing.TB, boat int64) int64 {
	t.Helper()
	by := store.By{Name: "Bram"}
	b := apitest.BoatAt(t, boat)
	sheet, err := apitest.Scratch.AddSheet(t.Context(), store.Sheet{BoatID: boat, BoatVersion: b.Version, Lines: []store.SheetLine{{Seat: 1, Setting: "heel_to_pin_cm", Target: 23}}}, by)
	if err == nil {
		_, err = apitest.Scratch.RecordReading(t.Context(), sheet, store.Reading{Seat: 1, Setting: "heel_to_pin_cm", Value: 23.4, Key: "a"}, by)
	}
	if err == nil {
		_, err = apitest.Scratch.FinishSheet(t.Context(), sheet, b.Version, by)
	}
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

// bornIn1999 is an athlete whose birthday is not known.
func bornIn1999() apitest.Object {
	return apitest.Put(apitest.BareAthlete(), "birth_year", 1999)
}

func athletePaths(ends ...string) func(testing.TB) []Sample {
	return func(t testing.TB) []Sample {
		t.Helper()
		var list []Sample
		for _, end := range ends {
			list = append(list,
				Sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", apitest.KnownAthlete(t), end)},
				Sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete()), end)})
			for _, id := range sparse(t) {
				list = append(list, Sample{path: fmt.Sprintf("/api/v1/athletes/%d%s", id, end)})
			}
		}
		return list
	}
}

func fullSquad(t testing.TB) apitest.Object {
	return apitest.Object{"name": apitest.Fresh("Senior men"), "athlete_ids": []any{apitest.KnownAthlete(t)}}
}

func squadPaths(t testing.TB) []Sample {
	t.Helper()
	return []Sample{
		{path: fmt.Sprintf("/api/v1/squads/%d", apitest.Created(t, "/api/v1/squads", fullSquad(t)))},
		{path: fmt.Sprintf("/api/v1/squads/%d", apitest.Created(t, "/api/v1/squads", apitest.Object{"name": apitest.Fresh("Juniors")}))},
	}
}

func boatPaths(end string) func(testing.TB) []Sample {
	return func(t testing.TB) []Sample {
		t.Helper()
		pair, single := apitest.Rigged(t)
		apitest.Undo(t, pair, apitest.Number(t, apitest.OnRecord(t, apitest.BoatPath(pair)+"/rig"), "changes.0.id"))
		return []Sample{{path: apitest.BoatPath(pair) + end}, {path: apitest.BoatPath(single) + end}, {path: apitest.BoatPath(heelBoatRigged(t)) + end}, {path: apitest.BoatPath(apitest.Created(t, "/api/v1/boats", apitest.FullBoat())) + end}}
	}
}

func oarPaths(end string) func(testing.TB) []Sample {
	return func(t testing.TB) []Sample {
		t.Helper()
		return []Sample{
			{path: fmt.Sprintf("/api/v1/oars/%d%s", apitest.Created(t, "/api/v1/oars", apitest.FullOars("scull")), end)},
			{path: fmt.Sprintf("/api/v1/oars/%d%s", apitest.Created(t, "/api/v1/oars", apitest.BareOars()), end)},
		}
	}
}

// editedAthlete and oarChanges make histories with values that come and go.
func editedAthlete(t testing.TB) []Sample {
	t.Helper()
	body := apitest.FullAthlete()
	at := fmt.Sprintf("/api/v1/athletes/%d", apitest.Created(t, "/api/v1/athletes", body))
	apitest.Replaced(t, at, apitest.Edited(body, 1, apitest.Object{"birth_date": nil}))
	return []Sample{{path: at + "/changes"}}
}

func oarChanges(t testing.TB) []Sample {
	t.Helper()
	body := apitest.FullOars("scull")
	at := fmt.Sprintf("/api/v1/oars/%d", apitest.Created(t, "/api/v1/oars", body))
	apitest.Replaced(t, at, apitest.Edited(body, 1, apitest.Object{"inboard_cm": nil, "count": 3}))
	return []Sample{{path: at + "/changes"}, {path: at + "/changes?after=1"}}
}
