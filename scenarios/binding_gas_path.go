package scenarios

import "fmt"

const mostBreathers = 8

func (b *binder) breathers() []Breather {
	paths := b.elements["breathers"]
	if len(paths) > mostBreathers {
		b.problem(b.line("breathers"), "breathers", fmt.Sprintf("too many circuits (got %d, allowed 1 to %d)", len(paths), mostBreathers), "")
		return nil
	}
	list := make([]Breather, 0, len(paths))
	for _, path := range paths {
		list = append(list, Breather{
			Name: path[len("breathers."):],
			To:   Destination(b.word(path + ".to")),
			Pipe: b.pipe(path),
		})
	}
	return list
}

func (b *binder) pipe(path string) Pipe {
	return Pipe{
		Bore:            b.quantity(path + ".bore"),
		Length:          b.quantity(path + ".length"),
		LossCoefficient: b.lossCoefficient(path),
	}
}

func (b *binder) separator() Separator {
	s := Separator{
		UsableVolume:       b.required("separator.usable_volume", "the oil that the can holds"),
		Efficiency:         b.quantity("separator.efficiency"),
		Loss:               b.quantity("separator.pressure_loss.loss"),
		LossAt:             b.quantity("separator.pressure_loss.at"),
		LossDensity:        b.quantity("separator.pressure_loss.gas_density"),
		OilCollects:        b.word("separator.oil_collects"),
		GasPathClosesFrom:  b.quantity("separator.gas_path_closes_from"),
		OilBlownOutFrom:    b.quantity("separator.oil_blown_out_from"),
		EfficiencyWhenFull: b.quantity("separator.efficiency_when_full"),
		CrossSection:       b.given("separator.cross_section"),
		Diameter:           b.given("separator.diameter"),
		Outlet: Outlet{
			To:      Destination(b.word("separator.outlet.to")),
			Pipe:    b.pipe("separator.outlet"),
			OffAxis: b.quantity("separator.outlet.off_axis"),
		},
	}
	b.lossTogether()
	b.conflict("separator.cross_section", "separator.diameter", "one follows from the other")
	if s.CrossSection == nil && s.Diameter == nil {
		b.missing("separator.cross_section", "this, or the diameter of a round can")
	}
	if b.has("separator.efficiency_when_full") && !b.has("separator.oil_blown_out_from") {
		b.unused("no oil is blown out again (oil_blown_out_from is 100 %)", "separator.efficiency_when_full")
	}
	return s
}

// lossTogether warns of half a pair: a loss means little without its flow.
func (b *binder) lossTogether() {
	loss, at := "separator.pressure_loss.loss", "separator.pressure_loss.at"
	switch {
	case b.has(loss) && !b.has(at):
		b.notStated(at)
	case b.has(at) && !b.has(loss):
		b.notStated(loss)
	}
}

// gasReachesSeparator insists on a way for the gas into the can.
func (b *binder) gasReachesSeparator() {
	if v := b.values["breathers"]; v == nil || v.bad {
		return
	}
	for _, breather := range b.s.Breathers {
		if breather.To == ToSeparator {
			return
		}
	}
	if b.s.Drain.Return == AboveOil && b.s.Drain.Seal == NoSeal {
		return // gas goes up the drain
	}
	if b.s.Drain.Return == "" {
		return
	}
	b.problem(b.line("breathers"), "breathers", "no circuit goes to the separator, and no gas gets there through the drain", "write: breathers: [{name: block, to: separator, bore: 16 mm}]")
}
