package dxf

import "strings"

// foreign says what a file is that isn't DXF, by its first bytes, and what to do; both empty when it may be DXF.
func foreign(src string) (what, advice string) {
	const export = "open it in the program that made it and export the drawing as DXF (ASCII, any version from R12 to 2018)"
	head := src[:min(len(src), 4096)]
	text := strings.TrimLeft(strings.TrimPrefix(head, "\xef\xbb\xbf"), " \t\r\n")
	lower := strings.ToLower(text[:min(len(text), 512)])
	starts := func(s string) bool { return strings.HasPrefix(head, s) }
	switch {
	case len(head) >= 6 && starts("AC10") && !strings.ContainsAny(head[:6], "\r\n"), starts("AC1.") || starts("AC2."):
		return "a DWG drawing", "in the CAD program use \"save as\" and choose DXF (ASCII, R12 to 2018)"
	case starts("%PDF"):
		return "a PDF document", export
	case starts("PK\x03\x04"), starts("PK\x05\x06"):
		return "a zip archive (or an office or CAD document packed as one)", "unpack it and give the DXF file inside, or export the drawing as DXF"
	case starts("\x1f\x8b"), starts("7z\xbc\xaf"), starts("Rar!"), starts("BZh"), starts("\xfd7zXZ"):
		return "a compressed archive", "unpack it and give the DXF file inside"
	case starts("ISO-10303-21"):
		return "a STEP model", "make a flat 2D drawing of the panel's face in the CAD program and export that as DXF"
	case strings.Contains(lower, "<svg"):
		return "an SVG picture", export
	case strings.HasPrefix(lower, "<?xml"), strings.HasPrefix(lower, "<!doctype"), strings.HasPrefix(lower, "<html"):
		return "an XML or HTML page", "fetch or export the drawing itself as DXF; a page saved from a browser is not the file"
	case starts("\x89PNG"), starts("\xff\xd8\xff"), starts("GIF8"), starts("BM") && strings.Contains(head[:min(len(head), 32)], "\x00"),
		starts("II*\x00"), starts("MM\x00*"), starts("RIFF"):
		return "a picture made of pixels", "a picture has no exact sizes; draw the panel in CAD and export it as DXF"
	case starts("%!PS"), starts("\xc5\xd0\xd3\xc6"):
		return "a PostScript file", export
	case starts("\xd0\xcf\x11\xe0"):
		return "a compound document of a CAD or office program", export
	case starts("3D Geometry File Format"):
		return "a 3D model", export
	case strings.HasPrefix(lower, "solid ") && strings.Contains(lower, "facet"):
		return "an STL mesh", "make a flat 2D drawing of the panel's face in the CAD program and export that as DXF"
	case strings.HasPrefix(text, "IN;"), starts("\x1b%"), starts("\x1bE"):
		return "a plotter file", export
	case strings.HasPrefix(text, "G04"), strings.HasPrefix(text, "%FS"), strings.HasPrefix(text, "%TF"), strings.HasPrefix(text, "%MO"):
		return "a Gerber file", "this wants the panel's drawing as DXF; a fabrication pack is judged with \"inspect\""
	case strings.HasPrefix(text, "M48"):
		return "a drill file", "this wants the panel's drawing as DXF; a fabrication pack is judged with \"inspect\""
	case len(head) >= 80 && !strings.Contains(head[:72], "\n") && head[72] == 'S' && strings.HasPrefix(head[73:], "      1"):
		return "an IGES model", "make a flat 2D drawing of the panel's face in the CAD program and export that as DXF"
	case strings.HasPrefix(text, "{"), strings.HasPrefix(lower, "console:"), strings.HasPrefix(lower, "panels:"):
		return "a settings or data file", "give the DXF drawing here; a project file is given on its own"
	}
	return "", ""
}
