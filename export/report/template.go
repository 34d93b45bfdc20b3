package report

import "lampblack/export/paper"

// pageTemplate is report.html.
const pageTemplate = paper.Head + `<title>{{.Name}}: report</title>
<style>{{.Style}}</style>
</head>
<body>
<header>
<p class="kicker">Lampblack build report{{with .Revision}}, revision {{.}}{{end}}{{with .Date}}, {{.}}{{end}}</p>
<h1>{{.Name}}</h1>
<p class="summary">{{.Summary}}</p>
{{with .Verdict}}{{if .Sentence}}<p class="verdict {{.Word}}"><span class="word">Supply {{.Word}}</span> {{.Sentence}}</p>
{{end}}{{end}}{{with .Picture}}{{if .Data}}{{template "picture" .}}{{end}}{{end -}}
<nav aria-label="Contents"><ul>
<li><a href="#findings">Findings</a> <span class="count">{{len .Findings}}</span></li>
{{if .Unbuilt}}<li><a href="#unbuilt">Not built</a> <span class="count">{{len .Unbuilt}}</span></li>
{{end}}{{if .Wiring.Data}}<li><a href="#wiring">Wiring</a></li>
{{end}}{{if .Supply}}<li><a href="#supply">Supply</a></li>
{{end}}{{if .Bright}}<li><a href="#bright">Brightness</a></li>
{{end}}<li><a href="#lists">Parts and files</a></li>
{{range $i, $p := .Panels}}<li class="panel"><a href="#panel-{{$i}}">{{.Name}}</a></li>
{{end}}{{if .Nests.Table.Rows}}<li><a href="#nests">Stock</a></li>
{{end}}{{if .Arrays}}<li><a href="#arrays">Arrays</a></li>
{{end}}{{if .Cost}}<li><a href="#cost">Time and cost</a></li>
{{end}}<li><a href="#cautions">Before you start</a></li>
</ul></nav>
</header>
<main>
<section id="findings" aria-labelledby="h-findings">
<h2 id="h-findings">Findings</h2>
{{if .Findings}}<ol class="findings">
{{range .Findings}}<li class="{{.Severity}}"><p class="what">{{with .Number}}<b class="mark">{{.}}</b> {{end}}<b class="tag">{{.Severity}}</b>{{with .Panel}} <span class="of">{{.}}:</span>{{end}} {{.Text}}</p>
{{if .Places}}{{template "places" .First}}{{with .Rest}}<details><summary>{{len .}} more</summary>
{{template "places" .}}</details>
{{end}}{{end}}{{with .Advice}}<p class="advice"><b>Do:</b> {{.}}</p>
{{end}}{{range .Related}}<p class="place">{{.}}</p>
{{end}}<p class="place">{{with .Place}}{{.}} · {{end}}<code>{{.Code}}</code></p></li>
{{end}}</ol>{{else}}<p>None: nothing was healed, skipped or left to be decided.</p>{{end}}
</section>
{{if .Unbuilt}}<section id="unbuilt" aria-labelledby="h-unbuilt">
<h2 id="h-unbuilt">Panels that were not built</h2>
<ul class="unbuilt">
{{range .Unbuilt}}<li><h3>{{.Name}}{{with .Drawing}} <small>{{.}}</small>{{end}}</h3><p>{{.Reason}}</p>{{with .Advice}}<p class="advice"><b>Do:</b> {{.}}</p>{{end}}{{with .Marked}}{{if .Data}}<div class="marks">{{template "picture" .}}</div>{{end}}{{end}}{{range .Open}}<div class="marks">{{template "picture" .}}</div>{{end}}</li>
{{end}}</ul>
</section>
{{end}}{{if .Wiring.Data}}<section id="wiring" aria-labelledby="h-wiring">
<h2 id="h-wiring">Wiring</h2>
<div class="diagram">{{template "picture" .Wiring}}</div>
</section>
{{end}}{{if .Supply}}<section id="supply" aria-labelledby="h-supply">
<h2 id="h-supply">Supply and chain</h2>
{{range .Supply}}{{template "table" .}}{{end -}}
</section>
{{end}}{{if .Bright}}<section id="bright" aria-labelledby="h-bright">
<h2 id="h-bright">Brightness and dimming</h2>
{{range .Bright}}{{template "table" .}}{{end -}}
</section>
{{end}}<section id="lists" aria-labelledby="h-lists">
<h2 id="h-lists">Parts and files of the console</h2>
{{range .Lists}}{{template "table" .}}{{end -}}
<h3>Files</h3>
{{template "files" .Files}}
</section>
{{range $i, $p := .Panels}}<section class="panel" id="panel-{{$i}}" aria-labelledby="h-panel-{{$i}}">
<h2 id="h-panel-{{$i}}">{{.Name}} <small>{{.Drawing}}</small></h2>
<div class="lit">
{{with .Glow}}{{if .Data}}{{template "picture" .}}{{end}}{{end}}{{template "facts" .Facts}}</div>
{{with .Marked}}{{if .Data}}<div class="marks">{{template "picture" .}}</div>{{end}}{{end}}<div class="boards">
{{range .Boards}}{{template "picture" .}}{{end}}</div>
{{if .Sheets}}<div class="sheets">
{{range .Sheets}}{{template "picture" .}}{{end}}</div>
{{end}}{{range .Tables}}{{template "table" .}}{{end -}}
<div class="filebox"><h3>Files</h3>
{{template "files" .Files}}{{template "pack" .Pack}}</div>
</section>
{{end}}{{if .Nests.Table.Rows}}<section id="nests" aria-labelledby="h-nests">
<h2 id="h-nests">Sheets on stock</h2>
{{template "table" .Nests.Table}}{{if .Nests.Picture.Data}}<div class="stock">{{template "picture" .Nests.Picture}}</div>{{end}}
{{template "files" .Nests.Files}}</section>
{{end}}{{if .Arrays}}<section id="arrays" aria-labelledby="h-arrays">
<h2 id="h-arrays">Boards ordered on one panel</h2>
{{range $a := .Arrays}}<h3>{{.Name}}</h3>
{{with .Picture}}{{if .Data}}<div class="lit">{{template "picture" .}}{{template "facts" $a.Facts}}</div>{{end}}{{end}}
{{template "files" .Files}}{{template "pack" .Pack}}{{end -}}
</section>
{{end}}{{if .Cost}}<section id="cost" aria-labelledby="h-cost">
<h2 id="h-cost">Time and cost</h2>
{{range .Cost}}{{template "table" .}}{{end}}{{if .Priced.Rows}}<details><summary>Every line with its price</summary>
{{template "table" .Priced}}</details>
{{end}}</section>
{{end}}<section id="cautions" aria-labelledby="h-cautions">
<h2 id="h-cautions">Before you order and wire it</h2>
<ul>
{{range .Cautions}}<li>{{.}}</li>
{{end}}</ul>
</section>
</main>
<footer><p>Made by Lampblack{{with .Version}} {{.}}{{end}}. All lengths in mm, boards seen as their captions say. <a href="result.json">result.json</a> holds all of this for programs.</p></footer>
</body>
</html>
`

