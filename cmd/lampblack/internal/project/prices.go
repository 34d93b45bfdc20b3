package project

import (
	"errors"
	"fmt"
	"math/big"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/export/cost"
	"lampblack/panel/diag"
)

// PriceList is what findings and help call the file of the user's own prices.
const PriceList = "prices.yaml"

// priceWords are what the reader calls such a file.
const priceWords = "price list"

// Bounds of a price list.
const (
	mostBreaks   = 20
	mostDecimals = 6
)

// priceKeys are the keys of a price list.
func priceKeys() mapping[cost.Prices] {
	return mapping[cost.Prices]{keys: []key[cost.Prices]{
		{name: "currency", is: bind(currency(), func(p *cost.Prices) *string { return &p.Currency }),
			help: "what all prices are in, as it is to be written", usual: "not told", eg: []string{"crowns"}},
		{name: "decimals", is: bind(counts(0, mostDecimals), func(p *cost.Prices) *int { return &p.Decimals }),
			help: "of sums: they are rounded once, where they are written", usual: "2", eg: []string{"2"}},
		{name: "labour", is: bind(amounts(), func(p *cost.Prices) **big.Rat { return &p.Labour }),
			help: "one hour of work by hand", usual: "not told", eg: []string{"240", "0"}},
		{name: "laser", is: bind(amounts(), func(p *cost.Prices) **big.Rat { return &p.Laser }),
			help: "one minute of the laser", usual: "not told", eg: []string{"6"}},
		{name: "parts", is: bind(namedPrices{}, func(p *cost.Prices) *[]cost.Named { return &p.Parts }),
			help: "one of each part, of wire one metre, by a value, a package, a part and its value as `parts.csv` has them, or your own `number`; the closest name holds", usual: "the prices under `parts` of the project", eg: []string{"{red-3mm: 0.9, resistor: {1: 0.2, 100: 0.12}}"}},
		{name: "boards", is: bind(boardPriceKeys(), func(p *cost.Prices) *cost.Prices { return p }), help: "what the board house takes", usual: "not told", eg: []string{"{area: 4, order: 90}"}},
		{name: "sheets", is: bind(sheetPrices{}, func(p *cost.Prices) *[]cost.SheetPrice { return &p.Sheets }),
			help: "acrylic, by what it is for: `" + strings.Join(sheetKinds(), "`, `") + "`; each is the price of a sheet of `stock`, or keys: `sheet`, and `area` of one dm² where none is in stock, whose breaks go by the dm² of all pieces of the kind, as `{sheet: 110, area: 5}`", usual: "not told", eg: []string{"{face: 140, diffuser: {area: {1: 6, 20: 4}}}"}},
	}}
}

func boardPriceKeys() mapping[cost.Prices] {
	return mapping[cost.Prices]{keys: []key[cost.Prices]{
		{name: "area", is: bind(breaks{}, func(p *cost.Prices) *cost.Breaks { return &p.Area }),
			help: "one dm² (100 x 100 mm) of a board's or an array's outer size; breaks go by how many of it are ordered", usual: "not told", eg: []string{"4", "{1: 4, 10: 2.5}"}},
		{name: "order", is: bind(amounts(), func(p *cost.Prices) **big.Rat { return &p.Order }),
			help: "each different board or array that is ordered, beside its area", usual: "not told", eg: []string{"90"}},
	}}
}

// ReadPrices reads a price list's bytes; file is its name for findings. Prices are meaningful only without an Error finding.
func ReadPrices(src []byte, file string) (cost.Prices, diag.List) {
	p := cost.Prices{File: file, Decimals: 2}
	text, _ := decoded(src[:min(len(src), 2*maxBytes+8)])
	r := newReader(plainLines(text), file, map[string]diag.Place{})
	r.what, r.described = priceWords, func() []Row { return priceKeys().rows("") }
	root := r.parse(plainLines(text))
	if root == nil {
		if len(r.diags) == 0 {
			r.diags.Add(diag.Error, "project-empty", "the price list is empty").In(file, 0).Fix("write prices, as parts: {red-3mm: 0.9}, or take prices out of the project")
		}
		return p, r.diags
	}
	priceKeys().read(r, root, spot{}, &p)
	return p, r.diags
}

// PriceFile returns where the price list lies that the project names; empty: it names none.
func (p Project) PriceFile() string {
	if p.Prices == "" {
		return ""
	}
	return p.beside(p.Prices)
}

