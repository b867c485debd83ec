package report

import (
	"fmt"
	"io"
	"strconv"

	"sumpward/scenarios"
	"sumpward/sim"
	"sumpward/sim/decide"
)

type shelfJSON struct {
	Title    string `json:"title"`
	SHA256   string `json:"sha256"`
	Example  string `json:"example,omitempty"`
	Currency string `json:"currency,omitempty"`
}

type excessJSON struct {
	Long number `json:"long_m"`
	Wide number `json:"wide_m"`
	High number `json:"high_m"`
}

type emptyingJSON struct {
	Does     bool            `json:"does"`
	Sessions int             `json:"after_sessions,omitempty"`
	Every    number          `json:"every_s,omitempty"`
	Most     bool            `json:"or_more_rarely,omitempty"`
	Overflow chanceJSON      `json:"overflow"`
	Of       int             `json:"realizations"`
	Untold   bool            `json:"more_rarely_can_not_be_told"`
	Else     decide.Standing `json:"over_pressure_and_oil_lost"`
}

type optionJSON struct {
	Can          string          `json:"can"`
	Place        string          `json:"place"`
	Return       string          `json:"return,omitempty"`
	Fits         bool            `json:"fits"`
	TooLarge     *excessJSON     `json:"too_large,omitempty"`
	Problem      string          `json:"problem,omitempty"`
	UsableVolume number          `json:"usable_volume_m3"`
	Mass         *number         `json:"mass_kg,omitempty"`
	Price        *number         `json:"price,omitempty"`
	Standing     decide.Standing `json:"standing,omitempty"`
	Realizations int             `json:"realizations,omitempty"`
	Sessions     []sessionJSON   `json:"sessions,omitempty"`
	Emptying     *emptyingJSON   `json:"emptying,omitempty"`
}

// picksJSON holds indices of the options; null where there is none.
type picksJSON struct {
	Smallest *int `json:"smallest"`
	Lightest *int `json:"lightest"`
	Cheapest *int `json:"cheapest"`
}

type keptJSON struct {
	Path  string          `json:"path"`
	Text  string          `json:"text"`
	Basis scenarios.Basis `json:"basis,omitempty"`
	Cans  []string        `json:"cans,omitempty"`
}

type chooseJSON struct {
	Format       string       `json:"format"`
	Version      int          `json:"version"`
	Scenario     scenarioJSON `json:"scenario"`
	Shelf        shelfJSON    `json:"shelf"`
	Seed         uint64       `json:"seed"`
	Sampling     string       `json:"sampling"`
	Realizations int          `json:"realizations"`
	Most         int          `json:"most_realizations"`
	Risk         number       `json:"risk"`
	Longest      number       `json:"longest_session_s"`
	Options      []optionJSON `json:"options"`
	Picks        picksJSON    `json:"drained_back"`
	ByHand       picksJSON    `json:"emptied_by_hand"`
	Kept         []keptJSON   `json:"kept_of_the_scenario"`
	Verdict      string       `json:"verdict"`
	Warnings     []string     `json:"warnings"`
	Cautions     []string     `json:"cautions"`
	References   []string     `json:"references"`
}

// WriteJSON writes the choice for programs.
func (r Choose) WriteJSON(w io.Writer) error {
	c := r.Choice
	out := chooseJSON{
		Format: "sumpward/choose", Version: 1, Scenario: scenarioOf(c.Scenario),
		Shelf: shelfJSON{c.Shelf.Title, c.Shelf.SHA256, c.Shelf.Example, c.Shelf.Currency},
		Seed:  c.Seed, Sampling: c.Sampling, Realizations: c.Realizations, Most: c.Most,
		Risk: number(c.Risk), Longest: number(c.Sessions[len(c.Sessions)-1]),
		Options: []optionJSON{}, Picks: picksOf(c.Picks), ByHand: picksOf(c.ByHand), Kept: []keptJSON{},
		Verdict: r.verdict(), Warnings: listed(c.Warnings), Cautions: append([]string{RestsOn(r.restsOn())}, Cautions...),
		References: []string{},
	}
	for i := range c.Options {
		o := &c.Options[i]
		out.Options = append(out.Options, r.option(o))
		if o.Result == nil {
			continue
		}
		for _, text := range References(o.Result) {
			if !listedIn(out.References, text) {
				out.References = append(out.References, text)
			}
		}
	}
	for _, k := range c.Kept {
		kept := keptJSON{Path: k.Path, Text: k.Word, Cans: k.Cans}
		if k.Quantity != nil {
			kept.Text, kept.Basis = k.Quantity.Text, k.Quantity.Basis
		}
		out.Kept = append(out.Kept, kept)
	}
	return writeJSON(w, out)
}

