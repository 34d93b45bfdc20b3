package paper

import (
	"fmt"
	"html/template"
	"strings"

	"lampblack/export/table"
)

// Head is how each page for a browser begins, up to its title: it may load nothing, and run nothing.
const Head = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
`

// Class is the name that Style has for how a column's cells are set.
func Class(s table.Set) string {
	switch s {
	case table.Left:
		return "l"
	case table.Broken:
		return "w"
	}
	return "r"
}

// Edges is what stands at the edges of each page that a browser prints: whose it is, its revision and date, and the pages' numbers. Browsers
// that know no margin boxes (CSS Paged Media Module Level 3) leave them out.
func Edges(title, revision, date string) template.CSS {
	about := strings.Join(told("revision ", revision, "", date), ", ")
	return template.CSS(`@page{@top-left{content:` + quoted(title) + `;font:7pt sans-serif}@top-right{content:` + quoted(about) +
		`;font:7pt sans-serif}@bottom-right{content:"page " counter(page) " of " counter(pages);font:7pt sans-serif}}` + "\n")
}

// quoted is a text as a string of CSS: what is neither letter nor digit of ASCII stands by its number.
func quoted(s string) string {
	var b strings.Builder
	for _, r := range s {
		if r < 0x80 && (r == ' ' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z') {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "\\%x ", max(r, 1)) // the space ends the number, and is no part of the text
		}
	}
	return `"` + b.String() + `"`
}

// Style is what all pages for a browser share: soot, paper and the amber of the lamps; tables and pictures; and how they print.
const Style = `
:root{--paper:#faf7f0;--card:#fffdf8;--ink:#2c2825;--soft:#6b625a;--line:#ddd5c8;--amber:#8a5208;--bad:#a12a1e;--warn:#875200;--note:#3f6170;--good:#3c6a35}
@media (prefers-color-scheme:dark){:root{--paper:#171310;--card:#201b17;--ink:#ebe3d8;--soft:#a99d90;--line:#3a322b;--amber:#eab268;--bad:#f08a7a;--warn:#e8b45c;--note:#93bccd;--good:#97c98c}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:72rem;padding:1.5rem clamp(1rem,4vw,3rem) 4rem;background:var(--paper);color:var(--ink);font:1rem/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Noto Sans","Liberation Sans",sans-serif;overflow-wrap:anywhere}
a{color:var(--amber);text-underline-offset:.15em}
a:focus-visible,[tabindex]:focus-visible,summary:focus-visible{outline:2px solid var(--amber);outline-offset:2px}
h1{font-size:clamp(1.8rem,5vw,2.6rem);line-height:1.15;margin:0;font-weight:650;letter-spacing:-.015em}
h2{font-size:1.5rem;line-height:1.25;margin:0 0 1rem;font-weight:650;letter-spacing:-.01em}
h3{font-size:1.05rem;margin:1.5rem 0 .5rem}
small{font-size:.85rem;font-weight:400;color:var(--soft);letter-spacing:0}
p{margin:.25rem 0}
code{font:.85em ui-monospace,"Cascadia Mono",Menlo,"DejaVu Sans Mono",monospace}
.kicker{color:var(--amber);font-size:.9rem;margin:0 0 .35rem}
.summary{color:var(--soft);margin:.35rem 0 1.25rem}
section{margin:0;padding:2.25rem 0 0}
figure{margin:0}
img{display:block;width:100%;height:auto;border-radius:4px}
figcaption{font-size:.85rem;color:var(--soft);margin:.4rem 0 0}
nav{margin:1.25rem 0 0;border-bottom:1px solid var(--line);padding-bottom:1rem}
nav ul{list-style:none;display:flex;flex-wrap:wrap;gap:.3rem 1.2rem;margin:0;padding:0}
.scroll{overflow-x:auto;margin:0 0 1.5rem}
table{border-collapse:collapse;width:100%;font-size:.9rem;font-variant-numeric:tabular-nums;overflow-wrap:normal}
caption{text-align:left;font-weight:650;font-size:1.05rem;padding:0 0 .4rem}
caption span{display:block;position:sticky;left:0;max-width:min(46rem,calc(100vw - 2*clamp(1rem,4vw,3rem) - 1rem));font-weight:400;font-size:.85rem;color:var(--soft)}
th,td{padding:.32rem .7rem;border-bottom:1px solid var(--line);vertical-align:top}
th:first-child,td:first-child{padding-left:0}th:last-child,td:last-child{padding-right:0}
thead th{font-weight:500;color:var(--soft);vertical-align:bottom;border-bottom-color:var(--soft);font-size:.85rem}
tbody th{font-weight:600}
.l,.w{text-align:left}.r{text-align:right}
tbody .l,tbody .r{white-space:nowrap}
tbody .w{min-width:15rem}
ol li,ul li{margin:.2rem 0}
@page{margin:14mm 12mm}
@media print{
:root{--paper:#fff;--card:#fff;--ink:#000;--soft:#444;--line:#bbb;--amber:#000;--bad:#8a1c12;--warn:#6b4200;--note:#2d4a57;--good:#2b5225}
html{font-size:8.5pt}body{max-width:none;padding:0;line-height:1.35}
nav{display:none}
a{text-decoration:none}
section{padding-top:5mm}
h2{font-size:14pt;margin-bottom:2mm;break-after:avoid}h3,caption{font-size:9.5pt;break-after:avoid}
figure,tr{break-inside:avoid}
.scroll{overflow:visible;margin-bottom:3mm}.short,caption{break-inside:avoid}
table{font-size:7.5pt;line-height:1.15}tbody .w{min-width:24mm}tbody .l{white-space:normal}th,td{padding:.3mm 1.5mm}thead{break-after:avoid}
thead th,figcaption,small{font-size:7pt}
}
`
