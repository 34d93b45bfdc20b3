package judge

import (
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Spacing tells a gap between copper of two nets that is too small for the supply's greatest voltage, by table 6-1 of
// IPC-2221.
func Spacing(v part.Volt, gap geom.Nm) diag.List {
	var l diag.List
	want, _ := part.SpacingFor(v)
	add := func(sev diag.Severity, least geom.Nm, between string) {
		l.Add(sev, "led-spacing", "copper %v apart is too near for %s at %v: IPC-2221 asks for %v", gap, between, v, least).
			About("rules.copper_gap").Fix("write rules: {copper_gap: %v}", least).
			By("keep copper "+least.String()+" apart", diag.Set, "rules.copper_gap", least.String())
	}
	switch {
	case gap < want.Masked:
		add(diag.Error, want.Masked, "tracks under soldermask")
	case gap < want.Terminal && v > 30:
		add(diag.Warning, want.Terminal, "the bare ends of parts")
	case gap < want.Terminal:
		add(diag.Note, want.Terminal, "the bare ends of parts")
	}
	return l
}
