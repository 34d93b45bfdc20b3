package result

import (
	"strconv"
	"strings"

	"lampblack/export"
)

// Name is the path of a file below the output folder; NAME in it stands for the name of the panel or the order it is of.
type Name string

// The files of a build that are in no fabrication pack; those in it are named by package export.
const (
	ResultJSON Name = "result.json"
	ReportHTML Name = "report.html"
	PartsCSV   Name = "parts.csv"
	WiresCSV   Name = "wires.csv"
	CostCSV    Name = "cost.csv"
	OrderCSV   Name = "order.csv"
	ChainCir   Name = "chain.cir"
	WiringSVG  Name = "wiring.svg"
	HarnessSVG Name = "harness.svg"
	ConsolePNG Name = "console.png"
	ConsoleGLB Name = "console.glb"
	LaserHTML  Name = "laser.html"
	GuideHTML  Name = "guide.html"
	GuidePDF   Name = "guide.pdf"

	TestKerf         Name = "test-kerf.svg"
	TestKerfDXF      Name = "test-kerf.dxf"
	TestEngraving    Name = "test-engraving.svg"
	TestEngravingDXF Name = "test-engraving.dxf"

	PanelZip      Name = "NAME/NAME-fab.zip"
	SheetFace     Name = "NAME/sheet-face.svg"
	SheetDiffuser Name = "NAME/sheet-diffuser.svg"
	SheetLED      Name = "NAME/sheet-led.svg"
	FaceDXF       Name = "NAME/sheet-face.dxf"
	DiffuserDXF   Name = "NAME/sheet-diffuser.dxf"
	LEDDXF        Name = "NAME/sheet-led.dxf"
	SheetPlate    Name = "NAME/sheet-plate.svg"
	PlateDXF      Name = "NAME/sheet-plate.dxf"
	SheetFrame    Name = "NAME/sheet-frame.svg"
	FrameDXF      Name = "NAME/sheet-frame.dxf"
	SheetSpacer   Name = "NAME/sheet-spacer.svg"
	SpacerDXF     Name = "NAME/sheet-spacer.dxf"
	SheetsSVG     Name = "NAME/sheets.svg"
	SideSVG       Name = "NAME/side.svg"
	BoardTop      Name = "NAME/board-top.svg"
	BoardBottom   Name = "NAME/board-bottom.svg"
	BoardGLB      Name = "NAME/board.glb"
	AssemblySVG   Name = "NAME/assembly.svg"
	AssemblyPDF   Name = "NAME/assembly.pdf"
	ServiceSVG    Name = "NAME/service.svg"
	PanelPDF      Name = "NAME/panel.pdf"
	PanelLEDs     Name = "NAME/NAME-leds.dxf"
	GlowPNG       Name = "NAME/glow.png"
	DayPNG        Name = "NAME/day.png"
	GlowMap       Name = "NAME/glow-map.svg"
	FindingsSVG   Name = "NAME/findings.svg"
	PanelParts    Name = "NAME/parts.csv"
	PlacementCSV  Name = "NAME/placement.csv"

	OrderZip    Name = "order-NAME/order-NAME-fab.zip"
	ArrayTop    Name = "order-NAME/array-top.svg"
	ArrayBottom Name = "order-NAME/array-bottom.svg"

	NestsSVG Name = "nests.svg"
	NestSVG  Name = "nest-NAME.svg"
	NestDXF  Name = "nest-NAME.dxf"
)

const (
	stand      = "NAME"
	orderStand = "order-" + stand
)

// NestName returns what stands for a sheet of stock in the names of its files: which sheets are cut from it, and its number from 1 on.
func NestName(sheet string, number int) string {
	return strings.ReplaceAll(strings.TrimSuffix(sheet, "_sheet"), "_", "-") + "-" + strconv.Itoa(number)
}

// PackFolder is where a fabrication pack's files lie, below the folder of the panel or the order.
const PackFolder = "fab/"

// OrderFolder returns the folder of an order, which is also the name of its array.
func OrderFolder(order string) string { return "order-" + order }

// Of returns the file's path below the output folder, of a panel, an order or a sheet of stock of that name.
func (n Name) Of(name string) string { return strings.ReplaceAll(string(n), stand, name) }

// Within returns the file's path below the folder of the panel or the order of that name.
func (n Name) Within(name string) string {
	_, file, _ := strings.Cut(n.Of(name), "/")
	return file
}

// Scope is what a file is of.
type Scope uint8

const (
	OfConsole Scope = iota
	OfPanel
	OfOrder
	OfStock // a sheet of it, or all
)

