package report

import (
	"io"

	"sumpward/sim/decide"
)

type volumeJSON struct {
	Session number `json:"length_s"`
	Volume  number `json:"usable_volume_m3"` // the root itself; null: none up to the one searched
	Low     number `json:"low"`
	High    number `json:"high"` // null: none does for sure
	Take    number `json:"take_m3"`
	To      number `json:"searched_to_m3"`
}

type fallJSON struct {
	Session number `json:"length_s"`
	Fall    number `json:"fall_m"`
	Low     number `json:"low"`
	High    number `json:"high"`
	Take    number `json:"take_m"`
	To      number `json:"searched_to_m"`
}

type cellJSON struct {
	Volume  *number    `json:"usable_volume_m3,omitempty"`
	Fall    *number    `json:"fall_m,omitempty"`
	Bore    *number    `json:"bore_m,omitempty"`
	Session number     `json:"length_s"`
	Fails   chanceJSON `json:"overflow_or_choked"`
	Of      int64      `json:"realizations"`
	Keeps   string     `json:"keeps_limit"` // yes, no, can't tell
	Problem string     `json:"problem,omitempty"`
}

type sizeJSON struct {
	Format       string       `json:"format"`
	Version      int          `json:"version"`
	Scenario     scenarioJSON `json:"scenario"`
	Seed         uint64       `json:"seed"`
	Realizations int          `json:"realizations"`
	Sampling     string       `json:"sampling"`
	Inputs       inputsJSON   `json:"inputs"`
	Risk         number       `json:"risk"`
	Smallest     volumeJSON   `json:"smallest"`
	LeastFall    *fallJSON    `json:"least_fall,omitempty"`
	Volumes      []volumeJSON `json:"smallest_by_session"`
	Falls        []fallJSON   `json:"least_fall_by_session,omitempty"`
	ByVolume     []cellJSON   `json:"volume_by_session"`
	ByFall       []cellJSON   `json:"fall_by_bore,omitempty"`
	Verdict      string       `json:"verdict"`
	Warnings     []string     `json:"warnings"`
	Cautions     []string     `json:"cautions"`
	References   []string     `json:"references"`
}

// WriteJSON writes tables and thresholds for programs.
func (r Size) WriteJSON(w io.Writer) error {
	z := r.Sizing
	out := sizeJSON{
		Format: "sumpward/size", Version: 1, Scenario: scenarioOf(z.Scenario), Seed: z.Seed,
		Realizations: z.Volume[0].Realizations, Sampling: z.Sampling, Inputs: inputsOf(z.Scenario), Risk: number(z.Risk),
		Verdict: SizingVerdict(z, r.Units), Warnings: listed(z.Warnings),
		Cautions: append([]string{RestsOn(z.Scenario)}, Cautions...), References: References(z.LargestCan),
	}
	for _, t := range z.Volume {
		out.Volumes = append(out.Volumes, volumeJSON{number(t.Session), number(t.Value), number(t.Low), number(t.High), number(t.Buy), number(t.To)})
	}
	for _, t := range z.Fall {
		out.Falls = append(out.Falls, fallJSON{number(t.Session), number(t.Value), number(t.Low), number(t.High), number(t.Buy), number(t.To)})
	}
	out.Smallest = out.Volumes[len(out.Volumes)-1]
	if n := len(out.Falls); n > 0 {
		out.LeastFall = &out.Falls[n-1]
	}
	for _, c := range r.cells() {
		j := c.json(z.Risk)
		if c.bore == 0 {
			out.ByVolume = append(out.ByVolume, j)
		} else {
			out.ByFall = append(out.ByFall, j)
		}
	}
	return writeJSON(w, out)
}

// placedCell is a cell with its place; what a table doesn't vary is 0.
type placedCell struct {
	decide.Cell
	volume, fall, bore, session float64
}

// cells lists the cells of both tables.
func (r Size) cells() []placedCell {
	var list []placedCell
	for i, row := range r.Sizing.Volumes.Cells {
		for j, c := range row {
			list = append(list, placedCell{Cell: c, volume: r.Sizing.Volumes.Rows.Values[i], session: r.Sizing.Volumes.Columns.Values[j]})
		}
	}
	t := r.Sizing.Drains
	if t == nil {
		return list
	}
	for i, row := range t.Cells {
		for j, c := range row {
			list = append(list, placedCell{Cell: c, fall: t.Rows.Values[i], bore: t.Columns.Values[j], session: t.Session})
		}
	}
	return list
}

func (c placedCell) json(risk float64) cellJSON {
	out := cellJSON{
		Session: number(c.session), Of: c.Realizations, Keeps: c.keeps(risk), Problem: c.Problem,
		Fails: chanceJSON{number(c.Fails.Probability), number(c.Fails.Low), number(c.Fails.High), c.Events},
	}
	volume, fall, bore := number(c.volume), number(c.fall), number(c.bore)
	if c.bore == 0 {
		out.Volume = &volume
	} else {
		out.Fall, out.Bore = &fall, &bore
	}
	return out
}

func (c placedCell) keeps(risk float64) string {
	if c.Problem != "" {
		return ""
	}
	return Keeps(c.Cell, risk)
}

// WriteCSV writes one row for each cell of both tables, SI.
func (r Size) WriteCSV(w io.Writer) error {
	s := &sheet{head: []string{"usable_volume_m3", "fall_m", "bore_m", "length_s",
		"overflow_or_choked_probability", "overflow_or_choked_low", "overflow_or_choked_high", "overflow_or_choked_events",
		"realizations", "keeps_limit", "problem", "seed"}}
	for _, c := range r.cells() {
		volume, fall, bore := any(c.volume), any(c.fall), any(c.bore)
		if c.bore == 0 {
			fall, bore = "", ""
		} else {
			volume = ""
		}
		s.add(volume, fall, bore, c.session, c.Fails.Probability, c.Fails.Low, c.Fails.High, c.Events,
			c.Realizations, c.keeps(r.Sizing.Risk), c.Problem, r.Sizing.Seed)
	}
	return s.write(w)
}

// Keeps says whether a cell meets a limit of risk: "yes" and "no" where the whole
// interval says so, else "can't tell".
func Keeps(c decide.Cell, risk float64) string {
	switch {
	case c.Fails.High <= risk:
		return "yes"
	case c.Fails.Low > risk:
		return "no"
	}
	return "can't tell"
}
