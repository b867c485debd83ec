package sim

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
)

func TestRunSmoke(t *testing.T) {
	for _, name := range scenarios.ReadyNames() {
		s, err := scenarios.Ready(name)
		require.NoError(t, err)
		r, err := Run(context.Background(), s, Options{})
		require.NoError(t, err)
		t.Logf("%s n=%d reached %.4f pressure %+v margin %+v flood %+v stand %+v over %+v residual %.2g", name, r.Realizations, r.Reached, r.PeakPressure, r.DrainMargin, r.FloodShare, r.ToStand, r.ToOver, r.Residual)
		for _, x := range r.Sessions {
			t.Logf("%5.0f over %.4f [%.4f %.4f] choked %.4f [%.4f %.4f] pressure %.4f lost %.4f fill %+v held %+v intake %+v", x.Length, x.Overflow.Probability, x.Overflow.Low, x.Overflow.High, x.DrainChoked.Probability, x.DrainChoked.Low, x.DrainChoked.High, x.OverPressure.Probability, x.OilLost.Probability, x.PeakFill, x.HeldShare, x.OilToIntake)
		}
		t.Logf("%v %+v", r.Warnings, r.Balance)
	}
}

func TestDrainCheckSmoke(t *testing.T) {
	for _, name := range scenarios.ReadyNames() {
		s, err := scenarios.Ready(name)
		require.NoError(t, err)
		m, err := NewModel(s)
		require.NoError(t, err)
		c, err := m.CheckDrain()
		require.NoError(t, err)
		phases := c.Phases
		c.Phases = nil
		t.Logf("%+v", *c)
		for _, p := range phases[:min(len(phases), 16)] {
			t.Logf("%+v", p)
		}
		tr, err := m.Replay(nil, 1, 3, 1)
		require.NoError(t, err)
		t.Logf("%d points, last %+v", len(tr.Points), tr.Points[len(tr.Points)-1])
	}
}
