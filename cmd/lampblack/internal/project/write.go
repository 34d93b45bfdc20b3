package project

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"lampblack/export/filename"
	"lampblack/led/part"
)

// YAML returns the project as a file to be edited, for a folder dir: drawings are named relative to it. Read takes it
// back unchanged. LED kinds of the user's own and single rules are not written: a project made of defaults has none.
func (p Project) YAML(dir string) []byte {
	var b bytes.Buffer
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("# What lampblack assumed. Change what differs, then: lampblack build")
	line("# Every key is explained in README.md, under Project file.")
	line("console: %s", quoted(p.Console))
	line("supply:")
	line("  volts: %-24s # or a window: 11.1 V .. 12.6 V", window(p.Supply.Volts))
	line("  amps: %-25s # what its label says", unit(float64(p.Supply.Amps), "A"))
	line("  # also_feeds:                      # other loads on the same supply")
	line("  #   - {name: dew heater, amps: 0.6 A}")
	line("feed:")
	line("  wire: %-25s # of both conductors, or 24 AWG", p.Feed.Wire.Text)
	line("  connector: %-20s # rating of one contact", unit(float64(p.Feed.Connector), "A"))
	for i, c := range p.Chains {
		if len(p.Chains) == 1 {
			line("chain: [%s]", quotedList(c.Boards))
			break
		}
		if i == 0 {
			line("chains:")
		}
		line("  - [%s]", quotedList(c.Boards))
	}
	line("defaults:")
	line("  led: %s", quoted(p.Defaults.LED))
	line("  current: %-22s # in each LED", unit(float64(p.Defaults.Current)*1e3, "mA"))
	r := p.Defaults.Resistor
	kept := ""
	if r.Kept { // to name a package is to keep it
		kept = ", package: " + quoted(strings.TrimPrefix(r.Package, "r-"))
	}
	line("  resistor: {series: %s, tolerance: %s%s}", r.Series, unit(r.Tol*100, "%"), kept)
	line("  connector: %s", p.Defaults.Connector)
	line("  feed_length: %-18s # of each piece of the feed", p.Defaults.FeedLength)
	line("panels:")
	for i, q := range p.Panels {
		line("  - name: %s", quoted(q.Name))
		line("    drawing: %s", quoted(relative(dir, q.Drawing)))
		if i == 0 {
			line("    # layers: {outline: FRAME}        # where the drawing's layers are not named as ours")
			line("    # units: inch                     # where it tells the wrong unit")
		}
	}
	line("kerf: %-27s # width the laser burns away", p.Kerf)
	line("revision: %s", quoted(p.Revision))
	return b.Bytes()
}

// relative names a file from a folder where that is possible.
func relative(dir, file string) string {
	d, err1 := filepath.Abs(dir)
	f, err2 := filepath.Abs(file)
	if err1 == nil && err2 == nil {
		if rel, err := filepath.Rel(d, f); err == nil {
			return filepath.ToSlash(rel)
		}
	}
	return filepath.ToSlash(file)
}

func window(w part.Window) string {
	if w.Min == w.Max {
		return unit(float64(w.Nominal), "V")
	}
	return unit(float64(w.Min), "V") + " .. " + unit(float64(w.Max), "V")
}

func unit(v float64, u string) string { return strconv.FormatFloat(v, 'g', 9, 64) + " " + u }

func quotedList(names []string) string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = quoted(n)
	}
	return strings.Join(out, ", ")
}

// quoted writes a text so that YAML takes it for nothing else: plain words as they are, all else in double quotes. Words
// that YAML reads as true, null or a number keep their letters either way, as Read looks at the letters alone.
func quoted(s string) string {
	plain := s != ""
	for i, r := range strings.TrimPrefix(s, "../") {
		plain = plain && (filename.Letter(r) && (i > 0 || r != '-') || i > 0 && (r == '.' || r == '/'))
	}
	switch strings.ToLower(s) {
	case "null", "true", "false", "yes", "no", "on", "off", "y", "n":
		plain = false
	}
	if plain && (s[0] < '0' || s[0] > '9') {
		return s
	}
	return strconv.Quote(s)
}
