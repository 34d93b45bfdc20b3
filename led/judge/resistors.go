package judge

import (
	"fmt"
	"strings"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// judgeResistors tells of resistors that get too warm for their package.
func judgeResistors(w led.Wiring, req led.Request) diag.List {
	var l diag.List
	set := req.For(w.Panel)
	var hot []int
	var worst, rated part.Watt
	var pkg string
	for i, s := range w.Strings {
		r := w.Resistors[s.Resistor]
		body, ok := set.Body(r.Package)
		if !ok {
			return nil // led/design tells it
		}
		if _, fits := body.RatingFor(s.Worst, req.ResistorUse()); !fits {
			hot = append(hot, i+1)
			worst, rated, pkg = max(worst, s.Worst), r.Rated, r.Package
			if len(s.LEDs) > 0 {
				set = set.Of(w.LEDs[s.LEDs[0]].Kind.Name)
			}
		}
	}
	if len(hot) == 0 {
		return nil
	}
	sev, code := diag.Warning, "led-resistor-warm"
	share := part.ResistorShare(req.Ambient.Max)
	at := ""
	if share < 1 {
		at = fmt.Sprintf(" at %.4g °C", req.Ambient.Max)
	}
	if float64(worst) > float64(rated)*share {
		sev, code = diag.Error, "led-resistor-overload"
	}
	f := l.Add(sev, code, "%s at worst in the resistor of %s; a %s of %s%s should carry %s for good", worst, listed("string", "strings", hot),
		pkg, rated, at, part.Watt(float64(rated)*req.ResistorUse())).
		Of(w.Panel).About(diag.PanelKey(w.Panel, "current"), "defaults.resistor")
	cooler(f, set, req, pkg, worst, rated)
	if len(hot) == 1 {
		f.OfString(fmt.Sprintf("S%d", hot[0])).OfPart(w.Resistors[w.Strings[hot[0]-1].Resistor].Ref)
	}
	return l
}

// cooler tells what helps against a hot resistor: a larger package, or the current at which this one stays cool enough.
func cooler(f *diag.Finding, set led.Settings, req led.Request, pkg string, w, rated part.Watt) {
	var ways []string
	for _, body := range append(part.From(pkg), part.Bodies()...) {
		if r, ok := body.RatingFor(w, req.ResistorUse()); ok && body.Package != pkg {
			name := strings.TrimPrefix(body.Package, "r-") // as the project has it: a footprint's name says what is on it
			ways = append(ways, fmt.Sprintf("%s resistors of %s", name, r))
			f.By("take resistors "+name, diag.Set, "defaults.resistor.package", name)
			break
		}
	}
	// At a given supply the heat goes with the current, as the voltage across the resistor hardly changes.
	if i := roundedDown(float64(set.Current) * float64(rated) * req.ResistorUse() / float64(w)); i > 0 {
		ways = append(ways, fmt.Sprintf("at most %v in each LED", i))
		f.By("ask for "+i.String()+" in each LED", diag.Set, diag.PanelKey(set.Panel, "current"), i.String())
	}
	ways = append(ways, "a lower supply voltage")
	if set.StringLength > 0 {
		ways = append(ways, "longer strings")
	}
	f.Fix("use %s", strings.Join(ways, ", or "))
}

// listed writes "string 3" or "strings 1, 2 and 5"; beyond six it counts.
func listed(one, many string, n []int) string {
	if len(n) == 1 {
		return fmt.Sprintf("%s %d", one, n[0])
	}
	if len(n) > 6 {
		return fmt.Sprintf("%d %s", len(n), many)
	}
	var b strings.Builder
	b.WriteString(many)
	for i, x := range n {
		switch {
		case i == 0:
			b.WriteByte(' ')
		case i == len(n)-1:
			b.WriteString(" and ")
		default:
			b.WriteString(", ")
		}
		fmt.Fprint(&b, x)
	}
	return b.String()
}
