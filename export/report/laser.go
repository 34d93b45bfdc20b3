package report

import (
	"html/template"

	"lampblack/export/paper"
	"lampblack/export/table"
	"lampblack/panel/work"
)

// Laser is all that laser.html tells: what is cut, in which order, and what to mind. It knows no machine: speeds and powers are
// those of whoever owns it.
type Laser struct {
	Name, Revision, Date, Version string
	Front, Behind                 bool // faces that are painted on their front, on their back
	Kerf                          string
	Kerfless                      bool // the sheets allow for none
	Tables                        []table.Table
	Trials                        []Picture
	Nests                         []Picture
	Panels                        []Picture // the sheets of each
}

// Chapter is a heading and what to do, in order.
type Chapter struct {
	Title string
	Steps []string
}

// Cautions is what whoever stands at the laser must mind; common practice.
func (l Laser) Cautions() []string {
	return []string{
		"The fumes of acrylic are harmful: extract them to the outside or through a filter made for them, and keep the extraction on until the last cut has cooled.",
		"Acrylic burns, with a flame that is hard to see: never leave the laser alone, keep its bed free of scraps, use the air jet, and have an extinguisher at hand.",
		"Never cut or engrave PVC or vinyl, nor films or tapes made of them: they give off chlorine and hydrogen chloride, which harm lungs and machine. " +
			"What you cannot name, do not cut.",
		"Keep the lid and its interlock closed while the beam is on; eyes behind glasses are safe only from the wavelength that these are made for.",
		"Let paint dry as long as its maker says before it goes under the beam: its solvent burns. Spray outdoors or with extraction, with a mask.",
		"Follow your machine's manual and the rules of your workshop and country; where they differ from this page, they are right.",
	}
}

// Chapters are the order of work; common practice.
func (l Laser) Chapters() []Chapter {
	trials := Chapter{"First, two trial pieces", []string{
		"Cut test-kerf.svg (or .dxf) from each sheet that you will cut, on its lines: switch off any allowance for the cut's width. Push its small pieces together to " +
			"the side that says so and read where the last one ends, in tenths of a millimetre: that is the width of the cut. Write it into lampblack.yaml as kerf: 0.2 mm, " +
			"and build again: the sheets then come out as drawn.",
		"Paint a scrap like the face and engrave test-engraving.svg. The thinnest line that shines evenly along its whole length is the least that your laser makes: write " +
			"one that you like as engraving: {width: 0.3 mm}, which is for drawn lines that have no width. Paint that is left between two fields shows how near letters' " +
			"strokes may come; the smallest capitals that you can read at arm's length are the smallest to draw.",
		"Hold its large field before a lit LED, half a hand away. If you see the LED's shape through it the engraving is clear, if only an even glow, frosted: write " +
			"engraving: {finish: clear} or {finish: frosted}, for which the light is then told.",
	}}
	face := Chapter{"The face", nil}
	if l.Front {
		face.Steps = append(face.Steps,
			"Painted on its front: take the film off the front only, clean it with soapy water, paint it matt black until no lamp shines through, and let it dry. The film on "+
				"the back stays until the end.",
			"Lay it with the paint up. sheet-face is drawn from the front, as it then lies.")
	}
	if l.Behind {
		face.Steps = append(face.Steps,
			"Painted on its back: the film of the front stays on, the back is painted matt black until no lamp shines through, and dries. Lay it with the painted back up: its "+
				"sheet-face is drawn from behind, so that the lettering reads in a mirror. It is right so; do not turn it over again in your laser's program.")
	}
	face.Steps = append(face.Steps,
		"Engrave first (1-engrave): only as deep as the paint is, so that the acrylic beneath stays as your trial piece was. Then the cuts within it (2-cut-inner), and the "+
			"outer cut last (3-cut-outer), since a sheet that is cut out lies loose.",
		"Where smoke stains the paint round the cuts, cover it with paper masking tape after engraving and before cutting; no vinyl.",
		"Wash it with soapy water and a soft cloth. No alcohol, thinner or window cleaner: fresh edges of acrylic crack from them.")
	return []Chapter{
		trials, face,
		{"Diffuser and LED sheet", []string{
			"Leave the film on both sides. Cut what lies within first, then round them. They are drawn from the front; cut from either side they fit, but a panel that is not its own mirror " +
				"image must then lie as the file has it.",
			"Try an LED in a hole before you take the sheet out of the machine: it should go in by hand. Too tight or too loose: the kerf in lampblack.yaml is not your laser's.",
		}},
		{"Putting them together", []string{
			"Peel off what film is left. From the front: face, diffuser, front spacers, LED sheet, rear spacers or the spacer sheet, board with its LEDs toward the front; the table of " +
				"screws and spacers below has their lengths.",
			"Tighten by hand only, with a washer under each nut: acrylic cracks where it is pressed, often a day later.",
		}},
	}
}

// LaserHTML returns laser.html: one page that needs no network and no script.
func LaserHTML(w *work.Watch, l Laser) []byte {
	return rendered(w, laserTemplate, struct {
		Laser
		Style template.CSS
	}{l, paper.Edges(l.Name+": at the laser", l.Revision, l.Date) + pageStyle})
}

// laserTemplate is laser.html.
const laserTemplate = paper.Head + `<title>{{.Name}}: at the laser</title>
<style>{{.Style}}</style>
</head>
<body>
<header>
<p class="kicker">At the laser{{with .Revision}}, revision {{.}}{{end}}{{with .Date}}, {{.}}{{end}}</p>
<h1>{{.Name}}</h1>
<p class="summary">{{if .Kerfless}}The sheets are drawn as they are to be: they allow for no width of the cut. Have your laser's program allow for it, or set kerf.{{else}}The sheets allow for a cut {{.Kerf}} wide: do not let your laser's program allow for it again.{{end}} This page names no power and no speed: they are your machine's.</p>
</header>
<main>
<section aria-labelledby="h-mind">
<h2 id="h-mind">Mind</h2>
<ul>
{{range .Cautions}}<li>{{.}}</li>
{{end}}</ul>
</section>
{{range $i, $c := .Chapters}}<section aria-labelledby="h-{{$i}}">
<h2 id="h-{{$i}}">{{.Title}}</h2>
<ol>
{{range .Steps}}<li>{{.}}</li>
{{end}}</ol>
{{if not $i}}<div class="trials">
{{range $.Trials}}{{template "picture" .}}{{end}}</div>
{{end}}</section>
{{end}}<section aria-labelledby="h-sheets">
<h2 id="h-sheets">What to cut</h2>
{{range .Nests}}<div class="nest">{{template "picture" .}}</div>
{{end}}<div class="sheetlist">
{{range .Panels}}{{template "picture" .}}{{end}}</div>
{{range .Tables}}{{template "table" .}}{{end}}
</section>
</main>
<footer><p>Made by Lampblack{{with .Version}} {{.}}{{end}}. All lengths in mm.</p></footer>
</body>
</html>
`
