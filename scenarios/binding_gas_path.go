package scenarios

import (
	"fmt"
	"slices"
)

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
	var s Separator
	if b.has("separator.usable_volume") || !b.hasShape() {
		s.UsableVolume = b.required("separator.usable_volume", "the oil that the can holds")
	}
	b.mistCaught(&s)
	s.OilCollects = b.word("separator.oil_collects")
	if !b.hasShape() || !b.has(innerPath) {
		s.GasPathClosesFrom = b.quantity("separator.gas_path_closes_from")
	}
	s.OilBlownOutFrom = b.quantity("separator.oil_blown_out_from")
	s.EfficiencyWhenFull = b.whenFull()
	s.CrossSection = b.given("separator.cross_section")
	s.Diameter = b.given("separator.diameter")
	s.Outlet = Outlet{To: Destination(b.word("separator.outlet.to")), Pipe: b.pipe("separator.outlet")}
	if !b.hasShape() {
		s.Outlet.OffAxis = b.quantity("separator.outlet.off_axis")
	}
	b.roundOrNot(&s)
	b.canShape(&s)
	if s.Elements != nil {
		s.Droplets = b.droplets()
	}
	return s
}

// roundOrNot insists on the cross-section of the can; on its diameter where its
// shape is told of.
func (b *binder) roundOrNot(s *Separator) {
	b.conflict("separator.cross_section", "separator.diameter", "one follows from the other")
	switch {
	case s.Diameter != nil:
	case b.hasShape() && s.CrossSection != nil:
		b.problem(b.line("separator.cross_section"), "separator.diameter", "missing: a can with outlet.mouth is round (got a cross_section)", fieldAt("separator.diameter").hint(""))
	case b.hasShape():
		b.missing("separator.diameter", "a can with outlet.mouth is round")
	case s.CrossSection == nil:
		b.missing("separator.cross_section", "this, or the diameter of a round can")
	}
}

// mistCaught binds the efficiency and the pressure loss, stated or from elements.
func (b *binder) mistCaught(s *Separator) {
	const loss, at, density = "separator.pressure_loss.loss", "separator.pressure_loss.at", "separator.pressure_loss.gas_density"
	b.conflict("separator.efficiency", "separator.elements", "the efficiency follows from the elements")
	if s.Elements = b.stages(); s.Elements == nil {
		s.Efficiency = b.quantity("separator.efficiency")
	}
	measured := slices.ContainsFunc(s.Elements, func(e Element) bool { return e.Kind == MeasuredElement })
	if s.Elements != nil && !measured && !b.has(loss) && !b.has(at) {
		b.rule("separator.pressure_loss", "follows from the elements", "velocity heads of their jets, inlets and faces")
		b.unused("the pressure loss follows from the elements", density)
		return
	}
	s.Loss, s.LossAt, s.LossDensity = b.quantity(loss), b.quantity(at), b.quantity(density)
	b.lossTogether()
}

// whenFull binds what is still caught when the can is full.
func (b *binder) whenFull() *Quantity {
	const from, whenFull = "separator.oil_blown_out_from", "separator.efficiency_when_full"
	switch {
	case b.lowInlet():
		if !b.has(from) {
			b.rule(from, "follows from inlet_mouth: the fill at which the oil reaches it", "geometry of the can")
		}
		return b.otherwise(whenFull, "50 .. 100 %", prior+"; gas comes in below the oil")
	case b.has(whenFull) && !b.has(from):
		b.unused("no oil is blown out again (oil_blown_out_from is 100 %)", whenFull)
	}
	return b.quantity(whenFull)
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
