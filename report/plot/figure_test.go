package plot

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawing is what a test reads out of an SVG.
type drawing struct {
	source string
	title  string
	texts  []string
	at     map[string]point // of a text's lower left corner
	paths  []path
}

type path struct{ style, data string }

// svgOf draws an SVG and reads it back.
func svgOf(t *testing.T, write func(io.Writer, Format) error) drawing {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b, SVG))
	d := drawing{source: b.String(), at: map[string]point{}}
	decoder := xml.NewDecoder(strings.NewReader(d.source))
	decoder.Strict = true
	var open string
	var corner point
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			open = e.Name.Local
			if open == "text" {
				for _, a := range e.Attr {
					v, err := strconv.ParseFloat(a.Value, 64)
					switch a.Name.Local {
					case "x":
						require.NoError(t, err)
						corner.x = v
					case "y":
						require.NoError(t, err)
						corner.y = -v // the texts of an SVG hang upside down in its mirrored axes
					}
				}
			}
			if open == "path" {
				var p path
				for _, a := range e.Attr {
					switch a.Name.Local {
					case "style":
						p.style = a.Value
					case "d":
						p.data = a.Value
					}
				}
				d.paths = append(d.paths, p)
			}
		case xml.CharData:
			switch open {
			case "text":
				d.texts = append(d.texts, string(e))
				d.at[string(e)] = corner
			case "title":
				d.title += string(e)
			}
		case xml.EndElement:
			open = ""
		}
	}
	require.NotEmpty(t, d.paths)
	for _, p := range d.paths {
		assert.NotContains(t, p.data, "NaN")
		assert.NotContains(t, p.data, "Inf")
	}
	return d
}

// withColour returns the data of the paths that are drawn in a colour.
func (d drawing) withColour(hexadecimal string) []string {
	var list []string
	for _, p := range d.paths {
		if strings.Contains(p.style, hexadecimal) {
			list = append(list, p.data)
		}
	}
	return list
}

var numbers = regexp.MustCompile(`[ML](-?[0-9.e+]+),(-?[0-9.e+-]+)`)

// places returns the corners of a path.
func places(t *testing.T, data string) []point {
	t.Helper()
	var list []point
	for _, m := range numbers.FindAllStringSubmatch(data, -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		list = append(list, point{x, y})
	}
	return list
}

func small() *figure {
	return &figure{
		title: "Larkmoor", subtitle: "a test", x: exact("time, min", 0, 10, 5),
		panels: []*panel{{
			heading: "Fill, %", height: 100, y: exact("", 0, 100, 4), shaded: []span{{2, 3}, {5, 7.5}},
			rules: []rule{{"full", 100, stroke(ink, 1, dotted)}},
			lines: []line{{name: "fill", style: stroke(navy, 1, solid), points: []point{{0, 0}, {10, 100}}}},
		}},
		events: []event{{9, "late", solid}, {1, "early", dashed}},
		keys:   []key{{"drain held", drawShade}},
	}
}

func TestSVGHoldsWhatIsNamed(t *testing.T) {
	d := svgOf(t, small().write)
	for _, text := range []string{"Larkmoor", "a test", "Fill, %", "full", "fill", "late", "early", "drain held", "time, min", "0", "75", "10"} {
		assert.Contains(t, d.texts, text)
	}
	assert.Equal(t, "Larkmoor: a test", d.title)
	assert.Contains(t, d.source, `role="img"`)
	assert.NotContains(t, d.source, "<!--")
	assert.NotContains(t, d.source, "font-family:Liberation Sans;")
	assert.Contains(t, d.source, "font-family:'Liberation Sans',Arial,Helvetica,sans-serif;")
}

func TestATitleIsNoMarkup(t *testing.T) {
	f := small()
	f.title = "<script>alert(1)</script> & \"car\" 42\x1b[2J\uFFFE\xff 🛢"
	d := svgOf(t, f.write)
	assert.NotContains(t, d.source, "<script")
	assert.Contains(t, d.texts, "<script>alert(1)</script> & \"car\" 42\\x1b[2J\uFFFD\uFFFD 🛢")
	assert.True(t, strings.HasPrefix(d.title, "<script>alert(1)</script> & "))
	require.NoError(t, f.write(io.Discard, PNG))
}

