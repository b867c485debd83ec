package interview

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/scenarios"
	"sumpward/scenarios/preset"
)

// answered gives answers in turn: "use", "road", "fall", "90 mm".
func answered(t *testing.T, pairs ...string) Answers {
	t.Helper()
	var a Answers
	var err error
	for i := 0; i < len(pairs); i += 2 {
		a, err = a.With(pairs[i], pairs[i+1])
		require.NoError(t, err, "%s: %s", pairs[i], pairs[i+1])
	}
	return a
}

func loaded(t *testing.T, a Answers) *scenarios.Scenario {
	t.Helper()
	data, err := a.File()
	require.NoError(t, err)
	s, err := scenarios.Parse("answers", data, nil)
	require.NoError(t, err)
	return s
}

// Every example that a question shows is understood.
func TestExamplesAreUnderstood(t *testing.T) {
	require.Len(t, Questions(), 10)
	for _, q := range Questions() {
		assert.NotEmpty(t, q.More, q.Name)
		assert.LessOrEqual(t, len(q.Text), 70, q.Name)
		for text := range strings.SplitSeq(q.Example, "; ") {
			a, err := Answers{}.With(q.Name, text)
			if assert.NoError(t, err, "%s: %s", q.Name, text) {
				loaded(t, a)
			}
		}
		for _, text := range q.Choices {
			_, err := Answers{}.With(q.Name, text)
			assert.NoError(t, err, "%s: %s", q.Name, text)
		}
	}
}

// What is told stands in the scenario, converted to SI, and counts as stated.
func TestAnswersReachTheScenario(t *testing.T) {
	for _, c := range []struct {
		question, text, path string
		want                 float64 // SI, by definition of the units
	}{
		{"engine", "2.2 L flat four turbo", "engine.displacement", 2.2e-3},
		{"engine", "flat-four turbo, 2200cc", "engine.displacement", 2.2e-3},
		{"engine", "302 cu in V8 NA", "engine.displacement", 302 * 0.0254 * 0.0254 * 0.0254},
		{"engine", "1.1 bar 2 L inline 4", "engine.boost", 1.1e5},
		{"boost", "16 psi", "engine.boost", 16 * 6894.757293168361},
		{"boost", "none", "engine.boost", 0},
		{"can", "1/2 US qt", "separator.usable_volume", 0.5 * 946.352946e-6},
		{"can", "0.45 L, emptied by hand", "separator.usable_volume", 0.45e-3},
		{"fall", "3 1/2 in", "drain.fall", 88.9e-3},
		{"fall", "9 cm", "drain.fall", 0.09},
		{"bore", "1/2 in", "drain.bore", 12.7e-3},
		{"also", "vents to air, dip 30 mm", "drain.dip", 0.03},
	} {
		s := loaded(t, answered(t, c.question, c.text))
		q := s.Input(c.path)
		if assert.NotNil(t, q, c.text) {
			assert.InEpsilon(t, 1+c.want, 1+q.Nominal(), 1e-9, c.text)
			assert.Equal(t, scenarios.Stated, q.Basis, c.text)
		}
	}
}

func TestWaysBack(t *testing.T) {
	for text, want := range map[string][2]string{
		"block breather, valve":      {"above_oil", "valve"},
		"check valve into the block": {"above_oil", "valve"},
		"cam cover, plain hose":      {"above_oil", "none"},
		"turbo drain through a trap": {"above_oil", "trap"},
		"block, not sealed":          {"above_oil", "none"},
		"sump":                       {"below_oil", "none"},
		"sump, below the oil":        {"below_oil", "none"},
		"by hand":                    {"emptied_by_hand", ""},
		"valve":                      {"above_oil", "valve"},
		"it is emptied by hand":      {"emptied_by_hand", ""},
	} {
		s := loaded(t, answered(t, "return", text))
		assert.Equal(t, want[0], string(s.Drain.Return), text)
		if want[1] != "" {
			assert.Equal(t, want[1], string(s.Drain.Seal), text)
		}
	}
}

