package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sumpward/scenarios/units"
	"sumpward/sim"
	"sumpward/sim/decide"
)

// chosenForPage puts the cans that are to be picked side by side, the layout as
// written last. The page is about the cheapest of them, or the smallest where the shelf
// has no prices; where none surely meets the limit, about the layout as written, with
// the cans beside it that come nearest.
func chosenForPage(c *decide.Choice, o sim.Options, u units.System) (pageContent, error) {
	written, err := model(c.Scenario)
	if err != nil {
		return pageContent{}, err
	}
	found := pageContent{command: "choose", scenario: c.Scenario, sampling: o, choice: c, units: u, prices: map[string]string{}}
	var picked []int
	for _, picks := range []decide.Picks{c.Picks, c.ByHand} {
		for _, i := range []int{picks.Cheapest, picks.Smallest, picks.Lightest} {
			if i >= 0 && !slices.Contains(picked, i) {
				picked = append(picked, i)
			}
		}
	}
	none := len(picked) == 0
	if none {
		picked = nearest(c)
		found.layouts = append(found.layouts, decide.Layout{Name: decide.AsWritten, Model: written})
	}
	for _, i := range picked {
		option := &c.Options[i]
		found.layouts = append(found.layouts, option.Layout)
		if can := c.Shelf.Cans[option.Mounting.Can]; can.Price != nil {
			found.prices[option.Layout.Name] = strings.TrimSuffix(fmt.Sprintf("%.2f", *can.Price), ".00") + " " + c.Shelf.Currency
		}
	}
	if !none {
		found.scenario = found.layouts[0].Model.Scenario()
		found.layouts = append(found.layouts, decide.Layout{Name: decide.AsWritten, Model: written})
	}
	return found, nil
}

// nearby is how many cans are shown where none surely meets the limit.
const nearby = 4

// nearest returns the cans in their places with the least chance of failing in the
// longest session.
func nearest(c *decide.Choice) []int {
	var list []int
	for i := range c.Options {
		if c.Options[i].Result != nil {
			list = append(list, i)
		}
	}
	chance := func(i int) float64 {
		sessions := c.Options[i].Result.Sessions
		return sessions[len(sessions)-1].Fails.Probability
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(chance(a), chance(b)) })
	return list[:min(nearby, len(list))]
}