func TestTheSameBytesEachTime(t *testing.T) {
	for _, format := range []Format{SVG, PNG} {
		var one, two bytes.Buffer
		require.NoError(t, small().write(&one, format))
		require.NoError(t, small().write(&two, format))
		assert.Equal(t, one.Bytes(), two.Bytes(), format)
	}
}

func TestPNGHasItsSize(t *testing.T) {
	f := small()
	var b bytes.Buffer
	require.NoError(t, f.write(&b, PNG))
	image, err := png.Decode(&b)
	require.NoError(t, err)
	assert.Equal(t, int(width)*DotsPerInch/72, image.Bounds().Dx())
	assert.InDelta(t, float64(f.height())*DotsPerInch/72, image.Bounds().Dy(), 1)

	colours := map[[3]uint32]bool{}
	for y := range image.Bounds().Dy() {
		for x := range image.Bounds().Dx() {
			r, g, b, _ := image.At(x, y).RGBA()
			colours[[3]uint32{r >> 8, g >> 8, b >> 8}] = true
		}
	}
	assert.True(t, colours[[3]uint32{uint32(shade.R), uint32(shade.G), uint32(shade.B)}], "shading")
	assert.True(t, colours[[3]uint32{0xff, 0xff, 0xff}], "paper")
}

// TestShadingIsWhereItIsSaid compares the rectangles with a grid line's place.
func TestShadingIsWhereItIsSaid(t *testing.T) {
	f := small()
	l := f.layout()
	at := func(x float64) float64 { return float64(l.left) + x/10*float64(l.right-l.left) }
	paths := svgOf(t, f.write).withColour("fill:#D6DCE2")
	require.Len(t, paths, 2, "the panel's, in one path, and the key's")
	corners := places(t, paths[0])
	require.Len(t, corners, 8)
	for i, want := range []float64{2, 3, 5, 7.5} {
		low := corners[i/2*4]
		high := corners[i/2*4+2]
		got := []point{low, high}[i%2].x
		assert.InDelta(t, at(want), got, 0.02)
	}
}

// TestNoEventCrossesAName holds the lines of events apart from their names and
// from the panel's heading, all of them within the picture.
func TestNoEventCrossesAName(t *testing.T) {
	for _, xs := range [][2]float64{{1, 1.2}, {1.2, 1}, {9.8, 9.9}, {9.9, 9.8}, {1, 9.9}, {0.2, 9.9}, {5, 6}, {9.999, 0.1}} {
		f := small()
		f.events = []event{{xs[0], "drain choked, first after 1 min", dashed}, {xs[1], "overflow, first after 2 min", solid}}
		d := svgOf(t, f.write)
		names := []string{f.events[0].name, f.events[1].name, "Fill, %"}
		crossed := 0
		for _, data := range d.withColour("stroke-width:1.1") {
			line := places(t, data)
			require.Len(t, line, 2)
			crossed++
			for _, name := range names {
				style := labelText
				if name == "Fill, %" {
					style = headingText
				}
				low, high := d.at[name], d.at[name]
				high.x += float64(style.Width(name))
				high.y += 7
				assert.GreaterOrEqual(t, low.x, float64(margin))
				assert.LessOrEqual(t, high.x, float64(width-margin)+0.01)
				within := line[0].x > low.x && line[0].x < high.x
				beside := max(line[0].y, line[1].y) < low.y || min(line[0].y, line[1].y) > high.y
				assert.True(t, !within || beside, "%v: a line at %g crosses %q", xs, line[0].x, name)
			}
		}
		assert.GreaterOrEqual(t, crossed, 2)
	}
}

func TestFormatByEnding(t *testing.T) {
	for name, want := range map[string]Format{"a.svg": SVG, "b/C.SVG": SVG, "a.b.png": PNG, ".png": PNG} {
		got, err := FormatByEnding(name)
		require.NoError(t, err, name)
		assert.Equal(t, want, got, name)
	}
	for _, name := range []string{"", "svg", "a.pdf", "a.svg.gz", "png/a"} {
		_, err := FormatByEnding(name)
		require.Error(t, err, name)
		assert.Contains(t, err.Error(), ".svg or .png")
	}
	assert.Error(t, small().write(io.Discard, "pdf"))
}
