package export

// The names of a pack's files, without a folder, and what the files are in words of ASCII. name is the board's.

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

// PlacementFileName returns the name of an array's list of where its parts stand.
func PlacementFileName(name string) string { return name + "-placement.csv" }

// PartsFileName returns the name of an array's list of parts.
func PartsFileName(name string) string { return name + "-parts.csv" }

const (
	JobMeaning     = "Gerber job: what the files are"
	NetlistMeaning = "netlist for the bare-board test"

	PlacementMeaning = "where the parts of all its boards stand"
	PartsMeaning     = "the parts of all its boards"
)

// DrillMeaning says what a drill file is.
func DrillMeaning(plated bool) string {
	if plated {
		return "plated holes, finished size"
	}
	return "unplated holes, finished size"
}

// Meaning says what a layer's file is.
func Meaning(f Function) string {
	switch f {
	case CopperTop:
		return "copper, LED side (L1)"
	case CopperBottom:
		return "copper, wiring side (L2)"
	case SoldermaskTop, SoldermaskBottom:
		return "soldermask openings, " + f.Side().String()
	case SilkscreenTop, SilkscreenBottom:
		return "silkscreen, " + f.Side().String()
	case PasteTop, PasteBottom:
		return "solder paste, " + f.Side().String()
	case Profile:
		return "edge of the board (middle of the line)"
	case Vcut:
		return "lines of the V-cuts"
	}
	return "component data, " + f.Side().String()
}
