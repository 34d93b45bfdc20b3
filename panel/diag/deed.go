package diag

// Deed is something that one does with Lampblack to follow advice, as an argument of Fix: a command at a terminal is a click in the
// page of the workshop, which knows no commands.
type Deed struct{ Typed, Clicked string }
