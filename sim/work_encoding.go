package sim

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/bits"

	"sumpward/sim/sampling"
)

// Limits of work that is read, whoever wrote it: blocks of a run, parts of one run, and bytes of what stands in one piece.
const (
	mostBlocks   = 1 << 40 / sampling.BlockSize
	mostParts    = 16
	largestPiece = 32 << 20
)

// firstTimes are the first times of n realizations, of those that were simulated: a bit
// for each realization, the lowest of the first byte first, and 8 bytes for each bit that
// is set.
type firstTimes struct {
	N         int    `json:"n"`
	Simulated []byte `json:"simulated"`
	Times     []byte `json:"times"`
}

// firstTimesOf keeps those that aren't NaN.
func firstTimesOf(list []float64) firstTimes {
	f := firstTimes{N: len(list), Simulated: make([]byte, (len(list)+7)/8)}
	for i, t := range list {
		if !math.IsNaN(t) {
			f.Simulated[i/8] |= 1 << (i % 8)
			f.Times = binary.LittleEndian.AppendUint64(f.Times, math.Float64bits(t))
		}
	}
	return f
}

// list returns the first times of all realizations, NaN for those that weren't simulated.
func (f *firstTimes) list() []float64 {
	list := make([]float64, f.N)
	next := 0
	for i := range list {
		if len(f.Simulated) == 0 || f.Simulated[i/8]>>(i%8)&1 == 0 {
			list[i] = math.NaN()
			continue
		}
		list[i] = floatAt(f.Times, next)
		next++
	}
	return list
}

// check returns what can't be.
func (f *firstTimes) check() error {
	if f.N < 0 || len(f.Simulated) != f.N/8+min(f.N%8, 1) {
		return fmt.Errorf("%d realizations in %d bytes of bits", f.N, len(f.Simulated))
	}
	set := 0
	for _, b := range f.Simulated {
		set += bits.OnesCount8(b)
	}
	if rest := f.N % 8; rest > 0 && f.Simulated[f.N/8]>>rest != 0 || len(f.Times) != 8*set {
		return fmt.Errorf("%d bytes for the first times of %d realizations", len(f.Times), set)
	}
	for i := range set {
		if math.IsNaN(floatAt(f.Times, i)) {
			return errors.New("a first time that is not a number")
		}
	}
	return nil
}

// check returns what can't be of one part of a run after another.
func (r *runWork) check(before *runWork) error {
	if r.From < 0 || r.To <= r.From || r.To > mostBlocks || r.Keep < 0 || before != nil && r.From < before.To {
		return fmt.Errorf("blocks %d to %d of a run", r.From, r.To)
	}
	return nil
}

type workJSON struct {
	Runs   map[string][]runWork  `json:"runs,omitempty"`
	Firsts map[string]firstTimes `json:"firsts,omitempty"`
}

// MarshalJSON writes what is kept.
func (w *Work) MarshalJSON() ([]byte, error) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return json.Marshal(workJSON{w.runs, w.firsts})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (w *Work) UnmarshalJSON(data []byte) error { return w.Read(bytes.NewReader(data)) }

// Read reads what MarshalJSON wrote, in place of what is kept. It holds no more memory
// than what it reads takes, and a piece of it that is being looked at.
func (w *Work) Read(from io.Reader) error {
	d := decoderOf(from)
	runs, firsts := map[string][]runWork{}, map[string]firstTimes{}
	err := eachMember(d, func(name string) error {
		switch name {
		case "runs":
			return eachMember(d, func(key string) error {
				parts, err := readParts(d)
				if len(parts) > 0 {
					runs[key] = parts
				}
				return err
			})
		case "firsts":
			return eachMember(d, func(key string) error {
				var f firstTimes
				if err := d.Decode(&f); err != nil {
					return err
				}
				firsts[key] = f
				return f.check()
			})
		}
		return fmt.Errorf("work of a kind that is not known (%.40q)", name)
	})
	if err != nil {
		return err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return errors.New("something after the end")
	}
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.runs, w.firsts = runs, firsts
	return nil
}

func readParts(d *json.Decoder) (list []runWork, err error) {
	if err := opens(d, '['); err != nil {
		return nil, err
	}
	for d.More() {
		var r runWork
		if err := d.Decode(&r); err != nil {
			return nil, err
		}
		var before *runWork
		if len(list) > 0 {
			before = &list[len(list)-1]
		}
		if err := r.check(before); err != nil {
			return nil, err
		}
		if list = append(list, r); len(list) > mostParts {
			return nil, fmt.Errorf("more than %d parts of one run", mostParts)
		}
	}
	_, err = d.Token()
	return list, err
}

// eachMember reads an object, or null, and calls read where a value stands.
func eachMember(d *json.Decoder, read func(name string) error) error {
	switch t, err := d.Token(); {
	case err != nil:
		return err
	case t == nil:
		return nil
	case t != json.Delim('{'):
		return fmt.Errorf("%.40v in place of {", t)
	}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		if err := read(name.(string)); err != nil { // the decoder lets nothing else stand there
			return err
		}
	}
	_, err := d.Token()
	return err
}

func opens(d *json.Decoder, with json.Delim) error {
	t, err := d.Token()
	if err == nil && t != with {
		err = fmt.Errorf("%.40v in place of %v", t, with)
	}
	return err
}

// decoderOf returns a decoder that takes nothing larger than largestPiece at a time.
func decoderOf(from io.Reader) *json.Decoder {
	p := &pieces{from: from}
	p.decoder = json.NewDecoder(p)
	return p.decoder
}

// pieces is what a decoder reads from, as long as it doesn't hold too much of it.
type pieces struct {
	from    io.Reader
	decoder *json.Decoder
	read    int64
}

// Read reads on, as much as there is room for: the decoder looks at all that is blank anew
// after every Read.
func (p *pieces) Read(b []byte) (int, error) {
	room := largestPiece - (p.read - p.decoder.InputOffset())
	if room <= 0 {
		return 0, fmt.Errorf("more than %d MB in one piece", largestPiece>>20)
	}
	n, err := io.ReadFull(p.from, b[:min(int64(len(b)), room)])
	p.read += int64(n)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = io.EOF
	}
	return n, err
}

func floatBytes(list []float64) []byte {
	out := make([]byte, 0, 8*len(list))
	for _, x := range list {
		out = binary.LittleEndian.AppendUint64(out, math.Float64bits(x))
	}
	return out
}

func floatAt(bytes []byte, i int) float64 {
	return math.Float64frombits(binary.LittleEndian.Uint64(bytes[8*i:]))
}

func floatsOf(bytes []byte) ([]float64, error) {
	if len(bytes)%8 != 0 {
		return nil, fmt.Errorf("numbers of 8 bytes (got %d bytes)", len(bytes))
	}
	list := make([]float64, len(bytes)/8)
	for i := range list {
		list[i] = floatAt(bytes, i)
	}
	return list, nil
}
