package diag

// Subject is what a finding is about, as far as it has a name. Every field may be empty.
type Subject struct {
	// Keys of the project file by which the user can do something about it, the most particular first: dotted paths, panels by
	// name, as in "panels.dome.current", "defaults.current". They need not be written in the file.
	Keys   []string
	Part   string // of the board: "D7"
	Net    string // "V+"
	String string // "S3"
}

// PanelKey returns the path of a key of the named panel's own.
func PanelKey(panel, key string) string { return "panels." + panel + "." + key }

// About sets the keys of the project file, the most particular first.
func (f *Finding) About(keys ...string) *Finding { f.Subject.Keys = keys; return f }

// OfPart sets the part of the board.
func (f *Finding) OfPart(ref string) *Finding { f.Subject.Part = ref; return f }

// OfNet sets the net.
func (f *Finding) OfNet(name string) *Finding { f.Subject.Net = name; return f }

// OfString sets the string of LEDs.
func (f *Finding) OfString(name string) *Finding { f.Subject.String = name; return f }
