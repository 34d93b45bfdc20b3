package read

import (
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

func lowered(s string) string { return strings.ToLower(s) }

// layers is what the drawing's layers are for.
type layers struct {
	role    map[string]panel.Role // by lower-case name
	rules   []Rule                // those that go by shape
	none    bool                  // no layer with anything on it has a role, and no rule goes by shape
	missing bool                  // the project names a layer that holds nothing
	names   []string              // of those that hold something, in order; at most 51
}

// layersOf gives roles to layers: by the options, or by their names.
func layersOf(d *dxf.Drawing, opt Options) (layers, findings) {
	var said findings
	ls := layers{role: map[string]panel.Role{}, names: layerNames(d)}
	present := map[string]bool{} // lower-case
	last := ""
	for i := range d.Entities {
		if name := d.Entities[i].Layer; i == 0 || name != last {
			present[lowered(name)], last = true, name
		}
	}
	for _, x := range opt.Rules {
		if x.Kind != ByLayer {
			ls.rules = append(ls.rules, x)
		}
	}
	for _, role := range RuleRoles() {
		var names []string
		want, mapped := opt.Layers[role]
		if mapped {
			names = []string{want}
			if !present[lowered(want)] {
				names = strings.Split(want, ",")
			}
		}
		for _, x := range opt.Rules {
			if x.Kind == ByLayer && x.Role == role {
				names, mapped = append(names, x.Layer), true
			}
		}
		if !mapped {
			if _, taken := ls.role[string(role)]; !taken && role != panel.RoleIgnore {
				ls.role[string(role)] = role
			}
			continue
		}
		for _, n := range names {
			n = strings.TrimSpace(n)
			if n == "" {
				continue
			}
			if !present[lowered(n)] {
				sev, so := diag.Error, ""
				if role == panel.RoleLED && opt.Places {
					sev, so = diag.Note, ": no LED is drawn there, and it goes by place"
				}
				ls.missing = ls.missing || sev == diag.Error
				f := said.add(sev, "panel-layer-missing", nil, "nothing visible lies on layer %s, which the project names for %s%s", n, role, so).
					About("layers." + string(role))
				for _, x := range opt.Rules {
					if x.Kind == ByLayer && x.Role == role && strings.TrimSpace(x.Layer) == n {
						f.About(opt.keysOf(x)...)
					}
				}
				has := "the drawing's layers are " + some(ls.names, 20)
				if near := meant(n, ls.names); near != "" {
					has = near + "T" + has[1:]
				}
				f.Fix("%s", has)
				if opt.Layers[role] == n {
					if near, ok := diag.Nearest(n, ls.names); ok {
						f.By("take layer "+near, diag.Set, "layers."+string(role), near)
					}
				}
			}
			ls.role[lowered(n)] = role
		}
	}
	ls.none = len(ls.rules) == 0
	for name := range present {
		if role, ok := ls.role[name]; ok && !role.Printed() { // print says nothing of what the panel is
			ls.none = false
		}
	}
	return ls, said
}

// layerNames lists the layers that hold something, in order.
func layerNames(d *dxf.Drawing) []string {
	var out []string
	for i := range d.Entities {
		if i > 0 && d.Entities[i].Layer == d.Entities[i-1].Layer {
			continue
		}
		if n := d.Entities[i].Layer; !slices.Contains(out, n) {
			if out = append(out, n); len(out) > 50 {
				break
			}
		}
	}
	slices.Sort(out)
	return out
}

// things is the drawing's entities by what their layers are for.
type things struct {
	byRole  map[panel.Role][]*dxf.Entity
	free    []*dxf.Entity // curves on layers without a role, and on those of which a rule may take some
	fills   []*dxf.Entity // filled areas that are no lettering
	writing []*dxf.Entity // texts that are no lettering
}

// texts returns the texts, those that are lettering last; with what else is lettering, which has no text.
func (th things) texts() []*dxf.Entity {
	return slices.Concat(th.writing, th.byRole[panel.RoleLettering])
}

// curves returns the things of a role but its texts.
func (th things) curves(role panel.Role) []*dxf.Entity {
	all := th.byRole[role]
	text := func(e *dxf.Entity) bool { return e.Text != nil }
	if !slices.ContainsFunc(all, text) {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), text)
}

// sorted deals the entities out by the roles of their layers.
func sorted(w *work.Watch, d *dxf.Drawing, ls layers) (things, findings) {
	th := things{byRole: map[panel.Role][]*dxf.Entity{}}
	ruled := map[string]bool{}
	for _, x := range ls.rules {
		if x.Layer != "" {
			ruled[lowered(x.Layer)] = true
		}
	}
	var role panel.Role // of the layer that was looked up last, as most things lie beside others of their layer
	var named, ok bool
	for i := range d.Entities {
		w.Step()
		e := &d.Entities[i]
		if i == 0 || e.Layer != d.Entities[i-1].Layer {
			name := lowered(e.Layer)
			role, ok = ls.role[name]
			named = ruled[name]
		}
		if len(ls.rules) > 0 && (!ok || named) && (e.Text != nil || e.Fill) {
			kind := FillRule
			if e.Text != nil {
				kind = TextRule
			}
			if k := closestFor(ls.rules, kind, e); k >= 0 {
				th.byRole[ls.rules[k].Role] = append(th.byRole[ls.rules[k].Role], e)
				continue
			}
		}
		if named && e.Text == nil && !e.Fill {
			th.free = append(th.free, e)
			continue
		}
		switch {
		case role == panel.RoleIgnore && ok:
			th.byRole[role] = append(th.byRole[role], e)
		case e.Fill && !role.Drawn() && role != panel.RoleWindow:
			th.fills = append(th.fills, e)
		case !ok && e.Text != nil:
			th.writing = append(th.writing, e)
		case !ok:
			th.free = append(th.free, e)
		case e.Text != nil && !role.Drawn():
			th.writing = append(th.writing, e)
		default:
			th.byRole[role] = append(th.byRole[role], e)
		}
	}
	var said findings
	if len(ls.rules) > 0 && len(th.byRole[panel.RoleLettering]) == 0 && len(th.writing) > 0 &&
		!slices.ContainsFunc(ls.rules, func(x Rule) bool { return x.Role == panel.RoleLettering || x.Kind == TextRule && !x.Role.Printed() }) {
		n := len(th.writing)
		said.guess(th.writing[0], "the project's roles name no lettering; %s %s taken as lettering where they stand within the outline", count(n, "text"), are(n)).
			Fix("say so: lettering: texts; or ignore: texts")
		th.byRole[panel.RoleLettering], th.writing = th.writing, nil
	}
	return th, said
}

// meant returns the role that a layer without one was probably meant for: its name starts with the role's, as LEDS
// or OPENINGS or LED_HOLES, and the role has no layer with anything on it.
func (ls layers) meant(layer string, th things) panel.Role {
	n := lowered(layer)
	plain := strings.NewReplacer("_", "-", " ", "-").Replace(n)
	var best panel.Role
	for _, role := range panel.Roles() {
		if strings.HasPrefix(plain, string(role)) && ls.role[n] == "" && len(th.byRole[role]) == 0 && len(role) > len(best) {
			best = role
		}
	}
	return best
}
