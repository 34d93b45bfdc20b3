// Package solve computes what flows in a console: its operating point and its corners.
//
// In goes a led.Circuit whose parts are chosen, out comes the circuit with the currents, voltages and watts filled in. The
// console is solved as one electrical network (network.go) by Newton's iteration (solver.go); strings of LEDs are solved in
// closed form (string.go). What is wrong with the result is led/judge's. A console without an operating point is told by the
// finding led-no-operating-point.
package solve