func picksOf(p decide.Picks) picksJSON {
	index := func(i int) *int {
		if i < 0 {
			return nil
		}
		return &i
	}
	return picksJSON{index(p.Smallest), index(p.Lightest), index(p.Cheapest)}
}

func (r Choose) option(o *decide.Option) optionJSON {
	can := &r.Choice.Shelf.Cans[o.Mounting.Can]
	out := optionJSON{
		Can: o.Can, Place: o.Place, Return: o.Return, Fits: o.Fits, Problem: o.Problem,
		UsableVolume: number(can.UsableVolume.Nominal()), Standing: o.Standing,
	}
	if can.Mass != nil {
		mass := number(can.Mass.Nominal())
		out.Mass = &mass
	}
	if can.Price != nil {
		price := number(*can.Price)
		out.Price = &price
	}
	if !o.Fits {
		out.TooLarge = &excessJSON{number(o.TooLarge.Long), number(o.TooLarge.Wide), number(o.TooLarge.High)}
	}
	if o.Result != nil {
		out.Realizations = o.Result.Realizations
		for i := range o.Result.Sessions {
			out.Sessions = append(out.Sessions, Run{}.session(&o.Result.Sessions[i]))
		}
	}
	if e := o.Emptying; e != nil {
		out.Emptying = &emptyingJSON{
			Does: e.Does, Sessions: e.Sessions, Every: number(e.Every), Most: e.Most, Of: e.Of, Untold: e.Untold, Else: e.Else,
			Overflow: chanceJSON{number(e.Overflow.Probability), number(e.Overflow.Low), number(e.Overflow.High), e.Events},
		}
	}
	return out
}

// WriteCSV writes one row for each combination of can, place and return, SI; what
// doesn't apply is empty.
func (r Choose) WriteCSV(w io.Writer) error {
	c := r.Choice
	s := &sheet{head: []string{
		"can", "place", "return", "fits", "too_long_m", "too_wide_m", "too_high_m", "usable_volume_m3", "mass_kg", "price", "currency", "standing",
	}}
	for _, length := range c.Sessions {
		at := "overflow_or_choked_" + strconv.FormatFloat(length, 'f', -1, 64) + "s"
		s.head = append(s.head, at+"_probability", at+"_low", at+"_high")
	}
	for _, e := range []string{"overflow", "drain_choked", "over_pressure", "oil_lost"} {
		s.head = append(s.head, "longest_"+e+"_probability", "longest_"+e+"_low", "longest_"+e+"_high")
	}
	s.head = append(s.head, "emptied_after_sessions", "emptied_every_s", "emptied_overflow_probability", "emptied_overflow_low", "emptied_overflow_high", "realizations", "seed", "problem")
	for i := range c.Options {
		s.add(r.row(&c.Options[i])...)
	}
	return s.write(w)
}

func (r Choose) row(o *decide.Option) []any {
	can := &r.Choice.Shelf.Cans[o.Mounting.Can]
	row := []any{o.Can, o.Place, o.Return, o.Fits, o.TooLarge.Long, o.TooLarge.Wide, o.TooLarge.High, can.UsableVolume.Nominal()}
	var mass, price any = "", ""
	if can.Mass != nil {
		mass = can.Mass.Nominal()
	}
	if can.Price != nil {
		price = *can.Price
	}
	row = append(row, mass, price, r.Choice.Shelf.Currency, string(o.Standing))
	if o.Result == nil {
		for range 3*len(r.Choice.Sessions) + 12 {
			row = append(row, "")
		}
	} else {
		row = append(row, r.chances(o.Result)...)
	}
	emptied := []any{"", "", "", "", ""}
	if e := o.Emptying; e != nil && e.Does {
		emptied = []any{e.Sessions, e.Every, e.Overflow.Probability, e.Overflow.Low, e.Overflow.High}
	}
	row = append(row, emptied...)
	if o.Result == nil {
		return append(row, "", "", o.Problem)
	}
	return append(row, o.Result.Realizations, fmt.Sprint(r.Choice.Seed), o.Problem)
}

// chances are those of all session lengths, then of the longest by what happens.
func (r Choose) chances(res *sim.Result) []any {
	var row []any
	for i := range res.Sessions {
		e := res.Sessions[i].Fails
		row = append(row, e.Probability, e.Low, e.High)
	}
	last := &res.Sessions[len(res.Sessions)-1]
	row = append(row, last.Overflow.Probability, last.Overflow.Low, last.Overflow.High)
	if res.Kind == sim.NoDrain {
		row = append(row, "", "", "")
	} else {
		row = append(row, last.DrainChoked.Probability, last.DrainChoked.Low, last.DrainChoked.High)
	}
	return append(row, last.OverPressure.Probability, last.OverPressure.Low, last.OverPressure.High,
		last.OilLost.Probability, last.OilLost.Low, last.OilLost.High)
}
