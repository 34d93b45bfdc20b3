package gerber

import (
	"bytes"
	"encoding/json"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

// The job file, in the order its parts are written.
type (
	job struct {
		Header          jobHeader
		GeneralSpecs    jobSpecs
		DesignRules     []jobRules `json:",omitempty"`
		FilesAttributes []jobFile
		MaterialStackup []jobLayer
	}
	jobHeader struct {
		GenerationSoftware jobSoftware
		CreationDate       string `json:",omitempty"`
	}
	jobSoftware struct{ Vendor, Application, Version string }
	jobSpecs    struct {
		ProjectId      jobProject
		Size           jobSize
		LayerNumber    int
		BoardThickness float64
		Finish         string
	}
	jobProject struct{ Name, GUID, Revision string }
	jobSize    struct{ X, Y float64 }
	jobRules   struct {
		Layers         string
		PadToPad       float64 `json:",omitempty"`
		PadToTrack     float64 `json:",omitempty"`
		TrackToTrack   float64 `json:",omitempty"`
		MinLineWidth   float64 `json:",omitempty"`
		TrackToRegion  float64 `json:",omitempty"`
		RegionToRegion float64 `json:",omitempty"`
	}
	jobFile  struct{ Path, FileFunction, FilePolarity string }
	jobLayer struct {
		Type      string
		Name      string  `json:",omitempty"`
		Thickness float64 `json:",omitempty"`
		Material  string  `json:",omitempty"`
		Color     string  `json:",omitempty"`
		Notes     string  `json:",omitempty"`
	}
)

// Job returns the Gerber job file: JSON that tells what the pack's files are, the board's true size, its layers from top to
// bottom, and the limits it was made to. Lengths are in mm.
func Job(a export.Artwork, m Meta) []byte {
	j := job{
		Header: jobHeader{
			GenerationSoftware: jobSoftware{"Lampblack", "lampblack", m.version()},
			CreationDate:       m.date(),
		},
		GeneralSpecs: jobSpecs{
			ProjectId:      jobProject{a.Name, guid(a, m), m.revision()},
			Size:           jobSize{a.Size.W().MM(), a.Size.H().MM()},
			LayerNumber:    2, // of copper: every board has a top and a bottom
			BoardThickness: a.Laminate.Thickness.MM(),
			Finish:         orElse(m.Finish, "HAL lead-free"),
		},
		DesignRules:     rules(a, m),
		FilesAttributes: files(a),
		MaterialStackup: stackup(a, m),
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(j); err != nil {
		panic("export/gerber: job file: " + err.Error()) // only for a size that is no number
	}
	return b.Bytes()
}

func rules(a export.Artwork, m Meta) []jobRules {
	narrowest := geom.Nm(0)
	for _, l := range a.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if w := width(l, o); w > 0 && (narrowest == 0 || w < narrowest) {
				narrowest = w
			}
		}
	}
	if m.Clearance <= 0 && narrowest == 0 {
		return nil
	}
	c := max(m.Clearance, 0).MM()
	return []jobRules{{"Outer", c, c, c, narrowest.MM(), c, c}}
}

// files lists the images of the pack by the very values of .FileFunction and .FilePolarity that the files carry: there is
// one definition of these (The Gerber Layer Format Specification 2021.02, section 5.6), and whoever compares the two as
// text finds them the same.
func files(a export.Artwork) []jobFile {
	var out []jobFile
	for _, l := range a.Layers {
		out = append(out, jobFile{export.FileName(a.Name, l.Function), fileFunction(l.Function), polarity(l.Negative)})
	}
	for _, d := range a.Drills {
		out = append(out, jobFile{export.DrillFileName(a.Name, d.Plated), d.FileFunction(), polarity(false)})
	}
	return out
}

func stackup(a export.Artwork, m Meta) []jobLayer {
	has := func(f export.Function) bool {
		_, ok := a.Layer(f)
		return ok
	}
	var out []jobLayer
	add := func(f export.Function, l jobLayer) {
		if has(f) {
			out = append(out, l)
		}
	}
	mask, ink, why := "White", "Black", "white reflects the light of the LEDs"
	if m.Mask != "" && m.Mask != "white" {
		mask, ink, why = strings.ToUpper(m.Mask[:1])+m.Mask[1:], "White", ""
	}
	add(export.SilkscreenTop, jobLayer{Type: "Legend", Name: "silkscreen top", Color: ink})
	add(export.PasteTop, jobLayer{Type: "SolderPaste", Name: "paste top"})
	add(export.SoldermaskTop, jobLayer{Type: "SolderMask", Name: "soldermask top", Color: mask, Notes: why})
	add(export.CopperTop, jobLayer{Type: "Copper", Name: "copper top", Thickness: a.Laminate.Copper.MM()})
	out = append(out, jobLayer{Type: "Dielectric", Name: "core", Thickness: a.Laminate.Core().MM(), Material: "FR4"})
	add(export.CopperBottom, jobLayer{Type: "Copper", Name: "copper bottom", Thickness: a.Laminate.Copper.MM()})
	add(export.SoldermaskBottom, jobLayer{Type: "SolderMask", Name: "soldermask bottom", Color: mask})
	add(export.PasteBottom, jobLayer{Type: "SolderPaste", Name: "paste bottom"})
	add(export.SilkscreenBottom, jobLayer{Type: "Legend", Name: "silkscreen bottom", Color: ink})
	return out
}

// width returns the width of a draw, 0 for other objects.
func width(l export.Layer, o export.Object) geom.Nm {
	if o.Op != export.Draw {
		return 0
	}
	return l.Apertures[o.Aperture].W
}