func TestOilUsed(t *testing.T) {
	const day, litre = 86400, 1e-3
	for _, c := range []struct {
		text   string
		volume float64 // m3
		road   bool
		unread string
	}{
		{"0.3 L a session", 0.3 * litre, false, ""},
		{"0.3 L/session", 0.3 * litre, false, ""},
		{"0.3 L in 25 min", 0.3 * litre, false, ""},
		{"1 L in 6000 km", 1 * litre, true, "oil used on the road says little of a session"},
		{"1 US qt every 1000 miles", 0.946352946 * litre, true, "oil used on the road says little of a session"},
		{"1 L between oil changes", 1 * litre, true, "oil used on the road says little of a session"},
		{"0.5 L", 0.5 * litre, false, "over what the oil was used is not known"},
		{"some", 0, false, `"some" is no reading of how much oil comes over`},
		{"much per oil change", 0, true, `"much" is no reading of how much oil comes over`},
	} {
		a := answered(t, "use", "track day", "oil", c.text)
		s := loaded(t, a)
		assert.Equal(t, c.unread, a.CarryOverUnread(), c.text)
		assert.Equal(t, c.road, s.CarryOver.Road != nil, c.text)
		if c.volume > 0 {
			assert.InEpsilon(t, c.volume, s.CarryOver.OilUsed.Nominal(), 1e-9, c.text)
		}
	}
	assert.Equal(t, "how much oil comes over is not known", answered(t, "use", "track day").CarryOverUnread())
	assert.Empty(t, answered(t, "use", "road", "oil", "1 L in 6000 km").CarryOverUnread(), "on the road it is a reading")
}

func TestWrongAnswersSayWhy(t *testing.T) {
	for _, c := range []struct{ question, text, want string }{
		{"use", "rallycross", "no such use (got rallycross): use one of road, track day, sprint and hill climb, endurance"},
		{"engine", "2.2 flat four", "the size needs its unit (got 2.2)\n  for instance 2.2 L"},
		{"engine", "2 L flat for", "did you mean flat four?"},
		{"boost", "1.1", "unit is missing"},
		{"boost", "1.1 mm", "wanted a pressure"},
		{"condition", "worn out", "not one of the choices"},
		{"oil", "0.3 kg a session", "wanted a volume"},
		{"oil", "0.3 L a day", "for instance 0.3 L in 80 min"},
		{"can", "-1 L", "allowed"},
		{"return", "exhaust", "not one of the choices"},
		{"return", "block, sealed", "sealed by what?"},
		{"fall", "90", "for instance 90 mm"},
		{"fall", "9 km", "allowed"},
		{"bore", "dash", "dash"},
		{"also", "loud", "not one of these (got loud)"},
		{"also", "dip 3 kPa", "wanted a length"},
		{"fall", "90\x1b[2J mm", "printable"},
		{"title", "x", "there is no question"},
	} {
		before := answered(t, "use", "road")
		after, err := before.With(c.question, c.text)
		if assert.Error(t, err, c.text) {
			assert.Contains(t, err.Error(), c.want, c.text)
		}
		assert.Equal(t, before, after, "a wrong answer changes nothing: %s", c.text)
	}
}

func TestContradictionsAreRefused(t *testing.T) {
	_, err := answered(t, "engine", "2 L V6 NA").With("boost", "1 bar")
	assert.ErrorContains(t, err, "without a charger")
	_, err = answered(t, "can", "0.5 L by hand").With("fall", "90 mm")
	assert.ErrorContains(t, err, "no drain hose")
	answered(t, "engine", "2 L V6 NA", "boost", "0 bar")
}

// Only what still makes a difference is asked.
func TestWhatIsAsked(t *testing.T) {
	asked := func(a Answers) (names []string) {
		for {
			q, more := a.Next()
			if !more {
				return names
			}
			names = append(names, q.Name)
			var err error
			a, err = a.With(q.Name, "")
			require.NoError(t, err)
		}
	}
	all := []string{"use", "engine", "boost", "condition", "oil", "can", "return", "fall", "bore", "also"}
	assert.Equal(t, all, asked(Answers{}))
	assert.Equal(t, slices.DeleteFunc(slices.Clone(all), func(n string) bool { return n == "engine" || n == "boost" }),
		asked(answered(t, "engine", "2 L inline four NA")))
	assert.Equal(t, []string{"use", "boost", "condition", "oil", "also"}, asked(answered(t, "engine", "turbo", "can", "by hand")))
	assert.Equal(t, asked(Answers{}), asked(Answers{}), "the zero value stays as it was")
}

