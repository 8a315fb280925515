// A client made from the description of the interface does the main jobs against a
// server: people, a boat, its set-up, a work sheet, a seat race, line-ups. The
// compiler holds every call against the description, the calls hold the server.
import createClient from "openapi-fetch";
import type { paths } from "./description.js";

declare const process: { argv: string[] };
const address = process.argv[2];
check(address, "usage: client ADDRESS");
const api = createClient<paths, "application/json" | "application/problem+json">({ baseUrl: address });
const by = "Ines";

function check(good: unknown, what: string): asserts good {
  if (!good) throw new Error(what);
}

/** answered returns what was answered, and stops at a problem with its words. */
function answered<T>(r: { data?: T; error?: unknown; response: Response }, status: number): T {
  check(r.response.status === status && r.data !== undefined, `${r.response.url}: ${r.response.status}, want ${status}: ${JSON.stringify(r.error)}`);
  return r.data;
}

// People, each with a key: the second of two taps makes nobody.
const names = ["Quill", "Rush", "Sedge", "Teasel"];
const crew: number[] = [];
for (const name of names) {
  const ask = () =>
    api.POST("/api/v1/athletes", {
      params: { header: { "Idempotency-Key": `athlete ${name}` } },
      body: { name, by, sex: "female", birth_date: "1999-04-30", sculls: true },
    });
  const made = answered(await ask(), 201);
  check(answered(await ask(), 201).id === made.id, `${name} was made twice`);
  await api.POST("/api/v1/athletes/{id}/measures", {
    params: { path: { id: made.id } },
    body: { measured_on: "2026-01-10", stature_cm: 178, mass_kg: 70, measured_by: by },
  }).then((r) => answered(r, 201));
  crew.push(made.id);
}

// A boat with its rig.
const rig = [1, 2].flatMap((seat) =>
  Object.entries({ span_cm: 159, oar_length_cm: 288, inboard_cm: 88, gate_height_cm: 16.5, heel_to_pin_cm: 55, heel_depth_cm: 17, plate_angle_deg: 42 }).map(
    ([setting, value]) => ({ seat, setting, value }),
  ),
);
const boat = answered(await api.POST("/api/v1/boats", { body: { name: "Quillwort", boat_class: "2x", by, rig } }), 201);
const at = { params: { path: { id: boat.id } } };

// What was read can be written back, and nothing is overwritten.
const read = await api.GET("/api/v1/boats/{id}", at);
const tag = read.response.headers.get("ETag");
check(tag, "a boat without an entity tag");
const again = await api.GET("/api/v1/boats/{id}", { params: { ...at.params, header: { "If-None-Match": tag } } });
check(again.response.status === 304, `read again: ${again.response.status}`);
const back = { ...answered(read, 200), note: "written back", by };
answered(await api.PUT("/api/v1/boats/{id}", { params: { ...at.params, header: { "If-Match": tag } }, body: back }), 200);
const late = await api.PUT("/api/v1/boats/{id}", { params: { ...at.params, header: { "If-Match": tag } }, body: back });
check(late.response.status === 412 && late.error?.type === "/api/problems/not-as-read", `a late write: ${late.response.status}`);

// Its set-up for two of them, and the work sheet.
const seats = [1, 2].map((seat) => ({ seat, athlete_id: crew[seat - 1] }));
const plan = answered(await api.POST("/api/v1/boats/{id}/setup", { ...at, body: { crew: seats } }), 200);
check(plan.seats.length === 2, "a set-up for two seats");
const version = answered(await api.GET("/api/v1/boats/{id}", at), 200).version;
const sheet = answered(await api.POST("/api/v1/sheets", { body: { boat_id: boat.id, boat_version: version, crew: seats, by } }), 201);
const line = sheet.seats[0]?.lines[0];
if (line) {
  await api.PUT("/api/v1/sheets/{id}/readings/{key}", {
    params: { path: { id: sheet.id, key: "first" } },
    body: { seat: 1, setting: line.setting, value: line.target, by },
  }).then((r) => answered(r, 200));
}

// A seat race with a result.
const race = answered(
  await api.POST("/api/v1/seat-races", {
    body: {
      name: "Saturday", boat_class: "1x", by, athletes: crew.map((id) => ({ athlete_id: id })),
      pieces: [{ crews: [["Quill"], ["Rush"]] }, { crews: [["Sedge"], ["Teasel"]] }],
      terms: { boats: 2, expected_time_s: 230, mean_power_w: 250 },
    },
  }),
  201,
);
for (const [i, times] of [[230.1, 231.4], [232, 230.5]].entries()) {
  await api.PUT("/api/v1/seat-races/{id}/pieces/{number}", {
    params: { path: { id: race.id, number: i + 1 } },
    body: { key: `piece ${i}`, times_s: times, by },
  }).then((r) => answered(r, 200));
}

// Line-ups, found and kept.
const found = answered(
  await api.POST("/api/v1/selection/lineups", {
    body: { boat_class: "2x", candidates: names.map((name, i) => ({ id: String(crew[i]), name, power_w: 240 + 10 * i, mass_kg: 70 })) },
  }),
  200,
);
check("lineups" in found, "the search went on as a job");
const best = found.lineups[0];
check(best && best.seats.length === 2, "no line-up was found");
answered(
  await api.POST("/api/v1/lineups", { body: { name: "Best", boat_class: "2x", by, seats: best.seats.map((id) => ({ athlete_id: Number(id) })) } }),
  201,
);

// A problem says where the fault stands.
const bad = await api.POST("/api/v1/boats", { body: { name: "", boat_class: "2x", by } });
check(bad.response.status === 422 && bad.error?.errors?.[0]?.field === "name", `a boat without a name: ${JSON.stringify(bad.error)}`);
console.log(`${names.length} athletes, a boat, a set-up, a sheet, a seat race and line-ups by a client that was made from the description`);
