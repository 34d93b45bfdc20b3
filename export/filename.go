package export

// The names of a pack's files, without a folder. name is the board's.

// FileName returns the name of a layer's file: "dome-copper-top.gbr".
func FileName(name string, f Function) string { return name + "-" + f.String() + ".gbr" }

// DrillFileName returns the name of a drill file: "dome-drill-plated.drl".
func DrillFileName(name string, plated bool) string {
	if plated {
		return name + "-drill-plated.drl"
	}
	return name + "-drill-unplated.drl"
}

// JobFileName returns the name of the Gerber job file.
func JobFileName(name string) string { return name + "-job.gbrjob" }

// NetlistFileName returns the name of the netlist for the electrical test.
func NetlistFileName(name string) string { return name + "-netlist.ipc" }

// ReadMeFileName is the name of the text for people at the board house.
const ReadMeFileName = "README.txt"