// File is a file that a build writes, of the console or of each panel, order or sheet of stock that was built.
type File struct {
	Name Name
	Of   Scope
	What string // in a few words; equal words of neighbours: several of one kind
	When string // "where ..."; empty: always
}

// Pack reports whether the file is in a fabrication pack.
func (f File) Pack() bool {
	_, file, _ := strings.Cut(string(f.Name), "/")
	return strings.HasPrefix(file, PackFolder)
}

// Files returns all that a build writes, in the order in which people are told of it.
func Files() []File {
	all := []File{
		{ResultJSON, OfConsole, "everything a program may want to know", ""},
		{ReportHTML, OfConsole, "the whole console on one page, to read in a browser and to print", ""},
		{PartsCSV, OfConsole, "parts of the whole console", ""},
		{WiresCSV, OfConsole, "the wires to cut: from where to where, length, colour, ends", ""},
		{CostCSV, OfConsole, "work and material, times, and what they cost by your own prices", ""},
		{OrderCSV, OfConsole, "the boards to order: size, layers, quantity, laminate, revision", ""},
		{ChainCir, OfConsole, "SPICE netlist of supply, feed, boards and strings", ""},
		{WiringSVG, OfConsole, "supply, feed and boards: what is wired to what", ""},
		{HarnessSVG, OfConsole, "the wires to make: ends, pins, colours, lengths", ""},
		{ConsolePNG, OfConsole, "all panels in the dark, side by side or where they stand", ""},
		{ConsoleGLB, OfConsole, "the console in three dimensions, to turn and to pull apart: glTF", ""},
		{GuideHTML, OfConsole, "at the soldering iron: what to solder, what a meter must show, faults", ""},
		{GuidePDF, OfConsole, "the same to print, with boxes to tick", ""},
		{LaserHTML, OfConsole, "at the laser: what to cut in which order, and what to mind", ""},
		{TestKerf, OfConsole, "trial piece that measures how wide the laser cuts", ""},
		{TestKerfDXF, OfConsole, "the same as DXF", ""},
		{TestEngraving, OfConsole, "trial piece that shows what the laser engraves", ""},
		{TestEngravingDXF, OfConsole, "the same as DXF", ""},
		{PanelZip, OfPanel, "the fabrication pack: what you upload to the board house", ""},
	}
	all = append(all, packFiles(stand, OfPanel)...)
	all = append(all, []File{
		{SheetFace, OfPanel, "laser sheet, in mm", ""},
		{SheetDiffuser, OfPanel, "laser sheet, in mm", ""},
		{SheetLED, OfPanel, "laser sheet, in mm", ""},
		{FaceDXF, OfPanel, "the same for CAD and for lasers that want DXF", ""},
		{DiffuserDXF, OfPanel, "the same for CAD and for lasers that want DXF", ""},
		{LEDDXF, OfPanel, "the same for CAD and for lasers that want DXF", ""},
		{SheetPlate, OfPanel, "sheet that carries the controls, for the laser", "where the project asks"},
		{PlateDXF, OfPanel, "the same for CAD", "where the project asks"},
		{SheetFrame, OfPanel, "walls before the LED sheet, for the laser", "where the project asks"},
		{FrameDXF, OfPanel, "the same for CAD", "where the project asks"},
		{SheetSpacer, OfPanel, "sheet behind the LED sheet, for the laser", "where the project asks"},
		{SpacerDXF, OfPanel, "the same for CAD", "where the project asks"},
		{SheetsSVG, OfPanel, "picture of the sheets", ""},
		{SideSVG, OfPanel, "panel and board from the side, cut through, at scale", ""},
		{PanelLEDs, OfPanel, "the panel with its LEDs, for CAD", "where they were placed"},
		{BoardTop, OfPanel, "picture of the board", ""},
		{BoardBottom, OfPanel, "picture of the board", ""},
		{BoardGLB, OfPanel, "the board with its parts in three dimensions: glTF", ""},
		{AssemblySVG, OfPanel, "what to solder where", ""},
		{AssemblyPDF, OfPanel, "the same at true size, to print", ""},
		{ServiceSVG, OfPanel, "where to measure what: strings, resistors, volts", ""},
		{PanelPDF, OfPanel, "the panel at true size, to print and lay the board on; side view", ""},
		{GlowPNG, OfPanel, "the panel lit in the dark", ""},
		{DayPNG, OfPanel, "the panel in daylight, unlit and lit", ""},
		{GlowMap, OfPanel, "how bright it is where, by each set of LEDs", ""},
		{FindingsSVG, OfPanel, "where its findings are, by number", "where any has a place"},
		{PanelParts, OfPanel, "parts of its board", ""},
		{PlacementCSV, OfPanel, "where they stand", ""},
		{OrderZip, OfOrder, "several boards on one manufacturing panel", "where the project asks"},
	}...)
	all = append(all, packFiles(orderStand, OfOrder)...)
	return append(all, []File{
		{ArrayTop, OfOrder, "picture of the manufacturing panel", ""},
		{ArrayBottom, OfOrder, "picture of the manufacturing panel", ""},
		{NestSVG, OfStock, "a sheet of stock for the laser, as face-1", "where there is stock"},
		{NestDXF, OfStock, "the same as DXF", "where there is stock"},
		{NestsSVG, OfStock, "picture of all sheets of stock", "where there is stock"},
	}...)
}

