package main

import (
	"bytes"
	"errors"
	"flag"
	"io/fs"
	"math/rand"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"sumpward/sim/kept"
)

var kills = flag.Int("kills", 3, "how often TestKilledRunsEndTheSame kills run; size and vary a third of that")

// killed are command lines that take a good part of a second each.
var killed = []struct {
	line  string
	share int
}{
	{"run --quick --sessions 25min --realizations 5000", 1},
	{"size --sessions 3min --realizations 400 --falls 60mm,90mm --bores 12mm --volumes 0.3L,0.5L", 3},
	{"vary --sessions 10min --realizations 1500 --input drain.fall=50mm..100mm:3", 3},
}

// TestKilledRunsEndTheSame kills a command at random moments, and while its checkpoint is
// being written, and executes it again, until it comes to its end: with the bytes of one
// that was never killed, and nothing left beside them. Whenever it is killed the
// checkpoint is whole, and so is the result, where they are there.
func TestKilledRunsEndTheSame(t *testing.T) {
	for _, c := range killed {
		t.Run(strings.Fields(c.line)[0], func(t *testing.T) {
			t.Chdir(t.TempDir())
			k := &killing{t: t, random: rand.New(rand.NewSource(42)), line: strings.Fields(c.line)}
			k.unbroken()
			for want := (*kills + c.share - 1) / c.share; k.hit < want; {
				k.chain(want - k.hit)
			}
			t.Logf("%d killed (%d of them while a file was written), %d gone on with work kept, %d ended, all alike; unbroken %v",
				k.hit, k.writing, k.goneOn, k.ended, k.takes.Round(time.Millisecond))
		})
	}
}

// killing is a command that is killed again and again.
type killing struct {
	t      *testing.T
	random *rand.Rand
	line   []string
	whole  string
	takes  time.Duration

	hit, writing, goneOn, ended int
}

// unbroken executes the command once, with a checkpoint, as often as it may be written.
func (k *killing) unbroken() {
	begun := time.Now()
	said, err := k.start(nil)
	require.NoError(k.t, err, said)
	k.takes = time.Since(begun)
	k.whole = read(k.t, "out.json")
	plain, _, code := executed(k.t, append(slices.Clone(k.line), "--format", "json")...)
	require.Zero(k.t, code)
	require.Equal(k.t, plain, k.whole)
	require.NoError(k.t, os.Remove("out.json"))
	require.Empty(k.t, names(k.t))
}

// start executes the command, and meanwhile does what is to be done with its process.
func (k *killing) start(meanwhile func(*os.Process)) (said string, err error) {
	c := exec.Command("sumpward", append(slices.Clone(k.line), "-o", "out.json", "--checkpoint", "kept", "--checkpoint-every", "1ms", "--resume", "--force")...)
	var b bytes.Buffer
	c.Stderr = &b
	require.NoError(k.t, c.Start())
	if meanwhile != nil {
		meanwhile(c.Process)
	}
	err = c.Wait()
	return b.String(), err
}

// chain executes the command until it ends, killing it no more than so often.
func (k *killing) chain(most int) {
	for n := 0; ; {
		var kill func(*os.Process)
		if n < most {
			kill = k.killer()
		}
		said, err := k.start(kill)
		if strings.Contains(said, "going on from kept") {
			k.goneOn++
		}
		if err == nil {
			break
		}
		n++
		k.hit++
		require.Negative(k.t, errExit(k.t, err), "killed, and not ended by itself: %s", said)
		k.looked()
	}
	k.ended++
	assert.Equal(k.t, []string{"out.json"}, names(k.t), "nothing is left beside")
	require.Equal(k.t, k.whole, read(k.t, "out.json"))
	require.NoError(k.t, os.Remove("out.json"))
}

func errExit(t *testing.T, err error) int {
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit)
	return exit.ExitCode()
}

// killer kills at a moment of the whole time that the command takes; every third time as
// soon after that as a file is being written.
func (k *killing) killer() func(*os.Process) {
	after := time.Duration(k.random.Float64() * float64(k.takes))
	amidst := k.random.Intn(3) == 0
	return func(p *os.Process) {
		time.Sleep(after)
		for end := time.Now().Add(100 * time.Millisecond); amidst && time.Now().Before(end); {
			if entries, _ := os.ReadDir("."); slices.ContainsFunc(entries, isPart) {
				break
			}
		}
		_ = p.Kill()
	}
}

func isPart(e fs.DirEntry) bool { return strings.HasSuffix(e.Name(), ".part") }

// looked checks what a killed process left.
func (k *killing) looked() {
	for _, name := range names(k.t) {
		switch {
		case name == "kept":
			_, err := kept.Open(name, kept.Checkpoint)
			require.NoError(k.t, err)
		case name == "out.json":
			require.Equal(k.t, k.whole, read(k.t, name))
		case strings.HasSuffix(name, ".part"):
			k.writing++
		default:
			require.Fail(k.t, "a file that is none of these", name)
		}
	}
}

// TestTwoAtOnce: two processes that are started with the same checkpoint at once don't
// spoil it, nor each other's result, whatever they take of it from each other.
func TestTwoAtOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	line := strings.Fields("run --quick --sessions 25min --realizations 3000 --format json --checkpoint kept --checkpoint-every 1ms --resume --force")
	whole, _, code := executed(t, line[:8]...)
	require.Zero(t, code)
	type one struct {
		c         *exec.Cmd
		out, said bytes.Buffer
	}
	both := []*one{{}, {}}
	for _, o := range both {
		o.c = exec.Command("sumpward", line...)
		o.c.Stdout, o.c.Stderr = &o.out, &o.said
		require.NoError(t, o.c.Start())
		time.Sleep(50 * time.Millisecond)
	}
	done := make(chan struct{})
	looked := make(chan error, 1)
	go func() { looked <- lookAgain("kept", done) }()
	for _, o := range both {
		assert.NoError(t, o.c.Wait(), o.said.String())
		assert.Equal(t, whole, o.out.String())
	}
	close(done)
	assert.NoError(t, <-looked)
	assert.Empty(t, slices.DeleteFunc(names(t), func(n string) bool { return n == "kept" }))
}

// lookAgain reads a checkpoint over and over: it is whole whenever it is there.
func lookAgain(path string, done <-chan struct{}) error {
	for {
		select {
		case <-done:
			return nil
		case <-time.After(3 * time.Millisecond):
		}
		if _, err := kept.Open(path, kept.Checkpoint); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
}
