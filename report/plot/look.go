package plot

import (
	"image/color"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sizes, in points.
const (
	width    vg.Length = 680
	margin   vg.Length = 14 // around everything
	gap      vg.Length = 12 // between a panel and the next one's heading
	heading  vg.Length = 17 // room for a panel's heading
	lineStep vg.Length = 13 // from line to line of small text
	middle   vg.Length = 1  // that small text is lifted by, for its digits to stand at mid-height
)

// Colours: three inks that differ in lightness as well as in hue, chosen to
// stay apart in common colour blindness and in grey print.
var (
	ink   = color.NRGBA{R: 0x1c, G: 0x24, B: 0x2c, A: 0xff}
	navy  = color.NRGBA{R: 0x14, G: 0x3d, B: 0x6b, A: 0xff}
	rust  = color.NRGBA{R: 0xb5, G: 0x5a, B: 0x12, A: 0xff}
	teal  = color.NRGBA{R: 0x2a, G: 0x8c, B: 0x82, A: 0xff}
	slate = color.NRGBA{R: 0x5d, G: 0x68, B: 0x73, A: 0xff}
	pale  = color.NRGBA{R: 0xe3, G: 0xe7, B: 0xea, A: 0xff} // grid
	shade = color.NRGBA{R: 0xd6, G: 0xdc, B: 0xe2, A: 0xff} // held
	mist  = color.NRGBA{R: 0xa9, G: 0xb2, B: 0xba, A: 0xff} // what changes too often
	paper = color.NRGBA{R: 0xff, G: 0xff, B: 0xff, A: 0xff}
)

// Dash patterns.
var (
	solid   []vg.Length
	dashed  = []vg.Length{6, 3}
	dotted  = []vg.Length{1.5, 2.5}
	dashDot = []vg.Length{7, 2.5, 1.5, 2.5}
	longish = []vg.Length{11, 3.5}
	twoDots = []vg.Length{7, 2, 1.5, 2, 1.5, 2}
)

// stroke is a line style.
func stroke(c color.Color, w vg.Length, dash []vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: c, Width: w, Dashes: dash}
}

// faint makes a colour fit for a band.
func faint(c color.NRGBA) color.NRGBA {
	c.A = 0x34
	return c
}

// fainter is for many bands over each other.
func fainter(c color.NRGBA) color.NRGBA {
	c.A = 0x1e
	return c
}

// fonts holds the fonts that texts are measured with, and that a PNG is
// written in.
var fonts = font.NewCache(liberation.Collection())

// lettering is a text style.
func lettering(size vg.Length, c color.Color, bold bool, x text.XAlignment, y text.YAlignment) text.Style {
	f := font.Font{Typeface: "Liberation", Variant: "Sans", Size: size}
	if bold {
		f.Weight = xfont.WeightBold
	}
	return text.Style{Color: c, Font: f, XAlign: x, YAlign: y, Handler: text.Plain{Fonts: fonts}}
}

var (
	titleText    = lettering(14, ink, true, text.XLeft, text.YTop)
	subtitleText = lettering(10, slate, false, text.XLeft, text.YTop)
	headingText  = lettering(10.5, ink, true, text.XLeft, text.YBottom)
	axisText     = lettering(10, ink, false, text.XCenter, text.YTop)
	tickText     = lettering(9.5, ink, false, text.XRight, text.YCenter)
	labelText    = lettering(9.5, ink, false, text.XLeft, text.YCenter)
)
