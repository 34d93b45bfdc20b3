package inspect

import (
	"encoding/json"
	"path"
	"strings"

	"lampblack/export"
	"lampblack/export/readback"
	"lampblack/panel/geom"
)

// jobFile is what a Gerber job file tells beside the laminate (Gerber Job Format Specification 2020.08).
type jobFile struct {
	GeneralSpecs struct {
		ProjectId      struct{ Name, GUID, Revision string }
		Size           struct{ X, Y float64 }
		LayerNumber    int
		BoardThickness float64
	}
	DesignRules []struct {
		PadToPad, PadToTrack, TrackToTrack, MinLineWidth, TrackToRegion, RegionToRegion float64
	}
	FilesAttributes []struct{ Path, FileFunction, FilePolarity string }
	MaterialStackup []struct {
		Type, Name, Color string
		Thickness         float64
	}
}

// gap returns the least gap that the job file states; 0: none.
func (j *jobFile) gap() geom.Nm {
	least := 0.0
	if j == nil {
		return 0
	}
	for _, r := range j.DesignRules {
		for _, v := range []float64{r.PadToPad, r.PadToTrack, r.TrackToTrack, r.TrackToRegion, r.RegionToRegion} {
			if v > 0 && v < 10 && (least == 0 || v < least) {
				least = v
			}
		}
	}
	return geom.MM(least)
}

// colours returns the colours that the stack gives layers of a kind, by its type in small letters.
func (j *jobFile) colours(kind string) []string {
	var out []string
	if j == nil {
		return nil
	}
	for _, m := range j.MaterialStackup {
		if strings.ToLower(m.Type) == kind && m.Color != "" {
			out = append(out, m.Color)
		}
	}
	return out
}

// readJob reads the job file, and takes the gap that it states for the limit where it is wider than the class's.
func (p *inspector) readJob() {
	for i, e := range p.pack.Files {
		if e.Kind != "job" || p.job != nil || i >= len(p.files) {
			continue
		}
		var j jobFile
		if json.Unmarshal(p.files[i].Data, &j) == nil { // what is no JSON was told when the pack was opened
			p.job, p.jobName = &j, e.Name
			p.rules.Clearance = max(p.rules.Clearance, j.gap())
		}
	}
}

// function returns a value of .FileFunction as one word for all writers: some spell functions otherwise in job files than in
// layers, as this program did once (SolderMask, SolderPaste, Profile alone).
func function(s string) string {
	s = strings.ToLower(strings.ReplaceAll(s, " ", ""))
	for _, r := range [][2]string{{"solderpaste", "paste"}, {"profile,np", "profile"}, {"profile,p", "profile"}} {
		s = strings.Replace(s, r[0], r[1], 1)
	}
	// Legend, masks, Plated and NonPlated may end in words that say more.
	switch f := strings.Split(s, ","); f[0] {
	case "plated", "nonplated":
		return f[0]
	case "copper", "component":
		return strings.Join(f[:min(3, len(f))], ",")
	default:
		return strings.Join(f[:min(2, len(f))], ",")
	}
}

// jobFile compares the job file with everything it tells of.
func (p *inspector) jobFile() {
	j := p.job
	if j == nil {
		if p.own {
			p.fail("inspect-no-job", "the pack has no job file").Fix("write the pack anew")
		}
		return
	}
	fail := func(code, format string, args ...any) {
		p.fail(code, format, args...).In(p.jobName, 0).Fix("job file and layers are of different boards or runs: write the pack anew")
	}
	listed := map[string]bool{}
	for _, f := range j.FilesAttributes {
		listed[f.Path] = true
		found := false
		for _, e := range p.pack.Files {
			if e.Name != f.Path && !strings.HasSuffix(e.Name, "/"+f.Path) {
				continue
			}
			found = true
			if e.Function != "" && f.FileFunction != "" && function(e.Function) != function(f.FileFunction) {
				fail("inspect-job-function", "the job file calls %s %s, the file calls itself %s", f.Path, f.FileFunction, e.Function)
			}
			if pol := polarity(e); pol != "" && f.FilePolarity != "" && !strings.EqualFold(pol, f.FilePolarity) {
				fail("inspect-job-polarity", "the job file calls %s %s, the file calls itself %s", f.Path, f.FilePolarity, pol)
			}
		}
		if !found {
			fail("inspect-file-missing", "the job file lists %s (%s), which is not in the pack", f.Path, f.FileFunction)
		}
	}
	if len(j.FilesAttributes) > 0 {
		for _, e := range p.pack.Files {
			if (e.Kind == "gerber" || e.Kind == "drill") && !listed[e.Name] && !listed[path.Base(e.Name)] {
				fail("inspect-file-unlisted", "%s is in the pack, but the job file does not list it", e.Name)
			}
		}
	}
	p.jobSpecs(fail)
	p.did("job file")
}

// polarity returns the polarity that a file gives itself; empty where it says nothing.
func polarity(e readback.Entry) string {
	for _, attrs := range [][][]string{e.Layer.FileAttributes, e.Drill.FileAttributes} {
		if v, _ := readback.Attribute(attrs, ".FilePolarity"); len(v) > 0 {
			return v[0]
		}
	}
	return ""
}

