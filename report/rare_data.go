package report

import "sumpward/sim"

const rareReference = "Au, Beck 2001, Prob. Eng. Mech. 16(4) 263-277: subset simulation"

type rareJSON struct {
	Session number          `json:"length_s"`
	Events  []rareEventJSON `json:"events"`
}

// rareEventJSON is a small chance. One that was not reached is 0, and high is the chance
// below which it was given up.
type rareEventJSON struct {
	Event        string          `json:"event"`
	Probability  number          `json:"probability"`
	Low          number          `json:"low"`
	High         number          `json:"high"`
	Repeats      []number        `json:"repeats"` // the chance that each came to
	Levels       []rareLevelJSON `json:"levels"`  // of the first repeat
	Realizations int             `json:"realizations"`
	LeftOut      int             `json:"left_out_realizations,omitempty"`
	Direct       *number         `json:"direct_realizations,omitempty"` // that direct sampling takes for the same standard error
	Seen         int64           `json:"direct_events"`
	Disagrees    bool            `json:"disagrees_with_direct"`
	Warnings     []string        `json:"warnings"`
}

type rareLevelJSON struct {
	Closeness number `json:"closeness"`
	Chance    number `json:"chance"`
	Accepted  number `json:"accepted_moves"`
}

func rareOf(r *Rare, res *sim.Result) *rareJSON {
	if r == nil {
		return nil
	}
	out := &rareJSON{Session: number(res.Sessions[r.Session].Length), Events: []rareEventJSON{}}
	for i := range r.Found {
		f := &r.Found[i]
		e := f.Estimate
		event := rareEventJSON{
			Event: rareKeys[f.Event], Probability: number(e.Probability), Low: number(e.Low), High: number(e.High),
			Realizations: e.Realizations, LeftOut: e.Left, Seen: f.Seen, Disagrees: f.Disagrees(), Warnings: listed(e.Warnings),
		}
		if e.Probability > 0 {
			direct := number(e.Direct())
			event.Direct = &direct
		}
		for _, c := range e.Chances {
			event.Repeats = append(event.Repeats, number(c))
		}
		for _, l := range e.First {
			event.Levels = append(event.Levels, rareLevelJSON{number(l.Threshold), number(l.Chance), number(l.Accepted)})
		}
		out.Events = append(out.Events, event)
	}
	return out
}

// rareKeys are the keys of events in data.
var rareKeys = map[sim.Event]string{
	sim.Overflow: "overflow", sim.DrainChoked: "drain_choked", sim.OverPressure: "over_pressure", sim.OilLost: "oil_lost",
}

// rareEvents is the order of the columns of small chances.
var rareEvents = []sim.Event{sim.Overflow, sim.DrainChoked, sim.OverPressure, sim.OilLost}

// rareColumns follow the others where small chances were asked for.
func rareColumns() []string {
	var head []string
	for _, e := range rareEvents {
		for _, of := range []string{"probability", "low", "high"} {
			head = append(head, rareKeys[e]+"_rare_"+of)
		}
	}
	return head
}

// cells are the small chances in the row of a session; blank where there is none.
func (r *Rare) cells(session int) []any {
	var row []any
	for _, e := range rareEvents {
		cells := blanks(3)
		for i := range r.Found {
			if f := &r.Found[i]; session == r.Session && f.Event == e {
				cells = []any{f.Estimate.Probability, f.Estimate.Low, f.Estimate.High}
			}
		}
		row = append(row, cells...)
	}
	return row
}
