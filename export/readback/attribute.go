package readback

import (
	"slices"
	"strconv"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

// attributes is a dictionary of aperture or object attributes (5.1); values by name.
type attributes map[string][]string

// attribute carries out TF, TA, TO or TD. c is the command, for .MD5.
func (r *reader) attribute(w string, c command) {
	kind, body := w[:2], w[2:]
	if r.region != nil {
		r.fail("readback-attribute-in-region", "an attribute is set inside a region").Fix("set attributes before G36")
	}
	if kind == "TD" {
		if body == "" {
			r.apertureAttr, r.objectAttr = nil, nil
			return
		}
		r.checkName(body)
		r.apertureAttr, r.objectAttr = r.apertureAttr.without(body), r.objectAttr.without(body)
		return
	}
	fields := strings.Split(body, ",")
	name := fields[0]
	r.checkName(name)
	values := make([]string, len(fields)-1)
	for i, f := range fields[1:] {
		values[i] = r.unescape(f)
	}
	switch kind {
	case "TF":
		if at, twice := r.fileAttr[name]; twice {
			r.fail("readback-attribute-twice", "file attribute %s is set twice (first in line %d)", name, at).Fix("set it once")
			return
		}
		if r.md5At > 0 {
			r.warn("readback-md5-not-last", "a file attribute stands after .MD5").Fix(".MD5 is the last command before M02")
		}
		r.fileAttr[name] = r.line
		r.layer.FileAttributes = append(r.layer.FileAttributes, append([]string{name}, values...))
		r.fileAttribute(name, values, c)
	case "TA":
		r.apertureAttr = r.apertureAttr.with(name, values)
	case "TO":
		r.objectAttr = r.objectAttr.with(name, values)
	}
}

func (a attributes) with(name string, values []string) attributes {
	out := a.without(name)
	if out == nil {
		out = attributes{}
	}
	out[name] = values
	return out
}

// without returns a copy, because objects and apertures keep what was set when they were made.
func (a attributes) without(name string) attributes {
	if len(a) == 0 {
		return nil
	}
	out := make(attributes, len(a))
	for k, v := range a {
		if k != name {
			out[k] = v
		}
	}
	return out
}

func (r *reader) fileAttribute(name string, values []string, c command) {
	switch name {
	case ".FileFunction":
		if len(values) == 0 || !knownFunction(values[0]) {
			r.fail("readback-bad-attribute", "%q is no function of a file", short(joined(values))).Fix("see .FileFunction in 5.6.3 of the Gerber specification")
		}
		if f, ok := FunctionOf(values); ok {
			r.layer.Function = f
		}
	case ".Part":
		if len(values) == 0 || !slices.Contains([]string{"Single", "Array", "FabricationPanel", "Coupon", "Other"}, values[0]) {
			r.fail("readback-bad-attribute", "%q is no kind of part", short(joined(values))).Fix("write Single for a single board")
		}
	case ".FilePolarity":
		switch {
		case len(values) == 1 && values[0] == "Negative":
			r.layer.Negative = true
		case len(values) != 1 || values[0] != "Positive":
			r.fail("readback-polarity", "%s is no polarity", short(strings.Join(values, ","))).Fix("write Positive or Negative")
		}
	case ".MD5":
		if len(values) == 1 && c.extended {
			r.checkMD5(values[0], c.at)
		}
	}
}

// knownFunction reports whether a value of .FileFunction may start so (5.6.3).
func knownFunction(s string) bool {
	return slices.Contains([]string{"Copper", "Plated", "NonPlated", "Profile", "Soldermask", "Legend", "Carbonmask", "Goldmask", "Heatsinkmask",
		"Peelablemask", "Silvermask", "Tinmask", "Component", "Paste", "Glue", "Depthrout", "Vcut", "Viafill", "Drillmap", "FabricationDrawing",
		"Vcutmap", "AssemblyDrawing", "ArrayDrawing", "OtherDrawing", "Pads", "Other"}, s)
}

// FunctionOf returns the layer that a value of .FileFunction names; ok is false for layers that Lampblack does not make.
func FunctionOf(values []string) (f export.Function, ok bool) {
	at := func(i int) string {
		if i < len(values) {
			return values[i]
		}
		return ""
	}
	var top, bottom export.Function
	side := at(1)
	switch at(0) {
	case "Copper":
		top, bottom, side = export.CopperTop, export.CopperBottom, at(2)
	case "Soldermask":
		top, bottom = export.SoldermaskTop, export.SoldermaskBottom
	case "Legend":
		top, bottom = export.SilkscreenTop, export.SilkscreenBottom
	case "Paste":
		top, bottom = export.PasteTop, export.PasteBottom
	case "Component":
		top, bottom, side = export.ComponentTop, export.ComponentBottom, at(2)
	case "Profile":
		return export.Profile, true
	case "Vcut":
		if side == "" {
			return export.Vcut, true
		}
	}
	if top == bottom {
		return 0, false
	}
	switch side {
	case "Top":
		return top, true
	case "Bot":
		return bottom, true
	}
	return 0, false
}

// checkName checks a name by 3.4.5: 1 to 127 letters, digits and _ . $, not starting with a digit.
func (r *reader) checkName(s string) {
	ok := len(s) >= 1 && len(s) <= 127 && (s[0] < '0' || s[0] > '9')
	for _, c := range []byte(s) {
		ok = ok && (c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '.' || c == '$')
	}
	if !ok {
		r.fail("readback-bad-name", "%q is no valid name", short(s)).Fix("use letters, digits and _ . $, and no digit first")
	}
}

// unescape undoes \uXXXX and \UXXXXXXXX (3.4.3).
func (r *reader) unescape(s string) string {
	if !strings.Contains(s, `\`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '\\' {
			b.WriteByte(s[i])
			continue
		}
		n := 0
		if i+1 < len(s) {
			n = map[byte]int{'u': 4, 'U': 8}[s[i+1]]
		}
		v, err := strconv.ParseUint(s[min(i+2, len(s)):min(i+2+n, len(s))], 16, 32)
		if n == 0 || err != nil || i+2+n > len(s) || v > 0x10FFFF {
			r.fail("readback-bad-escape", "%q holds a \\ that starts no \\uXXXX", short(s)).Fix("write a backslash as \\u005C")
			b.WriteByte('\\')
			continue
		}
		b.WriteRune(rune(v))
		i += 1 + n
	}
	return b.String()
}

// attach puts the object attributes that are set now on an object (5.3.2).
func (r *reader) attach(o *export.Object) {
	a := r.objectAttr
	if len(a) == 0 {
		return
	}
	if v, ok := a[".N"]; ok {
		o.HasNet, o.Net = true, strings.Join(v, ",")
	}
	if v, ok := a[".C"]; ok && len(v) > 0 {
		o.Ref, o.Part = v[0], a.component()
	}
	if v, ok := a[".P"]; ok && o.Op == export.Flash {
		if len(v) < 2 {
			r.fail("readback-bad-attribute", ".P needs a part and a pin").Fix("write .P,part,pin")
			return
		}
		o.Ref, o.Pin = v[0], v[1]
		if len(v) > 2 {
			o.PinFn = v[2]
		}
	}
}

// component gathers the .C attributes; nil when there is only the name.
func (a attributes) component() *export.Component {
	var c export.Component
	names := []string{".CRot", ".CVal", ".CFtp", ".CMnt", ".CHgt"}
	if !slices.ContainsFunc(names, func(n string) bool { _, ok := a[n]; return ok }) {
		return nil
	}
	first := func(name string) string {
		if v := a[name]; len(v) > 0 {
			return v[0]
		}
		return ""
	}
	c.Value, c.Footprint, c.Through = first(".CVal"), first(".CFtp"), first(".CMnt") == "TH"
	if v, err := strconv.ParseFloat(first(".CRot"), 64); err == nil {
		c.Rotation = v
	}
	if v, err := strconv.ParseFloat(first(".CHgt"), 64); err == nil && v > 0 && v < 1000 {
		c.Height = geom.MM(v)
	}
	return &c
}
