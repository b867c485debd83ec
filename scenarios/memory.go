package scenarios

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"sync"

	"sumpward/scenarios/centreline"
	"sumpward/scenarios/datalog"
	"sumpward/scenarios/uncertainty"
	"sumpward/scenarios/units"
)

// memory keeps what was read from a file, so that its variants, and changes
// of it by the thousand, don't read it again.
type memory struct {
	sync.Mutex
	logs       map[string]*DataLog
	lines      map[string]*centreline.Line
	draws      map[string]*draws
	quantities map[written]uncertainty.Distribution
	files      fileHashes
}

// written is a quantity as it stands in the file.
type written struct {
	text      string
	dimension units.Dimension
}

func newMemory() *memory {
	return &memory{logs: map[string]*DataLog{}, lines: map[string]*centreline.Line{}, draws: map[string]*draws{}, quantities: map[written]uncertainty.Distribution{}, files: fileHashes{}}
}

// mostRemembered bounds the quantities that are kept.
const mostRemembered = 10_000

// quantity is parseQuantity, remembered.
func (m *memory) quantity(text string, f *Field) (uncertainty.Distribution, error) {
	key := written{text, f.Dimension}
	m.Lock()
	d, known := m.quantities[key]
	m.Unlock()
	if known {
		return d, nil
	}
	d, err := parseQuantity(text, f)
	if err != nil {
		return d, err
	}
	m.Lock()
	defer m.Unlock()
	if len(m.quantities) < mostRemembered {
		m.quantities[key] = d
	}
	return d, nil
}

// readLog reads a log, or returns it as it was read before.
func (src *source) readLog(name string, spec datalog.Spec) (*DataLog, error) {
	src.memory.Lock()
	defer src.memory.Unlock()
	key := fmt.Sprintf("%q %v %v %v %v", name, spec.Columns, spec.Units, spec.Positive, spec.Tolerance)
	if log := src.memory.logs[key]; log != nil {
		return log, nil
	}
	r, err := src.opened(name)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	read, err := datalog.Read(r, name, spec)
	if err != nil {
		return nil, err
	}
	log := &DataLog{File: name}
	if log.Phases, log.Report, err = read.Lap(spec.Tolerance); err != nil {
		return nil, err
	}
	src.memory.logs[key] = log
	return log, nil
}

// readCentreLine reads a centre line, or returns it as it was read before.
func (src *source) readCentreLine(name string, spec centreline.Spec) (*centreline.Line, error) {
	src.memory.Lock()
	defer src.memory.Unlock()
	key := fmt.Sprintf("%q %v %q", name, spec.Columns, spec.Unit)
	if line := src.memory.lines[key]; line != nil {
		return line, nil
	}
	r, err := src.opened(name)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	line, err := centreline.Read(name, r, spec)
	if err != nil {
		return nil, err
	}
	src.memory.lines[key] = line
	return line, nil
}

var errAlone = errors.New("this scenario can't refer to other files")

// opened opens a file that the scenario refers to.
func (src *source) opened(name string) (io.ReadCloser, error) {
	if src.open == nil {
		return nil, errAlone
	}
	r, err := src.open(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, err
	case err != nil:
		return nil, fmt.Errorf("open: %w", err)
	}
	return src.memory.files.hashing(name, r), nil
}
