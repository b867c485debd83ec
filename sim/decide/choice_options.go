package decide

import (
	"slices"
	"strings"

	"sumpward/scenarios"
	"sumpward/sim"
)

// lay lists the options: each can in each place, with each way for its oil.
func (c *Choice) lay() {
	possible := c.Shelf.Mountings()
	for p, place := range c.Shelf.Places {
		for k, can := range c.Shelf.Cans {
			one := Option{Can: can.Name, Place: place.Name, Mounting: scenarios.Mounting{Can: k, Place: p, Return: -1}, TooLarge: c.Shelf.Excess(k, p)}
			if one.Fits = one.TooLarge.Fits(); !one.Fits {
				c.Options = append(c.Options, one)
				continue
			}
			before := len(c.Options)
			for _, m := range possible {
				if m.Can == k && m.Place == p {
					c.Options = append(c.Options, c.option(one, m))
				}
			}
			if len(c.Options) == before {
				one.Problem = "it has no drain, and can't be reached there to be emptied"
				if can.DrainBore != nil {
					one.Problem = "its oil can go nowhere from there"
				}
				c.Options = append(c.Options, one)
			}
		}
	}
}

// option makes one option ready to be simulated.
func (c *Choice) option(o Option, m scenarios.Mounting) Option {
	o.Mounting, o.Return = m, ByHandName
	if !m.ByHand() {
		o.Return = c.Shelf.Places[m.Place].Returns[m.Return].Name
	}
	o.Layout.Name = c.Shelf.Name(m)
	s, err := c.Scenario.Mounted(c.Shelf, m)
	if err == nil {
		o.Layout.Model, err = sim.NewModel(s)
	}
	if err != nil {
		o.Problem = mountingProblem(err)
	}
	return o
}

// mountingProblem says in one line why there can be no such layout.
func mountingProblem(err error) string {
	problems, ok := err.(scenarios.Problems)
	if !ok {
		return err.Error()
	}
	var list []string
	for _, p := range problems {
		text := p.What
		if p.Path != "" {
			text = p.Path + ": " + text
		}
		list = append(list, text)
	}
	return strings.Join(list, "; ")
}

// keep notes what of separator and drain the shelf leaves to the scenario.
func (c *Choice) keep() {
	type who struct{ open, all []string }
	cans, order := map[string]*who{}, []Kept{}
	note := func(k Kept, m scenarios.Mounting) {
		if cans[k.Path] == nil {
			cans[k.Path] = &who{}
			order = append(order, k)
		}
		w, name := cans[k.Path], c.Shelf.Cans[m.Can].Name
		if !slices.Contains(w.all, name) {
			w.all = append(w.all, name)
		}
		if !c.Shelf.Says(m, k.Path) && !slices.Contains(w.open, name) {
			w.open = append(w.open, name)
		}
	}
	for i := range c.Options {
		o := &c.Options[i]
		if o.Layout.Model == nil {
			continue
		}
		for _, k := range ofSeparatorAndDrain(o.Layout.Model.Scenario()) {
			note(k, o.Mounting)
		}
	}
	for _, k := range order {
		if w := cans[k.Path]; len(w.open) > 0 {
			if len(w.open) < len(w.all) {
				k.Cans = w.open
			}
			c.Kept = append(c.Kept, k)
		}
	}
}

// ofSeparatorAndDrain lists the inputs and words of a scenario's separator and drain.
func ofSeparatorAndDrain(s *scenarios.Scenario) []Kept {
	list := []Kept{{Path: "separator.oil_collects", Word: s.Separator.OilCollects}, {Path: "separator.outlet.to", Word: string(s.Separator.Outlet.To)}}
	if s.Drain.Return != scenarios.EmptiedByHand {
		list = append(list, Kept{Path: "drain.seal", Word: string(s.Drain.Seal)})
	}
	for _, q := range s.Inputs {
		if strings.HasPrefix(q.Path, "separator.") || strings.HasPrefix(q.Path, "drain.") {
			list = append(list, Kept{Path: q.Path, Quantity: q})
		}
	}
	return list
}