// jobSpecs compares size, layers, laminate, name and limits.
func (p *inspector) jobSpecs(fail func(code, format string, args ...any)) {
	s := p.job.GeneralSpecs
	// Some writers count the pen that draws the edge.
	tol := 250 * geom.Micrometre
	if p.own {
		tol = geom.Micrometre
	}
	if size := p.pack.Artwork.Size; s.Size.X > 0 && s.Size.X < 1e6 && s.Size.Y < 1e6 && !size.Empty() &&
		(far(geom.MM(s.Size.X), size.W(), tol) || far(geom.MM(s.Size.Y), size.H(), tol)) {
		fail("inspect-job-size", "the job file tells a board of %.2f x %.2f mm, the profile is %.2f x %.2f mm", s.Size.X, s.Size.Y, size.W().MM(), size.H().MM())
	}
	copper, inks, masks, pastes := 0, 0, 0, 0
	for _, l := range p.pack.Artwork.Layers {
		switch fn := l.Function; {
		case fn.Copper():
			copper++
		case fn == export.SoldermaskTop || fn == export.SoldermaskBottom:
			masks++
		case fn.Silkscreen():
			inks++
		case fn == export.PasteTop || fn == export.PasteBottom:
			pastes++
		}
	}
	for _, l := range p.pack.Others {
		if values, _ := readback.Attribute(l.FileAttributes, ".FileFunction"); len(values) > 0 && strings.HasPrefix(values[0], "Copper") {
			copper++
		}
	}
	if s.LayerNumber > 0 && s.LayerNumber != copper {
		fail("inspect-job-layers", "the job file tells of %d layers of copper, the pack has %d", s.LayerNumber, copper)
	}
	stack := map[string]int{}
	sum := 0.0
	for _, m := range p.job.MaterialStackup {
		stack[strings.ToLower(m.Type)]++
		sum += m.Thickness
	}
	if len(stack) > 0 {
		for _, c := range []struct {
			kind, what string
			have       int
		}{{"copper", "copper", copper}, {"soldermask", "soldermask", masks}, {"legend", "silkscreen", inks}, {"solderpaste", "paste", pastes}} {
			if stack[c.kind] != c.have && (p.own || stack[c.kind] > c.have) {
				fail("inspect-job-stack", "the job file's stack has %d layers of %s, the pack has %d", stack[c.kind], c.what, c.have)
			}
		}
	}
	if p.own && s.BoardThickness > 0 && (sum > s.BoardThickness+0.005 || sum < s.BoardThickness-0.005) {
		fail("inspect-job-thickness", "the job file tells a board %g mm thick, its stack is %.3f mm", s.BoardThickness, sum)
	}
	if narrowest := p.narrowest(); narrowest > 0 && len(p.job.DesignRules) > 0 {
		if w := p.job.DesignRules[0].MinLineWidth; w > 0 && w < 10 && narrowest < geom.MM(w)-geom.Micrometre {
			fail("inspect-job-width", "the job file tells of tracks no narrower than %g mm, the copper has one of %v", w, narrowest)
		}
	}
	if p.own {
		for _, r := range p.job.DesignRules {
			for _, v := range []float64{r.PadToTrack, r.TrackToTrack, r.TrackToRegion, r.RegionToRegion} {
				if v != r.PadToPad {
					fail("inspect-job-gap", "the job file states gaps of %g mm and of %g mm, boards of this program have one for all copper", r.PadToPad, v)
					break
				}
			}
		}
		p.projects(fail)
	}
}

// projects compares the names by which files belong to a project.
func (p *inspector) projects(fail func(code, format string, args ...any)) {
	id := p.job.GeneralSpecs.ProjectId
	check := func(attrs [][]string, file string) {
		if v, _ := readback.Attribute(attrs, ".ProjectId"); len(v) > 2 && (v[0] != id.Name || v[1] != id.GUID || v[2] != id.Revision) {
			fail("inspect-job-project", "the job file is of %s, revision %s, %s of %s, revision %s, or they are of different runs", id.Name, id.Revision, file, v[0], v[2])
		}
	}
	for _, l := range p.pack.Artwork.Layers {
		check(l.FileAttributes, "the layer "+l.Function.String())
	}
	for _, d := range p.pack.Artwork.Drills {
		check(d.FileAttributes, "a drill file")
	}
}

// narrowest returns the width of the narrowest line that copper is drawn with; 0: there is none.
func (p *inspector) narrowest() geom.Nm {
	least := geom.Nm(0)
	for _, l := range p.pack.Artwork.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if w := drawn(l, o); w > 0 && (least == 0 || w < least) {
				least = w
			}
		}
	}
	return least
}

// drawn returns the width of a draw, 0 of anything else.
func drawn(l export.Layer, o export.Object) geom.Nm {
	if o.Op != export.Draw || o.Clear {
		return 0
	}
	return l.Apertures[o.Aperture].W
}
