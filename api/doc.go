// Package api holds the wire types of Thole's HTTP interface, the units at its
// edge and the use cases as plain methods on one [Service]. Pages and the JSON
// routes call the same methods.
//
// Every name on the wire carries its unit (span_cm, catch_deg, mass_kg).
// Values are rounded on the way out, to 0.1 mm and 0.01°, so that what was
// read can be sent again.
package api
