package house

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the README shows is what the program prints: texts to the letter, numbers
// to one in a hundred or one in the last place (processors that fuse multiply and
// add round otherwise). A line "…" stands for any lines.
func TestReadmeShowsRealOutput(t *testing.T) {
	if testing.Short() {
		t.Skip("it runs every command that the README shows")
	}
	readme, err := os.ReadFile("README.md")
	require.NoError(t, err)
	program := filepath.Join(t.TempDir(), "sumpward")
	if runtime.GOOS == "windows" {
		program += ".exe"
	}
	build := exec.Command("go", "build", "-o", program, "./cmd/sumpward")
	text, err := build.CombinedOutput()
	require.NoError(t, err, string(text))

	blocks := regexp.MustCompile("(?s)```console\n\\$ go run ./cmd/sumpward ([^\n]*)\n(.*?)\n```").FindAllStringSubmatch(string(readme), -1)
	require.GreaterOrEqual(t, len(blocks), 4)
	for _, block := range blocks {
		t.Run(block[1], func(t *testing.T) {
			line, answers, _ := strings.Cut(block[1], " < ")
			command := exec.Command(program, words(line)...)
			if answers != "" {
				in, err := os.Open(answers)
				require.NoError(t, err)
				defer in.Close()
				command.Stdin = in
			}
			out, _ := command.CombinedOutput() // exit codes differ by block
			got, want := strings.Split(strings.TrimRight(string(out), "\n"), "\n"), strings.Split(block[2], "\n")
			shown, printed := withoutEllipsis(t, want, got)
			require.Equal(t, len(shown), len(printed), "lines of %q", string(out))
			for i := range shown {
				assert.True(t, alike(shown[i], printed[i]), "shown   %s\nprinted %s", shown[i], printed[i])
			}
		})
	}
}

// words parts a command line as a shell would, double quotes and all.
func words(line string) []string {
	var list []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		list = append(list, m[1]+m[2])
	}
	return list
}

// withoutEllipsis cuts from what was printed the lines that each "…" stands for:
// as many as it takes until the lines that follow it are found.
func withoutEllipsis(t *testing.T, shown, printed []string) (a, b []string) {
	t.Helper()
	for {
		i := slices.Index(shown, "…")
		if i < 0 {
			return append(a, shown...), append(b, printed...)
		}
		require.GreaterOrEqual(t, len(printed), i, "fewer lines printed than shown")
		a, b = append(a, shown[:i]...), append(b, printed[:i]...)
		shown, printed = shown[i+1:], printed[i:]
		printed = printed[found(t, shown, printed):]
	}
}

// found is where the lines shown up to the next "…", or to the end, are printed.
func found(t *testing.T, shown, printed []string) int {
	t.Helper()
	next := slices.Index(shown, "…")
	if next < 0 {
		require.GreaterOrEqual(t, len(printed), len(shown), "fewer lines printed than shown")
		return len(printed) - len(shown)
	}
	for at := 0; at+next <= len(printed); at++ {
		if slices.EqualFunc(shown[:next], printed[at:at+next], alike) {
			return at
		}
	}
	require.Fail(t, "not printed", "%s", strings.Join(shown[:next], "\n"))
	return 0
}

var number = regexp.MustCompile(`[0-9][0-9,]*(\.[0-9]+)?`)

// alike compares two lines: numbers within one in a hundred or one in the last
// place, all else to the letter, but for the width of gaps.
func alike(a, b string) bool {
	gaps := func(s string) string { return strings.Join(strings.Fields(number.ReplaceAllString(s, "0")), " ") }
	if gaps(a) != gaps(b) {
		return false
	}
	x, y := number.FindAllString(a, -1), number.FindAllString(b, -1)
	for i := range x {
		u, errU := strconv.ParseFloat(strings.ReplaceAll(x[i], ",", ""), 64)
		v, errV := strconv.ParseFloat(strings.ReplaceAll(y[i], ",", ""), 64)
		last := 1.0
		if _, decimals, found := strings.Cut(x[i], "."); found {
			for range decimals {
				last /= 10
			}
		}
		if errU != nil || errV != nil || (u-v)*(u-v) > 1.0001*max(last*last, 1e-4*u*u) {
			return false
		}
	}
	return true
}

func TestWithoutEllipsis(t *testing.T) {
	printed := []string{"a", "b 1", "c", "d", "e 2", "f", "g"}
	for _, shown := range [][]string{printed, {"a", "…", "g"}, {"a", "…", "c", "d", "…", "g"}, {"…", "e 2", "…"}, {"a", "…"}} {
		a, b := withoutEllipsis(t, shown, printed)
		assert.Equal(t, a, b, "%v", shown)
	}
	a, b := withoutEllipsis(t, []string{"a", "…", "x"}, printed)
	assert.NotEqual(t, a, b)
}

func TestAlike(t *testing.T) {
	assert.True(t, alike("a 29.9 % b", "a  30.0 %  b"))
	assert.True(t, alike("20,000 of", "20,000 of"))
	assert.False(t, alike("a 29.9 % b", "a 30.3 % b"))
	assert.False(t, alike("a 29.9 % b", "a 29.9 mm b"))
	assert.False(t, alike("1 of 2", "1 of 4"))
}
