// Package paneltest helps tests of everything that reads drawings: a bad drawing states in comments of its own what
// must be found in it, and Expect compares.
package paneltest