// Beside returns where the files lie that the project names but for its drawings, each once, in the order of their names.
func (p Project) Beside() []string {
	out := p.FontFiles()
	if p.Prices != "" {
		out = append(out, p.PriceFile())
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// PriceSchema returns the JSON Schema of a price list, as JSONSchema does that of a project.
func PriceSchema() []byte { return encoded(priceKeys().schema(), "a price list of a builder's own") }

// listFile is the name of a YAML file.
func listFile() text {
	return text{pattern: `^.*\.[yY][aA]?[mM][lL]$`, most: 1000, refuse: func(s string) (string, string, string) {
		if e := strings.ToLower(path.Ext(filepath.ToSlash(s))); len(s) > 1000 || e != ".yaml" && e != ".yml" {
			return "project-wrong-value", "%s must name a YAML file (.yaml, .yml)", "write prices: " + PriceList
		}
		return "", "", ""
	}}
}

// currency is free text, so short that it stands above a column.
func currency() text {
	return text{pattern: line().pattern, most: 20, refuse: func(s string) (string, string, string) {
		if code, wrong, advice := line().refuse(s); code != "" {
			return code, wrong, advice
		}
		if len(s) > 20 {
			return "project-wrong-value", "%s must be at most 20 letters long: it stands above columns", "shorten it"
		}
		return "", "", ""
	}}
}

// amountPattern is how an amount of money is written: it has up to nine digits before the point and six behind.
const amountPattern = `[0-9]{1,9}(?:\.[0-9]{1,6})?`

var wholeAmount = regexp.MustCompile(`^` + amountPattern + `$`)

// amounts are of money: decimal numbers, which are taken exactly as they stand.
func amounts() parsed[*big.Rat] {
	return parsed[*big.Rat]{name: "amount", pattern: `^` + amountPattern + `$`, numbers: [2]float64{0, 1e9}, parse: func(s string) (*big.Rat, error) {
		if strings.HasPrefix(s, "-") {
			return nil, errors.New("a price is not below nought")
		}
		if !wholeAmount.MatchString(s) {
			return nil, fmt.Errorf("%s is no price: a number alone, with up to 9 digits before the point and 6 behind; the currency stands under currency", strconv.Quote(s))
		}
		v, _ := new(big.Rat).SetString(s)
		return v, nil
	}}
}

// breaks are a price, or prices by the quantity that they hold from.
type breaks struct{ leaf }

func (breaks) read(r *reader, n ast.Node, at spot, to *cost.Breaks) bool {
	m, keys := n.(ast.MapNode)
	if !keys {
		var one *big.Rat
		if !amounts().read(r, n, at, &one) {
			return false
		}
		*to = cost.Breaks{{From: 1, Price: one}}
		return true
	}
	good := true
	for it := m.MapRange(); it.Next(); {
		name, _ := scalar(it.Key())
		from, err := strconv.Atoi(name)
		if err != nil || from < 1 || from > 1e9 {
			r.add(it.Key(), "project-unknown-key", "%s: %s is no quantity that a price holds from", r.say(at.path), strconv.Quote(name)).Fix("write {1: 0.2, 100: 0.12}: the price of one, and that of one from 100 on")
			good = false
			continue
		}
		sub := spot{path: at.path + " from " + name + " on", eg: []string{"0.12"}, words: "write " + name + ": 0.12"}
		r.words[sub.path] = r.say(at.path) + " from " + name + " on"
		var price *big.Rat
		v := it.Value()
		if _, null := v.(*ast.NullNode); null || v == nil {
			r.add(it.Key(), "project-no-value", "%s has no value", r.say(sub.path)).Fix("%s", sub.words)
			good = false
			continue
		}
		if good = amounts().read(r, v, sub, &price) && good; price == nil {
			continue
		}
		*to = append(*to, cost.Break{From: from, Price: price})
	}
	if len(*to) == 0 && good {
		r.add(n, "project-no-value", "%s has no price", r.say(at.path)).Fix("write {1: 0.2, 100: 0.12}, or leave the key out")
		return false
	}
	if len(*to) > mostBreaks {
		r.add(n, "project-too-large", "%s has more than %d prices", r.say(at.path), mostBreaks).Fix("leave some out")
		return false
	}
	slices.SortStableFunc(*to, func(a, b cost.Break) int { return a.From - b.From })
	for i := 1; good && i < len(*to); i++ {
		if a, b := (*to)[i-1], (*to)[i]; b.Price.Cmp(a.Price) > 0 {
			f := r.diags.Add(diag.Warning, "project-price-rises", "%s: one costs %s from %d on, and less below that", r.say(at.path), cost.Exactly(b.Price), b.From)
			f.Place = r.at(n)
			f.Fix("is a digit missing? prices are of one, not of %d together", b.From)
		}
	}
	return good
}

func (breaks) schema() *Schema {
	return &Schema{AnyOf: []*Schema{amounts().schema(), {Type: "object", Additional: amounts().schema()}}}
}

// each reads the entries of a mapping whose keys are names, told once each; read gets what an entry's value is.
func (r *reader) each(n ast.Node, at spot, want, eg string, read func(name string, v ast.Node, at spot, place diag.Place) bool) bool {
	m, ok := n.(ast.MapNode)
	if !ok {
		r.wrongKind(n, at, want)
		return false
	}
	good := true
	var seen []string
	for it := m.MapRange(); it.Next(); {
		name, ok := scalar(it.Key())
		v := it.Value()
		_, null := v.(*ast.NullNode)
		switch name = strings.TrimSpace(name); {
		case !ok || name == "" || len(name) > 200:
			r.add(it.Key(), "project-unknown-key", "this cannot be a name here").Fix("write %s: %s", at.key(), eg)
			good = false
			continue
		case slices.ContainsFunc(seen, func(s string) bool { return strings.EqualFold(s, name) }):
			r.add(it.Key(), "project-unknown-key", "%s stands twice in %s", name, at.path).Fix("leave one of them")
			good = false
			continue
		case null || v == nil:
			r.add(it.Key(), "project-no-value", "%s has no price", name).Fix("write %s: %s, or leave it out", at.key(), eg)
			good = false
			continue
		}
		seen = append(seen, name)
		sub := spot{path: join(at.path, name), eg: []string{"0.9", "{1: 0.2, 100: 0.12}"}, words: "write " + name + ": 0.9, or " + name + ": {1: 0.2, 100: 0.12}"}
		r.words[sub.path] = "the price of " + name
		good = read(name, v, sub, r.at(it.Key())) && good
	}
	return good
}

// namedPrices are prices of parts by their names.
type namedPrices struct{ leaf }

func (namedPrices) read(r *reader, n ast.Node, at spot, to *[]cost.Named) bool {
	return r.each(n, at, "parts, each with its price", "{red-3mm: 0.9}", func(name string, v ast.Node, at spot, place diag.Place) bool {
		one := cost.Named{Name: name, At: place}
		ok := (breaks{}).read(r, v, at, &one.Price)
		*to = append(*to, one)
		return ok
	})
}

func (namedPrices) schema() *Schema {
	return &Schema{Type: "object", Additional: breaks{}.schema()}
}

// sheetKinds are what sheets are for, as the project's stock has them, and those that are never nested.
func sheetKinds() []string {
	return []string{"face", "diffuser", "led_sheet", "plate", "frame", "spacer"}
}

// sheetPrices are prices of sheets by what these are for.
type sheetPrices struct{ leaf }

func (sheetPrices) of() mapping[cost.SheetPrice] {
	return mapping[cost.SheetPrice]{brief: true, keys: []key[cost.SheetPrice]{
		{name: "sheet", is: bind(breaks{}, func(s *cost.SheetPrice) *cost.Breaks { return &s.Sheet }), help: "one sheet of stock", eg: []string{"140"}},
		{name: "area", is: bind(breaks{}, func(s *cost.SheetPrice) *cost.Breaks { return &s.Area }), help: "one dm²", eg: []string{"5"}},
	}}
}

func (k sheetPrices) read(r *reader, n ast.Node, at spot, to *[]cost.SheetPrice) bool {
	return r.each(n, at, "kinds of sheets, each with its price", "{face: 140}", func(name string, v ast.Node, at spot, place diag.Place) bool {
		one := cost.SheetPrice{Kind: name}
		if !slices.Contains(sheetKinds(), name) {
			f := r.diags.Add(diag.Error, "project-unknown-value", "there are no sheets %s", strconv.Quote(name))
			f.Place = place
			if near, ok := diag.Nearest(name, sheetKinds()); ok {
				f.Fix("did you mean %s?", near)
			} else {
				f.Fix("use one of %s", strings.Join(sheetKinds(), ", "))
			}
			return false
		}
		ok := false
		if keyed(v) {
			ok = k.of().read(r, v, at, &one)
		} else {
			ok = (breaks{}).read(r, v, at, &one.Sheet)
		}
		*to = append(*to, one)
		return ok
	})
}

// keyed reports whether a value is keys that are no quantities.
func keyed(n ast.Node) bool {
	m, ok := n.(ast.MapNode)
	if !ok {
		return false
	}
	for it := m.MapRange(); it.Next(); {
		if name, _ := scalar(it.Key()); strings.Trim(name, "0123456789") == "" {
			return false
		}
	}
	return true
}

func (k sheetPrices) schema() *Schema {
	s := &Schema{Type: "object", Properties: map[string]*Schema{}, Additional: false}
	for _, name := range sheetKinds() {
		s.Properties[name] = &Schema{AnyOf: []*Schema{breaks{}.schema(), k.of().schema()}}
	}
	return s
}