func TestDontKnowIsNoAnswer(t *testing.T) {
	for _, text := range []string{"", " ", "don't know", "Unknown", "-"} {
		a := answered(t, "fall", text)
		assert.Empty(t, a.Told(), text)
		assert.Equal(t, scenarios.Assumed, loaded(t, a).Input("drain.fall").Basis, text)
	}
	told := answered(t, "fall", " 90  mm ", "use", "road").Told()
	assert.Equal(t, []Answer{{"use", "road"}, {"fall", "90 mm"}}, told)
}

// What no range stands for is listed, and loads; what is told is not.
func TestOthers(t *testing.T) {
	names := func(a Answers, question string) (list []string) {
		for _, o := range a.Others() {
			loaded(t, o.Answers)
			if o.Question == question {
				list = append(list, o.Name)
			}
		}
		return list
	}
	assert.Len(t, names(Answers{}, "use"), len(preset.UseNames())-1)
	assert.Len(t, names(Answers{}, "engine"), len(preset.EngineNames())-1)
	assert.Equal(t, []string{"below the oil", "by hand", "plain hose"}, names(Answers{}, "return"))

	assert.Equal(t, []string{"flat four"}, names(answered(t, "engine", "flat four"), "engine"), "with a charger or without")
	assert.Empty(t, names(answered(t, "engine", "flat four", "boost", "1 bar"), "engine"), "boost tells of a charger")
	assert.Equal(t, []string{"inline four", "flat four", "flat four turbo"}, sorted(names(answered(t, "engine", "2 L"), "engine")), "no V8 of 2 L")
	assert.Equal(t, []string{"plain hose"}, names(answered(t, "return", "block"), "return"))
	assert.Equal(t, []string{"below the oil", "plain hose"}, names(answered(t, "fall", "90 mm"), "return"), "a can with a fall has a drain")
	assert.Empty(t, answered(t, "use", "road", "engine", "5 L V8 NA", "return", "by hand").Others())
}

func sorted(names []string) []string {
	order := preset.EngineNames()
	slices.SortFunc(names, func(a, b string) int { return slices.Index(order, a) - slices.Index(order, b) })
	return names
}

// Boost tells of a charger where the engine's answer doesn't.
func TestBoostTellsOfACharger(t *testing.T) {
	for boost, turbo := range map[string]bool{"1 bar": true, "0 bar": false, "0.2 .. 0.4 bar": true} {
		a := answered(t, "engine", "flat four", "boost", boost)
		data, err := a.File()
		require.NoError(t, err)
		assert.Equal(t, turbo, strings.Contains(string(data), "flat four turbo, track day"), boost)
		assert.NotContains(t, a.Taken(), "flat four", "told in full: %s", boost)
	}
}

func TestFileSaysWhatWasTold(t *testing.T) {
	a := answered(t, "engine", "2.2 L flat four turbo", "fall", "90 mm")
	a, err := a.WithCan("1.1 L")
	require.NoError(t, err)
	data, err := a.File()
	require.NoError(t, err)
	file := string(data)
	for _, want := range []string{
		"#   engine: 2.2 L flat four turbo\n", "#   fall: 90 mm\n",
		"# not told, so taken as: track day; back above the oil, through a valve\n",
		"# can not told: sized, the smallest that keeps the limit, rounded up: 1.1 L\n",
		"nobody's car", `title: "My car: flat four turbo, track day"`, "fall: 90 mm   # stated",
	} {
		assert.Contains(t, file, want)
	}
	nothing, err := Answers{}.File()
	require.NoError(t, err)
	assert.Contains(t, string(nothing), "not your car")
}

// Whatever is typed, it is understood or refused, and what is understood loads.
func FuzzAnswers(f *testing.F) {
	for i, q := range Questions() {
		for text := range strings.SplitSeq(q.Example, "; ") {
			f.Add(i, text)
		}
	}
	f.Add(1, "4 .. 5 L a")
	f.Add(4, "over / in")
	f.Fuzz(func(t *testing.T, i int, text string) {
		q := Questions()[((i%10)+10)%10]
		a, err := Answers{}.With(q.Name, text)
		if err != nil {
			return
		}
		loaded(t, a)
		for _, o := range a.Others() {
			loaded(t, o.Answers)
		}
	})
}
