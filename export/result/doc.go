// Package result is what Lampblack tells programs: the schema of result.json and of what --json prints, and the one list of
// the files that a build writes.
//
// In go the product's nouns (panel.Panel, led.Circuit, diag.List, figures of merit); out come the types below, rounded so
// that the last digits of a computation never show, and their JSON. Lengths are mm in the drawing's frame, areas mm², light
// cd/m², the rest SI. Names of fields are stable; more may be added. A field's tag doc says what it is, its tag schema what
// it can be: from both come the JSON Schemas.
package result
