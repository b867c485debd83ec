package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"sumpward/sim"
	"sumpward/sim/stats"
)

// between is a chance whose interval has these ends.
func between(low, high float64) Chance {
	return Chance{Estimate: stats.Estimate{Probability: (low + high) / 2, Low: low, High: high}, Events: 1, Of: 100}
}

func TestStandingTo(t *testing.T) {
	for _, x := range []struct {
		chance Chance
		want   Standing
		text   string
	}{
		{between(0, 0.01), Within, "met"},
		{between(0.005, 0.011), Unclear, "can't tell"},
		{between(0.01, 0.02), Unclear, "can't tell"},
		{between(0.011, 0.02), Beyond, "not met"},
		{Chance{Estimate: stats.Estimate{Low: 0.5, High: 1}, Impossible: true}, Within, "met"},
	} {
		assert.Equal(t, x.want, x.chance.StandingTo(0.01), "%+v", x.chance)
		assert.Equal(t, x.text, x.want.Text())
	}
}

func TestWhatGoverns(t *testing.T) {
	meets, may, breaks := between(0, 0.005), between(0.005, 0.02), between(0.02, 0.03)
	for _, x := range []struct {
		fails, over, lost Chance
		worst             Standing
		which             int
		besides           []int
	}{
		{meets, meets, meets, Within, Fails, nil},
		{breaks, breaks, breaks, Beyond, Fails, nil},
		{may, meets, may, Unclear, Fails, nil},
		{meets, may, meets, Unclear, OverPressure, []int{OverPressure}},
		{may, may, breaks, Beyond, OilLost, []int{OilLost}},
		{meets, breaks, breaks, Beyond, OverPressure, []int{OverPressure, OilLost}},
	} {
		// Overflow and a choked drain by themselves don't count: Fails holds both.
		chances := [5]Chance{breaks, breaks, x.over, x.lost, x.fails}
		worst, which := Governing(chances, 0.01)
		assert.Equal(t, x.worst, worst, "%+v", x)
		assert.Equal(t, x.which, which, "%+v", x)
		assert.Equal(t, x.besides, Besides(chances, 0.01), "%+v", x)
	}
}

func TestSessionStanding(t *testing.T) {
	short := sim.SessionResult{Fails: between(0, 0.005).Estimate, OilLost: between(0, 0.02).Estimate}
	long := sim.SessionResult{Fails: between(0.02, 0.03).Estimate}
	res := &sim.Result{Sessions: []sim.SessionResult{short, long}}
	assert.Equal(t, Unclear, SessionStanding(res, 0, 0.01))
	assert.Equal(t, Beyond, SessionStanding(res, 1, 0.01))
}