// sharedTemplate is what all pages have of.
const sharedTemplate = `{{define "places"}}<ul class="places">
{{range .}}<li>{{.Text}}{{with .Place}} <small>{{.}}</small>{{end}}{{with .Advice}} <b>Do:</b> {{.}}{{end}}{{range .Related}} <small>{{.}}</small>{{end}}</li>
{{end}}</ul>
{{end}}{{define "picture"}}<figure>{{if .Inside}}<img {{source .}} alt="{{.Alt}}">{{else}}<a href="{{.Link}}"><img {{source .}} alt="{{.Alt}}"></a>{{end}}{{with .Caption}}<figcaption>{{.}}</figcaption>{{end}}</figure>
{{end}}{{define "table"}}{{if .Rows}}{{$t := .}}<div class="scroll{{if short .Rows}} short{{end}}" tabindex="0" role="group" aria-label="{{.Title}}"><table>
<caption>{{.Title}}{{with .Reading}}<span>{{.}}</span>{{end}}</caption>
<thead><tr>{{range .Columns}}<th scope="col" class="{{class .Set}}">{{.Heading ", "}}</th>{{end}}</tr></thead>
<tbody>
{{range .Rows}}<tr>{{range $i, $c := .}}{{$set := (index $t.Columns $i).Set}}{{if $i}}<td class="{{class $set}}">{{$c}}</td>{{else}}<th scope="row" class="{{class $set}}">{{$c}}</th>{{end}}{{end}}</tr>
{{end}}</tbody>
</table></div>
{{end}}{{end}}{{define "facts"}}{{if .}}<dl class="facts">
{{range .}}<div><dt>{{.Name}}</dt><dd>{{.Value}}{{with .Aside}} <small>{{.}}</small>{{end}}</dd></div>
{{end}}</dl>{{end}}{{end}}{{define "files"}}{{if .}}<ul class="files">
{{range .}}<li><a href="{{.Link}}">{{.Name}}</a>{{with .What}} <span>{{.}}</span>{{end}}</li>
{{end}}</ul>{{end}}{{end}}{{define "pack"}}{{if .}}<details><summary>What is in the pack for the board house: {{len .}} files</summary>
{{template "files" .}}</details>{{end}}{{end}}`

