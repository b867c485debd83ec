package scenarios

// dipstick is the least standard deviation of an oil reading, m3: what a
// dipstick, or a bottle topped up from, can tell. Prior, no published source.
const dipstick = 0.1e-3

func (b *binder) carryOver() CarryOver {
	var c CarryOver
	used, full := b.has("carry_over.oil_used"), b.has("carry_over.full_throttle")
	switch {
	case used && full:
		b.conflict("carry_over.oil_used", "carry_over.full_throttle", "one follows from the other")
	case full:
		c.FullThrottle = b.given("carry_over.full_throttle")
		c.Mist, c.CornerShare = b.given("carry_over.mist"), b.given("carry_over.corner_share")
		b.unused("carry-over is given at full throttle", "carry_over.during", "carry_over.separator_lost", "carry_over.through_breathers")
	case used:
		b.oilUsed(&c)
	default:
		b.absent("carry_over", "how much oil the blow-by takes along", "write: carry_over: {oil_used: 0.35 L, during: 25 min}")
	}
	c.FlowExponent = b.quantity("carry_over.flow_exponent")
	return c
}

// oilUsed reads a reading of oil used, and over what.
func (b *binder) oilUsed(c *CarryOver) {
	b.spread(b.values["carry_over.oil_used"])
	c.OilUsed = b.given("carry_over.oil_used")
	c.SeparatorLost = b.given("carry_over.separator_lost")
	c.ThroughBreathers = b.quantity("carry_over.through_breathers")
	c.Mist = b.quantity("carry_over.mist")
	c.CornerShare = b.quantity("carry_over.corner_share")
	switch during := b.values["carry_over.during"]; {
	case during == nil:
		b.missing("carry_over.during", "the time or distance over which the oil was used")
	case during.field.Kind == DuringKind && during.node.kind == mappingNode && during.node.get("value") == nil && during.node.get("distribution") == nil:
		c.Road = &Road{
			Distance:     b.required("carry_over.during.distance", "the road interval over which the oil was used"),
			MeanSpeed:    b.quantity("carry_over.during.mean_speed"),
			FullThrottle: b.quantity("carry_over.during.full_throttle"),
		}
	default:
		c.During = b.given("carry_over.during")
	}
}

// spread widens an exact or normal reading to what a reading can tell.
func (b *binder) spread(v *value) {
	if v.bad {
		return
	}
	wide := v.distribution.WithMinimumSpread(dipstick)
	wide, cut, err := wide.Truncate(v.field.low, v.field.high)
	if err != nil || wide.Kind == v.distribution.Kind && wide.B == v.distribution.B {
		return
	}
	v.distribution, v.cut = wide, cut
	b.rule("carry_over.oil_used", "a reading is taken to be known to 0.1 L (standard deviation) at best", prior)
	b.warn(v.line, v.path, "widened to a standard deviation of 0.1 L: a reading tells no more (got "+v.text+")")
}
