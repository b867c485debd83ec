package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/scenarios"
	"sumpward/scenarios/units"
)

func TestLengthsOfSessionsAndOfAnEvent(t *testing.T) {
	s := &scenarios.Scenario{}
	d := DrivenBy(s, units.Metric)
	what, when := d.Simulated(3600)
	assert.Equal(t, []string{"60 min sessions", ""}, []string{what, when})
	assert.Equal(t, "a 25 min session meets", d.Meets(1500))
	assert.Equal(t, "sessions of up to 25 min meet", d.UpTo(1500))
	assert.Equal(t, []string{"session", "sessions"}, []string{d.One(), d.Many()})
	assert.False(t, d.Scheduled())

	s.Duty.Event = 4 * 3600
	s.Duty.Schedule = []scenarios.ScheduleItem{{}}
	d = DrivenBy(s, units.US)
	for seconds, want := range map[float64][3]string{
		3600:      {"events", " in the first 1 h", "the first 1 h of an event meets"},
		5400:      {"events", " in the first 90 min", "the first 90 min of an event meet"},
		4 * 3600:  {"4 h events", "", "an event of 4 h meets"},
		14_399.99: {"4 h events", "", "an event of 4 h meets"},
	} {
		what, when := d.Simulated(seconds)
		assert.Equal(t, want, [3]string{what, when, d.Meets(seconds)})
		assert.Equal(t, want[2], d.UpTo(seconds))
	}
	assert.Equal(t, []string{"event", "events"}, []string{d.One(), d.Many()})
}
