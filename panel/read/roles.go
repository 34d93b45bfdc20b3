package read

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

func lowered(s string) string { return strings.ToLower(s) }

func compareXY(a, b dxf.XY) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }

// roles maps layers to roles and sorts the entities by them.
func (r *reader) roles() {
	r.role = map[string]panel.Role{}
	present := map[string]bool{}
	for i := range r.d.Entities {
		present[r.d.Entities[i].Layer] = true
	}
	lower := map[string]bool{}
	for name := range present {
		lower[strings.ToLower(name)] = true
	}
	for _, x := range r.opt.Rules {
		if x.Kind != ByLayer {
			r.shaped = append(r.shaped, x)
		}
	}
	for _, role := range RuleRoles() {
		var names []string
		want, mapped := r.opt.Layers[role]
		if mapped {
			names = []string{want}
			if !lower[strings.ToLower(want)] {
				names = strings.Split(want, ",")
			}
		}
		for _, x := range r.opt.Rules {
			if x.Kind == ByLayer && x.Role == role {
				names, mapped = append(names, x.Layer), true
			}
		}
		if !mapped {
			if _, taken := r.role[string(role)]; !taken && role != panel.RoleIgnore {
				r.role[string(role)] = role
			}
			continue
		}
		for _, n := range names {
			n = strings.TrimSpace(n)
			if n == "" {
				continue
			}
			if !lower[strings.ToLower(n)] {
				r.add(diag.Error, "panel-layer-missing", nil, "nothing visible lies on layer %s, which the project names for %s", n, role).
					Fix("the drawing's layers are %s", some(r.layerNames(), 20))
			}
			r.role[strings.ToLower(n)] = role
		}
	}
	roleOf := map[string]panel.Role{}
	for name := range present {
		if role, ok := r.role[strings.ToLower(name)]; ok {
			roleOf[name] = role
		}
	}
	r.guessing = len(roleOf) == 0 && len(r.shaped) == 0
	r.sort(roleOf)
}

// sort deals the entities out by the roles of their layers; what rules are to sort by shape goes into the pool.
func (r *reader) sort(roleOf map[string]panel.Role) {
	ruled := map[string]bool{}
	for _, x := range r.shaped {
		if x.Layer != "" {
			ruled[strings.ToLower(x.Layer)] = true
		}
	}
	for i := range r.d.Entities {
		e := &r.d.Entities[i]
		role, ok := roleOf[e.Layer]
		if len(r.shaped) > 0 {
			kind := RestRule
			switch {
			case e.Text != nil:
				kind = TextRule
			case e.Fill:
				kind = FillRule
			}
			named := ruled[strings.ToLower(e.Layer)]
			if kind != RestRule && (!ok || named) {
				if k := slices.IndexFunc(r.shaped, func(x Rule) bool { return x.forThing(kind, e) }); k >= 0 {
					r.byRole[r.shaped[k].Role] = append(r.byRole[r.shaped[k].Role], e)
					continue
				}
			}
			if kind == RestRule && (!ok || named) {
				name := ""
				if named {
					name = strings.ToLower(e.Layer)
				}
				if _, seen := r.pool[name]; !seen {
					r.poolOrder = append(r.poolOrder, name)
				}
				r.pool[name] = append(r.pool[name], e)
				continue
			}
		}
		switch {
		case role == panel.RoleIgnore && ok:
			r.byRole[role] = append(r.byRole[role], e)
		case e.Fill && role != panel.RoleLettering:
			r.fills = append(r.fills, e)
		case !ok && e.Text != nil:
			r.writing = append(r.writing, e)
		case !ok:
			r.other = append(r.other, e)
		case e.Text != nil && role != panel.RoleLettering:
			r.writing = append(r.writing, e)
		default:
			r.byRole[role] = append(r.byRole[role], e)
		}
	}
	if len(r.shaped) > 0 && len(r.byRole[panel.RoleLettering]) == 0 && len(r.writing) > 0 &&
		!slices.ContainsFunc(r.shaped, func(x Rule) bool { return x.Role == panel.RoleLettering || x.Kind == TextRule }) {
		n := len(r.writing)
		r.add(diag.Note, "panel-guess", r.writing[0], "the project's roles name no lettering; %s %s taken as lettering where they stand within the outline", count(n, "text"), are(n)).
			Fix("say so: lettering: texts; or ignore: texts")
		r.byRole[panel.RoleLettering], r.writing = r.writing, nil
	}
}

// layerNames lists the layers that hold something, in order.
func (r *reader) layerNames() []string {
	var out []string
	for i := range r.d.Entities {
		if n := r.d.Entities[i].Layer; !slices.Contains(out, n) {
			if out = append(out, n); len(out) > 50 {
				break
			}
		}
	}
	slices.Sort(out)
	return out
}

// ignored tells what had no role. In a drawing without our layers, guess has told it.
func (r *reader) ignored() {
	if n := len(r.fills); n > 0 {
		r.add(diag.Note, "panel-fill", r.fills[0], "%s of filled areas %s not used: a filling is no edge to cut along", counted(n, "boundary", "boundaries"), are(n)).
			Fix("to engrave them, put them on layer lettering, or write in the project file: roles: {lettering: fills}")
	}
	if r.guessing {
		return
	}
	type heap struct {
		n     int
		first *dxf.Entity
	}
	heaps := map[string]*heap{}
	var order []string
	for _, e := range append(slices.Clone(r.other), r.writing...) {
		h := heaps[e.Layer]
		if h == nil {
			h = &heap{first: e}
			heaps[e.Layer] = h
			order = append(order, e.Layer)
		}
		h.n++
	}
	for i, name := range order {
		if i == 20 {
			r.add(diag.Note, "panel-layer-ignored", heaps[name].first, "%d more layers mean nothing for a panel", len(order)-i)
			return
		}
		h := heaps[name]
		what := fmt.Sprintf("%s on layer %s %s not used: the layer has no meaning for a panel", count(h.n, "thing"), name, are(h.n))
		if role, ok := r.role[strings.ToLower(name)]; ok {
			what = fmt.Sprintf("%s on layer %s %s not used: lettering is read from its own layer", count(h.n, "text"), role, are(h.n))
		}
		role := r.meant(name)
		if role != "" && r.opt.Layers[role] != "" {
			r.add(diag.Note, "panel-layer-ignored", h.first, "%s on layer %s %s not used: the project names layer %s for %s",
				count(h.n, "thing"), name, are(h.n), r.opt.Layers[role], role).
				Fix("if this is the right one, write layers: {%s: %s} in the project file, or leave it out there", role, name)
			continue
		}
		if role != "" {
			r.add(diag.Warning, "panel-layer-ignored", h.first, "%s; is it meant as %s?", what, role).
				Fix("rename the layer to %s, or name it in the project file (layers: {%s: %s})", role, role, name)
			continue
		}
		r.add(diag.Note, "panel-layer-ignored", h.first, "%s", what).
			Fix("layers with a meaning are outline, board, led, opening, mount, body and lettering; others can be named in the project file (layers:)")
	}
}

// meant returns the role that a layer without one was probably meant for: its name starts with the role's, as LEDS
// or OPENINGS or LED_HOLES, and the role has no layer with anything on it.
func (r *reader) meant(layer string) panel.Role {
	n := lowered(layer)
	for _, role := range panel.Roles() {
		if strings.HasPrefix(n, string(role)) && r.role[n] == "" && len(r.byRole[role]) == 0 {
			return role
		}
	}
	return ""
}
