package sim

import (
	"cmp"
	"encoding/binary"
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
	firsts map[string][]float64 // by realization; NaN: not simulated
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

func (w *Work) saveNow() {
	if w == nil || w.save == nil {
		return
	}
	w.save()
	w.next.Store(time.Now().Add(w.every).UnixNano())
}

// run returns what is kept of a run, by blocks.
func (w *Work) run(key string) []runWork {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return w.runs[key]
}

// keepRun keeps blocks of a run, in place of those from the same block on.
func (w *Work) keepRun(key string, r runWork, simulated int) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.runs == nil {
		w.runs = map[string][]runWork{}
	}
	w.more += simulated
	kept := slices.DeleteFunc(slices.Clone(w.runs[key]), func(o runWork) bool { return o.From >= r.From && o.To <= r.To })
	kept = append(kept, r)
	slices.SortFunc(kept, func(a, b runWork) int { return cmp.Compare(a.From, b.From) })
	w.runs[key] = kept
}

// first returns a copy of the first times that are kept, NaN where one isn't.
func (w *Work) first(key string, n int) []float64 {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if kept := w.firsts[key]; len(kept) == n {
		return slices.Clone(kept)
	}
	none := make([]float64, n)
	for i := range none {
		none[i] = math.NaN()
	}
	return none
}

func (w *Work) keepFirst(key string, first []float64, simulated int) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.firsts == nil {
		w.firsts = map[string][]float64{}
	}
	w.more += simulated
	w.firsts[key] = slices.Clone(first)
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
		w.firsts = map[string][]float64{}
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
			w.firsts[key] = slices.Clone(more)
			continue
		}
		if err := agree(kept, more); err != nil {
			return err
		}
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

// mostBlocks bounds the blocks of a run that is read.
const mostBlocks = 1 << 40 / sampling.BlockSize

type workJSON struct {
	Runs   map[string][]runWork `json:"runs"`
	Firsts map[string][]byte    `json:"firsts"`
}

// MarshalJSON writes what is kept.
func (w *Work) MarshalJSON() ([]byte, error) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	out := workJSON{Runs: w.runs, Firsts: map[string][]byte{}}
	for key, first := range w.firsts {
		out.Firsts[key] = floatBytes(first)
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (w *Work) UnmarshalJSON(data []byte) error {
	var in workJSON
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.runs, w.firsts = map[string][]runWork{}, map[string][]float64{}
	for key, list := range in.Runs {
		for i, r := range list {
			if r.From < 0 || r.To <= r.From || r.To > mostBlocks || r.Keep < 0 || i > 0 && r.From < list[i-1].To {
				return fmt.Errorf("blocks %d to %d of a run", r.From, r.To)
			}
		}
		w.runs[key] = list
	}
	for key, bytes := range in.Firsts {
		first, err := floatsOf(bytes)
		if err != nil {
			return err
		}
		w.firsts[key] = first
	}
	return nil
}

func floatBytes(list []float64) []byte {
	out := make([]byte, 0, 8*len(list))
	for _, x := range list {
		out = binary.LittleEndian.AppendUint64(out, math.Float64bits(x))
	}
	return out
}

func floatsOf(bytes []byte) ([]float64, error) {
	if len(bytes)%8 != 0 {
		return nil, fmt.Errorf("numbers of 8 bytes (got %d bytes)", len(bytes))
	}
	list := make([]float64, len(bytes)/8)
	for i := range list {
		list[i] = math.Float64frombits(binary.LittleEndian.Uint64(bytes[8*i:]))
	}
	return list, nil
}

// Gap is a range of realizations that are missing from a result.
type Gap struct{ From, To int } // To is the first one that is there again

// gapOf is a gap of blocks, of so many realizations in all.
func gapOf(from, to, limit int) Gap {
	return Gap{from * sampling.BlockSize, min(to*sampling.BlockSize, limit)}
}
