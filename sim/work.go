package sim

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"sumpward/sim/sampling"
)

// Work is what was simulated, kept by what was asked: of runs, what their blocks of
// realizations add up to; of single realizations, when an event first happened. What a
// simulation finds depends on nothing but the scenario, the seed and the number of the
// realization, so what is kept needn't be simulated again, here or on another machine,
// and leaves no trace in a result. The zero value is empty. It may be written as JSON and
// read again.
type Work struct {
	mutex  sync.Mutex
	runs   map[string][]runWork
	firsts map[string]firstTimes
	every  time.Duration
	save   func()
	next   atomic.Int64 // when to save next, ns since 1970
	more   int          // realizations simulated
}

// runWork is what some blocks of a run come to.
type runWork struct {
	From  int             `json:"from"` // blocks
	To    int             `json:"to"`
	Tally json.RawMessage `json:"tally"`
	Keep  int             `json:"keep,omitempty"` // of how many realizations of the run the first times are kept
	Kept  []byte          `json:"kept,omitempty"` // four float64 for each of them that is in these blocks
}

// SaveEvery has save called after every so long of work, and whenever work is cut short.
// Nothing is simulated meanwhile.
func (w *Work) SaveEvery(d time.Duration, save func()) {
	w.every, w.save = d, save
	w.next.Store(time.Now().Add(d).UnixNano())
}

// Simulated returns how many realizations were simulated because they weren't kept.
func (w *Work) Simulated() int {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return w.more
}

// Empty reports whether nothing is kept.
func (w *Work) Empty() bool {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return len(w.runs) == 0 && len(w.firsts) == 0
}

// due reports whether it is time to save.
func (w *Work) due() bool {
	return w != nil && w.save != nil && time.Now().UnixNano() >= w.next.Load()
}

// saveNow saves, and takes at most a tenth of the time for it.
func (w *Work) saveNow() {
	if w == nil || w.save == nil {
		return
	}
	begun := time.Now()
	w.save()
	end := time.Now()
	w.next.Store(end.Add(max(w.every, 9*end.Sub(begun))).UnixNano())
}

// run returns what is kept of a run, by blocks.
func (w *Work) run(key string) []runWork {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return w.runs[key]
}

// keepRun keeps blocks of a run, in place of those of the same blocks.
func (w *Work) keepRun(key string, r runWork, simulated int) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.runs == nil {
		w.runs = map[string][]runWork{}
	}
	w.more += simulated
	kept := slices.DeleteFunc(slices.Clone(w.runs[key]), func(o runWork) bool { return o.From < r.To && r.From < o.To })
	kept = append(kept, r)
	slices.SortFunc(kept, func(a, b runWork) int { return cmp.Compare(a.From, b.From) })
	w.runs[key] = kept
}

// first returns the first times that are kept of n realizations, NaN where one isn't.
func (w *Work) first(key string, n int) []float64 {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	kept := w.firsts[key]
	if kept.N != n {
		kept = firstTimes{N: n}
	}
	return kept.list()
}

func (w *Work) keepFirst(key string, first []float64, simulated int) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.firsts == nil {
		w.firsts = map[string]firstTimes{}
	}
	w.more += simulated
	w.firsts[key] = firstTimesOf(first)
}

// ErrDoubled is work that was kept twice.
var ErrDoubled = errors.New("the same realizations stand in both")

// Merge takes in what another keeps. Blocks of a run that both keep are [ErrDoubled];
// first times that both keep have to agree.
func (w *Work) Merge(o *Work) error {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.runs == nil {
		w.runs = map[string][]runWork{}
	}
	if w.firsts == nil {
		w.firsts = map[string]firstTimes{}
	}
	for key, more := range o.runs {
		all := append(slices.Clone(w.runs[key]), more...)
		slices.SortFunc(all, func(a, b runWork) int { return cmp.Compare(a.From, b.From) })
		for i := 1; i < len(all); i++ {
			if all[i].From < all[i-1].To {
				return ErrDoubled
			}
		}
		w.runs[key] = all
	}
	for key, more := range o.firsts {
		kept, there := w.firsts[key]
		if !there {
			w.firsts[key] = more
			continue
		}
		both := kept.list()
		if err := agree(both, more.list()); err != nil {
			return err
		}
		w.firsts[key] = firstTimesOf(both)
	}
	return nil
}

// agree puts first times to others of the same realizations.
func agree(kept, more []float64) error {
	if len(kept) != len(more) {
		return fmt.Errorf("first times of %d realizations beside %d", len(more), len(kept))
	}
	for i, t := range more {
		switch {
		case math.IsNaN(t):
		case math.IsNaN(kept[i]):
			kept[i] = t
		case kept[i] != t:
			return fmt.Errorf("realization %d came out otherwise in one than in the other (%g s, %g s)", i, t, kept[i])
		}
	}
	return nil
}

// Gap is a range of realizations that are missing from a result.
type Gap struct{ From, To int } // To is the first one that is there again

// gapOf is a gap of blocks, of so many realizations in all.
func gapOf(from, to, limit int) Gap {
	return Gap{from * sampling.BlockSize, min(to*sampling.BlockSize, limit)}
}
