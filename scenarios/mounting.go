package scenarios

import (
	"slices"
	"strings"
)

// canPaths holds where what is said of a can stands in a scenario; of its drain
// apart, which a can that is emptied by hand doesn't use.
var canPaths, canDrainPaths = map[string]string{
	"usable_volume": "separator.usable_volume", "cross_section": "separator.cross_section", "diameter": "separator.diameter",
	"efficiency": "separator.efficiency", "pressure_loss": "separator.pressure_loss", "oil_collects": "separator.oil_collects",
	"gas_path_closes_from": "separator.gas_path_closes_from", "oil_blown_out_from": "separator.oil_blown_out_from",
	"efficiency_when_full": "separator.efficiency_when_full", "off_axis": "separator.outlet.off_axis",
}, map[string]string{
	"drain_bore": "drain.bore", "loss_coefficient": "drain.loss_coefficient", "fittings": "drain.fittings",
	"seal": "drain.seal", "valve_opens_at": "drain.valve_opens_at",
}

// returnPaths holds where what is said of a return stands in a scenario.
var returnPaths = map[string]string{
	"return": "drain.return", "fall": "drain.fall", "length": "drain.length", "dip": "drain.dip",
	"route": "drain.route", "oil_surface": "drain.sump.oil_surface", "seal": "drain.seal",
}

// Mounted returns the scenario with a can of the shelf in its place. What the
// shelf says of separator and drain stands instead of what the scenario says; the
// hose to another place is another one, so of the old one's fall, length, dip and
// route nothing stays. A can without a drain is emptied before every session.
// Correlations of inputs that are replaced are dropped, and variants. The error is [Problems].
func (s *Scenario) Mounted(sh *Shelf, m Mounting) (*Scenario, error) {
	tree := s.source.tree.clone()
	changes := sh.changes(s, m)
	name := sh.Name(m)
	var problems Problems
	for _, c := range changes {
		n, err := c.node()
		if err == nil {
			err = apply(tree, c.Path, 0, n)
		}
		if err != nil {
			problems = append(problems, Problem{File: s.fileName(), Path: c.Path, What: plainError(err), Hint: hintOf(err), Variant: name})
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	tree.remove("variants") // they change a can that is no longer there
	dropped := tree.dropCorrelations(changes)
	mounted, problems := assemble(s.source, tree, name)
	if len(problems) > 0 {
		return nil, problems
	}
	mounted.VariantName = name
	for _, path := range dropped {
		mounted.Warnings = append(mounted.Warnings, Warning{Path: "correlations", Text: "dropped: " + path + " is another one with a can of the shelf"})
	}
	return mounted, nil
}

// Says reports whether the shelf says what stands at a path of the scenario that
// has the can mounted.
func (sh *Shelf) Says(m Mounting, path string) bool {
	for _, said := range sh.said(m) {
		if said.Path == path || strings.HasPrefix(path, said.Path+".") || said.Path == "drain.fittings" && path == "drain.loss_coefficient" {
			return true
		}
	}
	return false
}

// said lists what a shelf says of a mounting, the can first.
func (sh *Shelf) said(m Mounting) []Change {
	var list []Change
	add := func(n *node, paths map[string]string) {
		for _, e := range n.entries {
			if path := paths[e.key]; path != "" {
				list = append(list, Change{path, e.value})
			}
		}
	}
	can := sh.Cans[m.Can].node
	add(can, canPaths)
	if m.ByHand() {
		return append(list, Change{"drain.return", string(EmptiedByHand)}, Change{"drain.emptied", "every session"})
	}
	add(can, canDrainPaths)
	add(sh.Places[m.Place].Returns[m.Return].node, returnPaths)
	return list
}

// changes turns a scenario to one with the can mounted: first what must go, then
// what the shelf says.
func (sh *Shelf) changes(s *Scenario, m Mounting) []Change {
	list := sh.withoutShape(s, m)
	if m.ByHand() {
		return append(append(list, Change{"drain", nil}), sh.said(m)...)
	}
	for _, path := range []string{"drain.fall", "drain.length", "drain.dip", "drain.route", "drain.emptied"} {
		list = append(list, Change{path, nil})
	}
	way := sh.Places[m.Place].Returns[m.Return]
	if way.Return == AboveOil {
		list = append(list, Change{"drain.sump", nil})
	} else {
		list = append(list, Change{"drain.sump.oil_surface", nil})
	}
	list = append(list, sh.said(m)...)
	seal := sh.seal(s, m)
	if seal != ValveSeal {
		list = append(list, Change{"drain.valve_opens_at", nil})
	}
	if seal != NoSeal {
		list = append(list, Change{"drain.flooding_constant", nil})
	}
	if way.Return == BelowOil && way.Route == nil && way.OilSurface != nil {
		list = append(list, Change{"drain.sump.oil_surface", nil}) // the fall ends at the surface
	}
	return list
}

// withoutShape takes out what is of the old can alone: its cross-section, its
// tubes, and the droplets that its elements met where the shelf states an
// efficiency.
func (sh *Shelf) withoutShape(s *Scenario, m Mounting) []Change {
	list := []Change{{"separator.cross_section", nil}} // and with it the diameter
	separator := s.source.tree.get("separator")
	drop := func(block *node, at string, keys ...string) {
		for _, key := range keys {
			if block.get(key) != nil {
				list = append(list, Change{at + "." + key, nil})
			}
		}
	}
	drop(separator, "separator", "height", "inlet_mouth", "inner_can")
	drop(separator.get("outlet"), "separator.outlet", "mouth")
	if sh.Cans[m.Can].Efficiency != nil {
		drop(separator, "separator", "elements", "droplets")
	}
	return list
}

// seal returns the seal that a drain has: the return's, else the can's, else the
// scenario's.
func (sh *Shelf) seal(s *Scenario, m Mounting) Seal {
	for _, seal := range []Seal{sh.Places[m.Place].Returns[m.Return].Seal, sh.Cans[m.Can].Seal, s.Drain.Seal} {
		if seal != "" {
			return seal
		}
	}
	return NoSeal
}

// dropCorrelations takes out correlations of what was changed, and returns the
// paths that they spoke of.
func (n *node) dropCorrelations(changes []Change) (paths []string) {
	list := n.get("correlations")
	if list == nil || list.kind != listNode {
		return nil
	}
	changed := func(path string) bool {
		return slices.ContainsFunc(changes, func(c Change) bool {
			return c.Path == path || strings.HasPrefix(path, c.Path+".") || c.Path == "separator.cross_section" && path == "separator.diameter"
		})
	}
	var kept []*node
	for _, item := range list.items {
		drop := false
		if between := item.get("between"); between != nil {
			for _, path := range between.items {
				if changed(path.text) {
					drop = true
					paths = append(paths, path.text)
				}
			}
		}
		if !drop {
			kept = append(kept, item)
		}
	}
	list.items = kept
	if len(kept) == 0 {
		n.remove("correlations")
	}
	return paths
}
