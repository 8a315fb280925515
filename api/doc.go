// Package api joins the areas of Thole's HTTP interface: one [Service] with the use
// cases of all as plain methods, which pages and the JSON routes call alike, and the
// one list of routes with its OpenAPI document. Names on the wire carry their unit
// (span_cm, catch_deg, mass_kg); values are rounded on the way out, to 0.1 mm and
// 0.01°, so that what was read can be sent again.
package api
