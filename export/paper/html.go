package paper

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html/template"
	"strings"

	"lampblack/export/scene"
	"lampblack/export/scene/svg"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// HTML returns the paper as one page that needs no network, no script and no other file. Texts are escaped by where they stand.
func HTML(w *work.Watch, p Paper) []byte {
	type chapter struct {
		ID, Title string
		Fresh     bool
		Blocks    []any
	}
	chapters := []chapter{{}}
	for _, b := range p.Blocks {
		if c, ok := b.(Chapter); ok {
			chapters = append(chapters, chapter{ID: fmt.Sprintf("c%d", len(chapters)), Title: c.Title, Fresh: c.Fresh})
			continue
		}
		last := &chapters[len(chapters)-1]
		last.Blocks = append(last.Blocks, b)
	}
	picture := func(f Figure) template.HTMLAttr {
		data := base64.StdEncoding.EncodeToString(svg.Encode(w, f.Page))
		return template.HTMLAttr(`src="data:image/svg+xml;base64,` + data + `"`)
	}
	t := template.Must(template.New("paper").Funcs(template.FuncMap{
		"kind":    func(b any) string { return strings.ToLower(strings.TrimPrefix(fmt.Sprintf("%T", b), "paper.")) },
		"class":   Class,
		"picture": picture,
		"wide": func(f Figure) template.CSS {
			k := 3.2 // on a screen, times its own size
			if f.Most > 0 {
				k = min(k, 1.6*f.Most)
			}
			return template.CSS(scene.Decimal(geom.Nm(float64(f.Page.W)*k), geom.Millimetre) + "mm")
		},
	}).Parse(page))
	var out bytes.Buffer
	if err := t.Execute(&out, struct {
		Paper
		About    string
		Style    template.CSS
		Chapters []chapter
	}{p, strings.Join(told("revision ", p.Revision, "", p.Date, "made by Lampblack ", p.Version), ", "), Edges(p.Title(), p.Revision, p.Date) + Style + own, chapters}); err != nil {
		panic("export/paper: " + err.Error()) // the template is ours and its values are plain
	}
	return bytes.ToValidUTF8(out.Bytes(), []byte("\uFFFD"))
}

const page = Head + `<title>{{.Title}}</title>
<style>{{.Style}}</style>
</head>
<body>
<header>
<p class="kicker">{{.Kind}}</p>
<h1>{{.Name}}</h1>
<p class="summary">{{.About}}</p>
{{with .Summary}}<p>{{.}}</p>
{{end}}<nav aria-label="Contents"><ul>
{{range .Chapters}}{{if .Title}}<li><a href="#{{.ID}}">{{.Title}}</a></li>
{{end}}{{end}}</ul></nav>
</header>
<main>
{{range .Chapters}}{{if or .Title .Blocks}}<section{{if .Fresh}} class="fresh"{{end}}{{with .ID}} id="{{.}}"{{end}}>
{{with .Title}}<h2>{{.}}</h2>
{{end}}{{range .Blocks}}{{$k := kind .}}{{if eq $k "section"}}<h3>{{.}}</h3>
{{else if eq $k "text"}}<p>{{.}}</p>
{{else if eq $k "points"}}<ul>
{{range .}}<li>{{.}}</li>
{{end}}</ul>
{{else if eq $k "steps"}}<ol>
{{range .}}<li>{{.}}</li>
{{end}}</ol>
{{else if eq $k "mind"}}<ul class="mind">
{{range .}}<li>{{.}}</li>
{{end}}</ul>
{{else if eq $k "figures"}}<div class="figures">
{{range .}}<figure style="max-width:{{wide .}}"><img {{picture .}} alt="{{.Alt}}">{{with .Caption}}<figcaption>{{.}}</figcaption>{{end}}</figure>
{{end}}</div>
{{else if eq $k "grid"}}{{if .Rows}}{{$g := .}}<div class="scroll" tabindex="0" role="group" aria-label="{{if .Title}}{{.Title}}{{else}}table{{end}}"><table>
{{if or .Title .Reading}}<caption>{{.Title}}{{with .Reading}}<span>{{.}}</span>{{end}}</caption>
{{end}}<thead><tr>{{if .Tick}}<th scope="col" class="l">done</th>{{end}}{{range .Columns}}<th scope="col" class="{{class .Set}}">{{.Heading ", "}}</th>{{end}}{{with .Write}}<th scope="col" class="l">{{.}}</th>{{end}}</tr></thead>
<tbody>
{{range $n, $row := .Rows}}<tr>{{if $g.Tick}}<td class="l"><input type="checkbox" aria-label="done: {{index $row 0}}"></td>{{end}}{{range $i, $c := $row}}<td class="{{class (index $g.Columns $i).Set}}">{{$c}}</td>{{end}}{{with $g.Write}}<td class="l"><input type="text" size="8" aria-label="{{.}}: {{index $row 0}}"></td>{{end}}</tr>
{{end}}</tbody>
</table></div>
{{end}}{{end}}{{end}}</section>
{{end}}{{end}}</main>
</body>
</html>
`

// own is what papers have besides Style.
const own = `
.mind{list-style:none;padding:.6rem 1rem;margin:1rem 0;border:solid var(--ink);border-width:0 .35rem;background:var(--card)}
.mind li+li{margin-top:.4rem}
.figures{display:flex;flex-wrap:wrap;gap:1.25rem 2rem;margin:1rem 0}
.figures figure{flex:1 1 18rem}
.figures img{background:#fff;border:1px solid var(--line)}
main p{max-width:46rem}ol,ul{max-width:48rem}
input[type=checkbox]{width:1.5rem;height:1.5rem;margin:0;accent-color:var(--amber)}
input[type=text]{font:inherit;min-height:1.6rem;background:var(--card);color:var(--ink);border:1px solid var(--soft);border-radius:3px;padding:.1rem .3rem}
@media print{.fresh{break-before:page}input[type=text]{border:0;border-bottom:1px solid #000;border-radius:0}}
`
