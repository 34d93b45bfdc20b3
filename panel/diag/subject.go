package diag

// Subject is what a finding is about, as far as it has a name. Every field may be empty.
type Subject struct {
	// Keys of the project file by which the user can do something about it, the most particular first: dotted paths, panels
	// groups and orders by name, as in "panels.dome.current", "order.spares.rail", "defaults.current". They need not be written in the file.
	Keys   []string
	Board  string // of a panel with several
	Part   string // of the board: "D7"
	Net    string // "V+"
	String string // "S3"
}

// HasSubject reports whether the finding says what it is about: a place on a drawing or in a file, or something that has a name.
// Only where a whole file is meant does its name alone say so, and only the caller knows that.
func (f Finding) HasSubject() bool {
	p, s := f.Place, f.Subject
	return p.At != nil || p.Handle != "" || p.Layer != "" || p.Line > 0 || f.Panel != "" ||
		len(s.Keys) > 0 || s.Part != "" || s.Net != "" || s.String != ""
}

// OrderKey returns the path of a key of the named order: a manufacturing panel with several boards.
func OrderKey(order, key string) string { return "order." + order + "." + key }

// GroupKey returns the path of a key of the named group of LEDs.
func GroupKey(group, key string) string { return "groups." + group + "." + key }

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
