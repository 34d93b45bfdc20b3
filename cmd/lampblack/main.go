// Command lampblack turns the CAD sketch of a backlit panel into a routed LED board, the laser sheets of the panel, and
// the proof that one supply carries the whole console.
//
//	lampblack build examples/observatory   boards, sheets and lists into its folder out
//	lampblack check examples/observatory   the same work, nothing written but the findings
//	lampblack survey dome.dxf              what a drawing holds, and what would be taken for what
//	lampblack supply examples/observatory  strings, currents, drops and the supply's verdict
//	lampblack inspect dome-fab.zip         judges any fabrication pack
//	lampblack relight dome --count 12      places a panel's LEDs anew, for even light
//	lampblack new my-desk                  a starter project that builds
//
// Results go to standard output, findings to standard error; --json prints the same data for programs. Exit status: 0 good;
// 1 errors found in a drawing, the project or a board; 2 the call is wrong; 3 a file could not be read or written, the
// machine failed, or the work was interrupted.
package main

import "os"

func main() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) } // the module's only os.Exit