// pageStyle is the style of this package's pages, beyond what papers have too. Severities are told in words as well as in colour.
const pageStyle = paper.Style + `
h2 small{font-size:.95rem}
.verdict{font-size:1.15rem;background:var(--card);border:1px solid var(--line);border-left:5px solid var(--good);border-radius:4px;padding:.8rem 1.1rem;margin:0 0 1.25rem}
.verdict .word{display:inline-block;font-weight:650;color:var(--good);margin-right:.4em}
.verdict.tight{border-left-color:var(--warn)}.verdict.tight .word{color:var(--warn)}
.verdict.over,.verdict.none{border-left-color:var(--bad)}.verdict.over .word,.verdict.none .word{color:var(--bad)}
section.panel{border-top:1px solid var(--line);margin-top:2.75rem}
figure a{display:block}
.count{color:var(--soft);font-size:.85rem}
.findings,.unbuilt{list-style:none;margin:0;padding:0;display:grid;gap:.7rem}
.findings>li,.unbuilt li{background:var(--card);border:1px solid var(--line);border-left:5px solid var(--note);border-radius:4px;padding:.6rem 1rem}
.findings .error,.unbuilt li{border-left-color:var(--bad)}.findings .warning{border-left-color:var(--warn)}
.places{margin:.3rem 0;padding-left:1.2rem;font-size:.92rem}
.mark{display:inline-block;min-width:1.6em;text-align:center;border:1.5px solid;border-radius:1em;padding:0 .3em;line-height:1.5;font-size:.9rem}
.marks{max-width:44rem;margin:.8rem 0 1.75rem}
.tag{color:var(--note)}.error .tag{color:var(--bad)}.warning .tag{color:var(--warn)}
.unbuilt h3{margin:0 0 .2rem}
.of{font-weight:600}
.place{font-size:.85rem;color:var(--soft)}
.diagram img{max-width:58rem}
.stock{max-width:58rem;margin:0 0 1rem}
.stock a{background:#fff;border:1px solid var(--line);border-radius:4px}
.lit{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,21rem);gap:1.5rem 2rem;margin:0 0 1.75rem;align-items:start}
.boards{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));grid-template-rows:auto 1fr;gap:1.25rem 2rem;margin:0 0 1.75rem;align-items:start}
.boards figure:nth-child(3){grid-column:2;grid-row:1/span 2}
.boards figure:nth-child(3) img{max-height:56rem;object-fit:contain;object-position:left top}
.sheets{display:grid;grid-template-columns:repeat(4,minmax(0,1fr));gap:1.25rem 1.5rem;margin:0 0 1.75rem;align-items:start}
.sheets a{background:#fff;border:1px solid var(--line);border-radius:4px}
.sheets img{max-height:16rem;object-fit:contain}
.trials,.sheetlist{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:1.25rem 2rem;margin:1.25rem 0;align-items:start}
.trials a,.sheetlist a,.nest a{background:#fff;border:1px solid var(--line);border-radius:4px}
.trials img,.sheetlist img{max-height:30rem;object-fit:contain;object-position:left top}
.nest{margin:0 0 1.5rem}
.facts{display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:1rem 1.5rem;margin:0}
.facts div{border-top:2px solid var(--line);padding-top:.4rem}
.facts dt{font-size:.85rem;color:var(--soft)}
.facts dd{margin:0;font-size:1.15rem;font-weight:600;line-height:1.35;font-variant-numeric:tabular-nums}
.facts dd small{display:block;line-height:1.35}
.files{list-style:none;margin:.3rem 0;padding:0;columns:22rem;column-gap:2rem;font-size:.92rem}
.files li{break-inside:avoid;padding:.12rem 0}
.files span{color:var(--soft)}
details{margin:.5rem 0 0}
summary{cursor:pointer;font-size:.92rem}
#cautions{border-top:1px solid var(--line);margin-top:2.75rem}
#cautions ul{margin:0;padding-left:1.2rem}
footer{margin-top:2.5rem;font-size:.85rem;color:var(--soft)}
@media (max-width:52rem){.lit,.boards{grid-template-columns:minmax(0,1fr);grid-template-rows:none}.boards figure:nth-child(3){grid-column:auto;grid-row:auto}.sheets{grid-template-columns:repeat(2,minmax(0,1fr))}.trials,.sheetlist{grid-template-columns:minmax(0,1fr)}}
@media print{
.filebox,details{display:none}
section.panel{border:0;margin:0;padding:0}
section.panel,#arrays{break-before:page}
#cautions{break-inside:avoid;margin-top:6mm}
.verdict{font-size:10.5pt}
.findings>li{break-inside:avoid}
header img{max-height:150mm;object-fit:contain}
.diagram img{max-width:100%}
.facts dt,.place{font-size:7pt}
.lit{grid-template-columns:1fr 62mm;gap:4mm;margin-bottom:4mm}
.lit img{max-height:48mm;object-fit:contain;object-position:left top}
.boards{grid-template-columns:repeat(3,minmax(0,1fr));grid-template-rows:none;gap:3mm 4mm;margin-bottom:3mm}
.boards figure:nth-child(3){grid-column:auto;grid-row:auto}
.boards img,.boards figure:nth-child(3) img{max-height:48mm;object-fit:contain;object-position:left top}
.sheets{grid-template-columns:repeat(4,minmax(0,1fr));gap:3mm 4mm;margin-bottom:3mm}.sheets img{max-height:34mm}
.trials{grid-template-columns:repeat(2,minmax(0,1fr))}.sheetlist{grid-template-columns:repeat(3,minmax(0,1fr));gap:4mm}.trials img,.sheetlist img{max-height:80mm}
.nest img{max-height:100mm;object-fit:contain;object-position:left top}
.facts{gap:2mm 3mm}.facts div{border-top-width:.3mm;padding-top:.5mm}
.facts dd{font-size:9pt}
}
`