// packFiles are the files of a fabrication pack of that name.
func packFiles(name string, of Scope) []File {
	in := func(file string) Name { return Name(name + "/" + PackFolder + file) }
	var all []File
	for _, f := range export.Functions() {
		switch {
		case f == export.Vcut && of == OfPanel:
			continue // boards are parted in arrays alone
		}
		all = append(all, File{in(export.FileName(name, f)), of, export.Meaning(f), layerWhen(f)})
	}
	all = append(all, []File{
		{in(export.DrillFileName(name, true)), of, export.DrillMeaning(true), ""},
		{in(export.DrillFileName(name, false)), of, export.DrillMeaning(false), "where it has such"},
		{in(export.JobFileName(name)), of, export.JobMeaning, ""},
		{in(export.NetlistFileName(name)), of, export.NetlistMeaning, ""},
	}...)
	if of == OfOrder {
		all = append(all, File{in(export.PlacementFileName(name)), of, export.PlacementMeaning, ""}, File{in(export.PartsFileName(name)), of, export.PartsMeaning, ""})
	}
	return append(all, []File{
		{in(export.ReadMeFileName), of, "all this in words, for people at the board house", ""},
	}...)
}

// layerWhen says where a pack has a layer.
func layerWhen(f export.Function) string {
	switch f {
	case export.PasteTop, export.PasteBottom:
		return "where parts sit on that surface"
	case export.Vcut:
		return "where boards are parted so"
	}
	return ""
}

// FileAt returns what is known of the file at a path below the output folder; ok is false for one that no build writes.
func FileAt(path string) (file File, ok bool) {
	dir, _, nested := strings.Cut(path, "/")
	order, ordered := strings.CutPrefix(dir, OrderFolder(""))
	sheet := strings.TrimSuffix(strings.TrimSuffix(strings.TrimPrefix(path, "nest-"), ".svg"), ".dxf")
	for _, f := range Files() {
		switch {
		case f.Of == OfConsole && !nested && string(f.Name) == path, f.Of == OfPanel && nested && f.Name.Of(dir) == path,
			f.Of == OfStock && !nested && f.Name.Of(sheet) == path:
			file, ok = f, true
		case f.Of == OfOrder && ordered && f.Name.Of(order) == path:
			return f, true // a panel may have the name of an order's folder, but then there is no such order
		}
	}
	return file, ok
}

// ConsoleFiles returns the paths of the files of the whole console.
func ConsoleFiles() []string {
	var out []string
	for _, f := range Files() {
		if f.Of == OfConsole {
			out = append(out, string(f.Name))
		}
	}
	return out
}

// Listing returns all files of a build as a text of one line for each kind, below the folder root.
func Listing(root string) string {
	var heads, words []string
	width := 0
	add := func(head, word string) {
		heads, words, width = append(heads, head), append(words, word), max(width, len(head))
	}
	var last File
	for _, f := range Files() {
		word := f.What
		if f.When != "" {
			word += ", " + f.When
		}
		n := len(heads) - 1
		switch {
		case f.Of == OfOrder && f.Pack() && strings.HasSuffix(string(f.Name), ".csv"):
			add(root+"/"+string(f.Name), word) // a panel's lie beside its pack
		case f.Of == OfOrder && f.Pack():
			if !last.Pack() {
				add(root+"/"+orderStand+"/"+PackFolder, "the same files, not zipped: as those of a panel")
			}
		case n >= 0 && word == words[n]:
			// The further one of a kind is told by the end of its name.
			cut := strings.LastIndexByte(string(f.Name), '-')
			heads[n] += "  " + string(f.Name)[cut:]
			width = max(width, len(heads[n]))
		default:
			add(root+"/"+string(f.Name), word)
		}
		last = f
	}
	var b strings.Builder
	for i, h := range heads {
		b.WriteString(h + strings.Repeat(" ", width+2-len(h)) + words[i] + "\n")
	}
	return b.String()
}
